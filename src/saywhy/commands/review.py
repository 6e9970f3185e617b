"""``saywhy review``: was every "because" true, and what was missed?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.files import Entry
from saywhy.terminal.codes import Exit, worse
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.made import check_files
from saywhy.terminal.one import one_puzzle
from saywhy.terminal.options import json_option
from saywhy.terminal.waiting import waiting

if TYPE_CHECKING:
    from saywhy.recording.review import Review


@click.command()
@click.argument("files", metavar="PUZZLE RECORDING [PUZZLE RECORDING]...", nargs=-1, required=True)
@json_option
@click.option("--certify", is_flag=True, help="Prove every reason anew by an independent solver (OR-Tools).")
@click.option("--html", type=click.Path(dir_okay=False), help="Write the report as one HTML file.")
@click.option("--chapters", type=click.Path(dir_okay=False), help="Write chapters for a video's description.")
@click.option("--webvtt", type=click.Path(dir_okay=False), help="Write the chapters as a WebVTT file.")
@click.option("--errata", type=click.Path(dir_okay=False), help="Write what was said and was not so.")
@click.option(
    "--viewers", is_flag=True, help="Leave out of everything that is printed or written whatever would spoil."
)
def command(  # noqa: PLR0913, PLR0917 - one argument an option
    files: tuple[str, ...],
    as_json: bool,
    certify: bool,
    html: str | None,
    chapters: str | None,
    webvtt: str | None,
    errata: str | None,
    viewers: bool,
) -> Exit:
    """
    Judge a recorded solve move by move, and say what could have been seen earlier.

    A damaged recording is reviewed up to the damage, which is told. With several pairs the host's habits
    over all of them are told as well. With --certify the exit code is 3 where a reason was not confirmed.
    """
    if len(files) % 2:
        raise click.UsageError("Give puzzles and recordings in pairs: PUZZLE RECORDING.")
    if len(files) > 2 and any((html, chapters, webvtt, errata)):
        raise click.UsageError("Files are written for one recording at a time.")
    asked = {"html": html, "chapters": chapters, "webvtt": webvtt, "errata": errata}
    wanted = {name: path for name, path in asked.items() if path is not None}
    try:
        check_files({f"--{name}": path for name, path in wanted.items()}, files)
    except SaywhyError as error:
        return print_error(Entry(files[0], error=error), as_json=as_json)
    code, reviews = Exit.FINE, list["Review"]()
    for puzzle_file, recording_file in zip(files[::2], files[1::2], strict=True):
        entry = one_puzzle(puzzle_file)
        if entry.puzzle is None:
            code = worse(code, print_error(entry, as_json=as_json))
            continue
        try:
            found = _reviewed(entry, recording_file, certify)
        except SaywhyError as error:
            told = replace(entry, source=recording_file, puzzle=None, error=error)
            code = worse(code, print_error(told, as_json=as_json))
            continue
        reviews.append(found)
        if found.certified is not None and found.certified["faults"]:
            code = worse(code, Exit.UNDECIDED)
        _shown(found, recording_file, as_json=as_json, viewers=viewers)
        for fault in _written(found, wanted, viewers):
            told = replace(entry, source=recording_file, puzzle=None, error=fault)
            code = worse(code, print_error(told, as_json=as_json))
    if len(reviews) > 1:
        _host(reviews, as_json=as_json)
    return code


def _reviewed(entry: Entry, recording_file: str, certify: bool) -> Review:
    from saywhy.recording import read
    from saywhy.recording.review import review

    assert entry.puzzle is not None
    recording = read(recording_file, salvage=True)
    if recording.damage is not None:
        click.echo(f"{recording_file}: read up to the damage: {recording.damage}", err=True)
    with waiting("Judging every move"):
        return review(entry.puzzle, recording, certify=certify)


def _shown(found: Review, source: str, *, as_json: bool, viewers: bool) -> None:
    from saywhy.terminal import reviewed

    if as_json:
        print_json(found.for_viewers(source) if viewers else found.as_json(source))
    else:
        reviewed.show(found, source, viewers=viewers)


def _host(reviews: Sequence[Review], *, as_json: bool) -> None:
    from saywhy.recording.host import evening, habits
    from saywhy.terminal import reviewed

    held = habits([evening(found) for found in reviews])
    if as_json:
        print_json({"host": held.as_json()})
    else:
        reviewed.show_host(held)


def _written(found: Review, files: dict[str, str], viewers: bool) -> list[SaywhyError]:
    """Write what was asked for and can be, say so, and give what cannot be."""
    from saywhy.recording import exports

    makers = {
        "html": exports.html,
        "chapters": exports.chapter_lines,
        "webvtt": exports.webvtt,
        "errata": exports.errata,
    }
    errors: list[SaywhyError] = []
    for name, path in files.items():
        try:
            text = makers[name](found, viewers=viewers)
            Path(path).write_text(text, encoding="utf-8")
        except SaywhyError as error:
            told = [
                replace(problem, what=f"not written: {problem.what}", field=f"--{name}")
                for problem in error.problems
            ]
            errors.append(NotAllowedError(told, path))
        except OSError as error:
            what = f"cannot be written: {(error.strerror or str(error)).lower()}"
            mend = "Name a file in a folder that is there"
            errors.append(NotAllowedError(Problem(what, mend, f"--{name}"), path))
        else:
            empty = "" if text else ", empty: nothing was said that was not so"
            click.echo(f"Written to {path}{empty}.", err=True)
    return errors
