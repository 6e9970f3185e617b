"""``saywhy pack``: everything that an episode needs beside the video."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import click

from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.puzzle import Puzzle
from saywhy.recording.log import Recording
from saywhy.terminal.codes import OF_VERDICT, Exit
from saywhy.terminal.lines import print_error
from saywhy.terminal.one import one_puzzle
from saywhy.terminal.waiting import waiting


@click.command()
@click.argument("file", metavar="PUZZLE")
@click.option(
    "-o", "--output", required=True, metavar="DIR", type=click.Path(path_type=Path), help="Folder to write."
)
@click.option(
    "--template", metavar="FILE", type=click.Path(path_type=Path), help="Template of title and description."
)
@click.option(
    "--link", metavar="URL", help="Address of the viewers' page, for the description and the QR code."
)
@click.option("--blind/--rehearsed", default=None, help="Whether the host solves it unseen.")
@click.option("--setter-credit", metavar="TEXT", help="The credit, where the puzzle file's is not the one.")
@click.option("--licence", metavar="TEXT", help="Licence of the puzzle, as its setter gave it.")
@click.option(
    "--airs", metavar="TIME", help="When it airs, as 2026-12-01T18:00+00:00: makes feed and calendar."
)
@click.option("--next", "next_date", metavar="TEXT", help="When the next one airs, in words.")
@click.option("--series", metavar="TEXT", help="Name of the series.")
@click.option("--recording", metavar="FILE", help="A recorded solve: its markers become the chapters.")
@click.option("--with-path", is_flag=True, help="Print solution and path too, on later pages.")
@click.option("--serve", is_flag=True, help="Serve the folder on this machine for a look.")
def command(  # noqa: PLR0913, PLR0917 - one argument an option
    file: str,
    output: Path,
    template: Path | None,
    recording: str | None,
    airs: str | None,
    with_path: bool,
    serve: bool,
    **said: str | bool | None,
) -> Exit:
    """
    Write the viewers' page, pictures, print, words, feed and calendar of an episode.

    Nothing outside the folder "spoilers" shows a digit of the solve; the viewers' page keeps its
    hints sealed.
    """
    entry = one_puzzle(file)
    if entry.puzzle is None:
        return print_error(entry, as_json=False)
    from saywhy.publishing import Episode, build
    from saywhy.reasoning import explain
    from saywhy.terminal.serving import serve_folder
    from saywhy.terminal.verdict import VERDICTS

    try:
        solve = None if recording is None else _recording(recording, entry.puzzle)
        text = None if template is None else _read(template)
        time = None if airs is None else _time(airs)
        with waiting("Packing"):
            path = explain(entry.puzzle)
            if path.verdict != "unique":
                click.echo(f"{entry.source}: {VERDICTS[path.verdict]}", err=True)
                return OF_VERDICT[path.verdict]
            if said["blind"] is None and solve is not None:
                said["blind"] = solve.header.blind
            said["credit"] = said.pop("setter_credit")
            episode = Episode(entry.puzzle, path, airs=time, recording=solve, **said)  # type: ignore[arg-type]
            held = build(episode, output, text, source=str(template), path=with_path)
    except SaywhyError as error:
        return print_error(replace(entry, error=error), as_json=False)
    spoils = sum(piece.name.startswith("spoilers/") for piece in held)
    click.echo(f"{output}: {len(held) - spoils} files to show")
    click.echo(f"{output / 'spoilers'}: {spoils} files that spoil the solve")
    if time is None:
        click.echo("No feed and no calendar: give --airs.")
    if serve:
        serve_folder(output)
    return Exit.FINE


def _recording(file: str, puzzle: Puzzle) -> Recording:
    from saywhy.recording.log import belongs, read

    held = read(file)
    belongs(held, puzzle)
    return held


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, ValueError) as error:
        what = f"the template cannot be read: {getattr(error, 'strerror', None) or 'it is not UTF-8 text'}"
        raise NotAllowedError(Problem(what, "Name a text file"), str(path)) from error


def _time(text: str) -> date:
    try:
        return date.fromisoformat(text) if len(text) == len("2026-12-01") else datetime.fromisoformat(text)
    except ValueError as error:
        what = "the time of airing cannot be read"
        raise NotAllowedError(Problem(what, "Write it as 2026-12-01T18:00+00:00", "--airs")) from error
