"""``saywhy pack``: everything that an episode needs beside the video."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.files import Entry
from saywhy.terminal.codes import OF_VERDICT, Exit
from saywhy.terminal.lines import print_error
from saywhy.terminal.one import one_puzzle
from saywhy.terminal.options import Either, Number, Whole
from saywhy.terminal.waiting import waiting

if TYPE_CHECKING:
    from saywhy.publishing import Wish
    from saywhy.publishing.facts import Facts
    from saywhy.publishing.limits import Limits
    from saywhy.publishing.messages import Catalogue

#: Bytes of a template, many more than one needs.
MOST_BYTES = 256 * 1024
_TEMPLATE = "Name a text file; docs/pack.md shows the usual one"


@click.command()
@click.argument("file", metavar="[PUZZLE]", required=False)
@click.option(
    "-o", "--output", required=True, metavar="DIR", type=click.Path(path_type=Path), help="Folder to write."
)
@click.option(
    "--shelf",
    metavar="EPISODE",
    help="An episode of the shelf, as e7, with all that is known of it.",
)
@click.option(
    "--folder",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help="With --shelf: where the shelf is kept.",
)
@click.option(
    "--template", metavar="FILE", type=click.Path(path_type=Path), help="Template of title and description."
)
@click.option(
    "--link", metavar="URL", help="Address of the viewers' page, for the description and the QR code."
)
@click.option(
    "--blind/--rehearsed", cls=Either, default=None, help="Whether the host solves it unseen, or prepared."
)
@click.option("--setter-credit", metavar="TEXT", help="The credit, where the puzzle file's is not the one.")
@click.option("--licence", metavar="TEXT", help="Licence of the puzzle, as its setter gave it.")
@click.option(
    "--airs",
    metavar="TIME",
    help="When it airs, as 2026-12-01T18:00+00:00, or a day: for feed and calendar.",
)
@click.option("--next", "next_date", metavar="TEXT", help="When the next one airs: a day, or words.")
@click.option("--series", metavar="TEXT", help="Name of the series.")
@click.option(
    "--recording", metavar="FILE", help="A recorded solve: chapters, and captions in its time, come from it."
)
@click.option(
    "--without",
    multiple=True,
    metavar="FIELD",
    type=click.Choice(["setter", "blind", "link", "licence", "next", "series", "chapters"]),
    help="A field that the description leaves out on purpose: setter, blind, link, licence, next, series or "
    "chapters. It may be given several times.",
)
@click.option(
    "--draft",
    is_flag=True,
    help="A pack for a look: what is not filled in is no error, and the description says that it is a draft.",
)
@click.option("--with-path", is_flag=True, help="Print solution and path too, on later pages.")
@click.option(
    "--video",
    multiple=True,
    type=click.Choice(["mp4", "webm"]),
    help="Make a film too (extra video).",
)
@click.option(
    "--caption-columns",
    type=Whole(),
    metavar="N",
    default=42,
    show_default=True,
    help="Characters a line of captions.",
)
@click.option(
    "--caption-lines", type=Whole(), metavar="N", default=2, show_default=True, help="Lines of a caption."
)
@click.option(
    "--caption-speed",
    type=Number(),
    metavar="N",
    default=17.0,
    show_default=True,
    help="Most characters a second.",
)
@click.option(
    "--language", metavar="FILE", type=click.Path(path_type=Path), help="Published texts in another language."
)
@click.option("--serve", is_flag=True, help="Serve the folder on this machine for a look.")
def command(  # noqa: PLR0913, PLR0917 - one argument an option
    file: str | None,
    output: Path,
    shelf: str | None,
    folder: Path | None,
    template: Path | None,
    recording: str | None,
    without: tuple[str, ...],
    draft: bool,
    with_path: bool,
    video: tuple[str, ...],
    caption_columns: int,
    caption_lines: int,
    caption_speed: float,
    language: Path | None,
    serve: bool,
    setter_credit: str | None,
    **said: str | bool | None,
) -> Exit:
    """
    Write the viewers' page, pictures, print, words, feed and calendar of an episode.

    Nothing outside the folder "spoilers" shows a digit of the solve; the viewers' page keeps its
    hints sealed.
    """
    from saywhy.files.texts import read_short
    from saywhy.publishing import Wish
    from saywhy.publishing.facts import Facts
    from saywhy.publishing.limits import Limits
    from saywhy.publishing.messages import english, read
    from saywhy.publishing.words import UnfilledError
    from saywhy.recording import read as read_recording

    if file is None and shelf is None:
        raise click.UsageError("name a puzzle, or an episode with --shelf")
    if folder is not None and shelf is None:
        raise click.UsageError("--folder says where the shelf is kept: give --shelf EPISODE as well.")
    if setter_credit is not None and "setter" in without:
        raise click.UsageError(
            "--setter-credit and --without setter contradict each other: give one of them."
        )
    entry = Entry(shelf or "") if file is None else one_puzzle(file)
    if entry.error is not None:
        return print_error(entry, as_json=False)
    try:
        catalogue = english() if language is None else read(language)
        facts = Facts(
            credit="" if "setter" in without else setter_credit,
            recording=None if recording is None else read_recording(recording),
            **said,  # type: ignore[arg-type]
        )
        _check(facts, recording)
        if shelf is not None:
            entry, facts = _shelved(entry, facts, shelf, folder, catalogue)
        text = None if template is None else read_short(template, MOST_BYTES, "the template", _TEMPLATE)
        source = None if template is None else str(template)
        films = tuple(dict.fromkeys(video))
        wish = Wish(text, source, with_path, films, without, draft)  # type: ignore[arg-type]
        limits = Limits(caption_columns, caption_lines, caption_speed)
        return _build(entry, facts, output, wish, limits, catalogue, serve=serve)
    except SaywhyError as error:
        code = print_error(replace(entry, error=error), as_json=False)
        if isinstance(error, UnfilledError):
            click.echo("For a look without them, add --draft.", err=True)
        return code


def _check(facts: Facts, source: str | None) -> None:
    """Refuse what the options cannot both say: a next one before this one, a recording of the other kind."""
    from saywhy.publishing.facts import moment

    try:
        airs, then = (None if held is None else moment(held) for held in (facts.airs, facts.next_date))
    except SaywhyError:  # words for the next one; a time that is none is told with all that is wrong
        airs = then = None
    if airs is not None and then is not None and then.isoformat()[:10] < airs.isoformat()[:10]:
        raise NotAllowedError(Problem("the next one airs before this one", "Mend --next or --airs", "--next"))
    if facts.recording is None or facts.blind is None or facts.recording.header.blind == facts.blind:
        return
    of = "blind" if facts.recording.header.blind else "rehearsed"
    what = f"the recording says that it was {of}"
    raise NotAllowedError(Problem(what, "Leave out --blind and --rehearsed", "--recording"), source)


def _build(  # noqa: PLR0913, PLR0917
    entry: Entry,
    facts: Facts,
    output: Path,
    wish: Wish,
    limits: Limits,
    catalogue: Catalogue,
    *,
    serve: bool,
) -> Exit:
    from saywhy.publishing import build
    from saywhy.publishing.film import needed
    from saywhy.publishing.pack import check
    from saywhy.reasoning import explain
    from saywhy.terminal.serving import serve_folder
    from saywhy.terminal.verdict import unfit

    assert entry.puzzle is not None, "entries without a puzzle are told before"
    check(output)
    if wish.films:
        needed()
    with waiting("Packing"):
        path = explain(entry.puzzle)
        if path.verdict != "unique":
            click.echo(f"{entry.source}: {unfit(path.verdict)}.", err=True)
            return OF_VERDICT[path.verdict]
        episode = facts.episode(entry.puzzle, path, limits, catalogue)
        held = build(episode, output, wish)
    spoils = sum(piece.spoils for piece in held)
    click.echo(f"{output}: {len(held) - spoils} files to show")
    click.echo(f"{output / 'spoilers'}: {spoils} files that spoil the solve")
    said = wish.words(episode)
    if said.left_out:
        click.echo(f"The description says nothing of: {', '.join(said.left_out)}.")
    if wish.draft:
        lacks = f"; not filled in: {', '.join(said.unfilled)}" if said.unfilled else ""
        click.echo(f"This is a draft, and its description and manifest say so{lacks}.")
    if not any(piece.name == "feed.atom" for piece in held):
        click.echo("No feed and no calendar: give --airs.")
    if serve:
        serve_folder(output)
    return Exit.FINE


def _shelved(
    entry: Entry, facts: Facts, name: str, folder: Path | None, catalogue: Catalogue
) -> tuple[Entry, Facts]:
    """Give the entry and the facts, with what the shelf knows where the options say nothing."""
    from saywhy.files import puzzle_id
    from saywhy.terminal.shelf_folder import open_shelf
    from saywhy.terminal.shelved import shelved

    number = name.removeprefix("e")
    if not (number.isascii() and number.isdecimal() and len(number) < 16):
        what = f"{name[:40]!r} is no episode of the shelf"
        raise NotAllowedError(Problem(what, "Name one by its number, as e7", "--shelf"))
    with open_shelf(folder) as shelf:
        held = shelved(shelf, int(number), catalogue)
    if entry.puzzle is not None and puzzle_id(entry.puzzle) != puzzle_id(held.puzzle):
        what = f"{name} of the shelf is of another puzzle"
        raise NotAllowedError(Problem(what, "Leave the puzzle out, or name its own episode", "--shelf"))
    return replace(entry, puzzle=held.puzzle), facts.over(held.facts)
