"""What comes on the shelf: puzzles, recordings, and what is known of them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from saywhy.commands.shelf.parts import NUMBERED, named, number_of, part
from saywhy.commands.shelf.telling import puzzle_json, puzzle_line, told_json
from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files import entries, write
from saywhy.files.limits import MOST_BYTES
from saywhy.puzzle import Puzzle
from saywhy.shelf import Judged, Permission, Said, Shelf, ShelfPuzzle
from saywhy.shelf.absent import FIRST
from saywhy.shelf.judging import judge as judged_of
from saywhy.terminal.codes import OF_VERDICT, Exit, worse
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.options import seconds_option
from saywhy.terminal.waiting import waiting

_NO_EFFORT = click.option("--no-effort", is_flag=True, help="Prove only; leave the effort unmeasured.")


@part(
    "add",
    click.argument("files", nargs=-1, required=True, metavar="FILE..."),
    click.option("--setter", metavar="SETTER", help="Who set it, where the file's own name is not the one."),
    click.option("--received", metavar="DAY", help="The day that it came, as 2026-11-25; today otherwise."),
    click.option("--licence", default="", metavar="TEXT", help="Its licence, as the setter gave it."),
    click.option("--remarks", default="", metavar="TEXT", help="Your own."),
    click.option("--granted", metavar="DAY", help="The day on which the setter agreed; needs --words."),
    click.option("--words", default="", metavar="TEXT", help="The setter's own words of permission."),
    click.option("--unjudged", is_flag=True, help="Put it there without proof; judge does that later."),
    _NO_EFFORT,
    seconds_option("the proof of each puzzle, and again for its path"),
)
def add(  # noqa: PLR0913 - one argument an option
    shelf: Shelf,
    *,
    files: tuple[str, ...],
    setter: str | None,
    received: str | None,
    licence: str,
    remarks: str,
    granted: str | None,
    words: str,
    unjudged: bool,
    no_effort: bool,
    seconds: float,
    as_json: bool,
) -> Exit:
    """
    Put puzzles on the shelf, each proved and measured first.

    A FILE is a puzzle file or a file of puzzle lines. A setter whom the shelf does not know is added by the
    credit in the file. A puzzle that is here already is told and not put there twice.
    """
    if words and granted is None:
        raise NotAllowedError(Problem("words of permission come with a day", "Give --granted too", "--words"))
    said = None if granted is None else Said(permission=Permission.GRANTED, on=granted, words=words)
    of = _known_setter(shelf, setter)
    code = Exit.FINE
    for path in files:
        for entry in entries(path):
            if entry.puzzle is None:
                code = worse(code, print_error(entry, as_json=as_json))
                continue
            if here := shelf.puzzles.saying(entry.puzzle):
                _tell_again(here[0], entry.source, as_json=as_json)
                continue
            judged = None if unjudged else _judged(entry.puzzle, entry.source, seconds, effort=not no_effort)
            held = shelf.puzzles.add(
                _text(path, entry.line, entry.puzzle),
                setter=of,
                received=received,
                source=Path(entry.source).name,
                judged=judged,
                said=said,
                licence=licence,
                remarks=remarks,
            )
            code = worse(code, _tell(shelf, held, as_json=as_json))
    return code


@part(
    "judge",
    click.argument("puzzles", nargs=-1, metavar="[PUZZLE]..."),
    _NO_EFFORT,
    seconds_option("each proof, and again for its path"),
)
def judge(shelf: Shelf, *, puzzles: tuple[str, ...], no_effort: bool, seconds: float, as_json: bool) -> Exit:
    """Prove puzzles of the shelf and measure their effort; where none is named, all that were not judged."""
    code = Exit.FINE
    numbers = [number_of(shelf, text, "puzzle") for text in puzzles]
    every = shelf.puzzles.all()
    numbers = numbers or [held.id for held in reversed(every) if held.verdict is None]
    if not numbers and not as_json:
        none = "Every puzzle on the shelf has been judged; name one to judge it anew."
        click.echo(none if every else f"{FIRST['puzzle']}.", err=True)
    for number in numbers:
        held = shelf.puzzles.get(number)
        found = _judged(held.puzzle, f"p{held.id}", seconds, effort=not no_effort)
        code = worse(code, _tell(shelf, shelf.puzzles.judge(held.id, found), as_json=as_json))
    return code


@part(
    "mend",
    click.argument("puzzle", metavar="PUZZLE"),
    click.argument("file", metavar="FILE"),
    _NO_EFFORT,
    seconds_option("the proof, and again for the path"),
)
def mend(  # noqa: PLR0913 - one argument an option
    shelf: Shelf, *, puzzle: str, file: str, no_effort: bool, seconds: float, as_json: bool
) -> Exit:
    """Put a mended FILE in the place of a puzzle's; permission and episodes stay."""
    held = shelf.puzzles.get(number_of(shelf, puzzle, "puzzle"))
    found = list(entries(file))
    if found[0].puzzle is None:
        return print_error(found[0], as_json=as_json)
    if len(found) > 1:
        raise NotAllowedError(Problem("the file holds several puzzles", "Name one by its line"), file)
    judged = _judged(found[0].puzzle, file, seconds, effort=not no_effort)
    text = _text(file, found[0].line, found[0].puzzle)
    return _tell(shelf, shelf.puzzles.mend(held.id, text, judged), as_json=as_json)


@part(
    "note",
    click.argument("thing", metavar="THING"),
    click.option("--title", metavar="TEXT", help="Title, as it is published."),
    click.option("--setter", metavar="SETTER", help="Who set the puzzle; an empty text for nobody."),
    click.option("--received", metavar="DAY", help="The day on which the puzzle came."),
    click.option("--licence", metavar="TEXT", help="The puzzle's licence."),
    click.option("--link", metavar="URL", help="Where the episode can be seen."),
    click.option("--remarks", metavar="TEXT", help="Your own."),
)
def note(shelf: Shelf, *, thing: str, as_json: bool, **given: str | None) -> None:
    """Change what is known of a puzzle or an episode; what is not named stays."""
    kind, number = named(shelf, thing, "puzzle", "episode")
    allowed = {
        "puzzle": {"title", "setter", "received", "licence", "remarks"},
        "episode": {"title", "link", "remarks"},
    }[kind]
    told = {name: text for name, text in given.items() if text is not None}
    if wrong := sorted(told.keys() - allowed):
        what = f"{'an episode' if kind == 'episode' else 'a puzzle'} has no {wrong[0]}"
        raise NotAllowedError(Problem(what, f"It has {', '.join(sorted(allowed))}", f"--{wrong[0]}"))
    if kind == "episode":
        held = shelf.episodes.change(number, **told)
        print_json(told_json(shelf, held)) if as_json else click.echo(f"e{number} is noted.")
        return
    setter = told.pop("setter", None)
    changed = shelf.puzzles.change(number, setter=setter and _known_setter(shelf, setter), **told)
    if setter == "":
        changed = shelf.puzzles.change(number, setter="")
    _tell(shelf, changed, as_json=as_json)


@part(
    "keep",
    click.argument("puzzle", metavar="PUZZLE"),
    click.argument("recording", metavar="RECORDING"),
    click.option("--episode", metavar="EPISODE", help="The episode that it was recorded for."),
    click.option("--review", is_flag=True, help="Judge the solve, and keep that too."),
)
def keep(  # noqa: PLR0913 - one argument an option
    shelf: Shelf, *, puzzle: str, recording: str, episode: str | None, review: bool, as_json: bool
) -> None:
    """Keep a recorded solve with its puzzle."""
    number = number_of(shelf, puzzle, "puzzle")
    of = None if episode is None else number_of(shelf, episode, "episode")
    log = read_log(recording)
    told = review_of(shelf, number, log) if review else None
    with shelf.deed(f"a recording of p{number} was kept"):
        held = shelf.recordings.keep(number, log, episode=of)
        if told is not None:
            shelf.recordings.keep_review(held.id, told)
    if as_json:
        print_json(told_json(shelf, held))
    else:
        click.echo(f"r{held.id}: {held.acts} acts, kept with p{number}")


def read_log(path: str) -> bytes:
    """
    Give the bytes of a recording's file.

    Raises:
        UnreadableError: It cannot be read.
    """
    from saywhy.recording.log import MOST_BYTES as MOST

    try:
        with Path(path).open("rb") as file:
            return file.read(MOST + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        what = f"the recording cannot be opened: {reason.lower()}"
        raise UnreadableError(Problem(what, "Check the name and that it can be read"), path) from None


def review_of(shelf: Shelf, puzzle: int, log: bytes) -> dict[str, Any]:
    """Give what ``review --json`` says of a recording of a puzzle."""
    from saywhy.recording import read_bytes
    from saywhy.recording.review import review

    with waiting("Judging every move"):
        found = review(shelf.puzzles.get(puzzle).puzzle, read_bytes(log, salvage=True))
    return found.as_json(f"p{puzzle}")


def _known_setter(shelf: Shelf, text: str | None) -> int | str | None:
    """Give the number of a setter named by letter and number, or the credit of one to find or to add."""
    if text and NUMBERED.fullmatch(text):
        return number_of(shelf, text, "setter")
    return text


def _judged(puzzle: Puzzle, source: str, seconds: float, *, effort: bool) -> Judged:
    with waiting(f"Judging {Path(source).name}"):
        return judged_of(puzzle, seconds, effort=effort)


def _text(path: str, line: int | None, puzzle: Puzzle) -> str:
    """Give the file of a puzzle as it came; of a puzzle line, or from the standard input, written anew."""
    if line is not None or path == "-":
        return write(puzzle)
    with Path(path).open("rb") as file:
        return file.read(MOST_BYTES + 1).decode("utf-8")


def _tell(shelf: Shelf, held: ShelfPuzzle, *, as_json: bool) -> Exit:
    """Tell a puzzle, and which others are the same one; give the code of its verdict."""
    again = [other.id for other in shelf.puzzles.alike(held.same) if other.id != held.id] if held.same else []
    if as_json:
        print_json({**puzzle_json(shelf, held), "again": again})
    else:
        told = ", ".join(f"p{number}" for number in again)
        click.echo(puzzle_line(shelf, held) + (f"; the same puzzle as {told}" if told else ""))
    return OF_VERDICT[held.verdict] if held.verdict else Exit.FINE


def _tell_again(held: ShelfPuzzle, source: str, *, as_json: bool) -> None:
    if as_json:
        print_json({"file": source, "already": held.id})
    else:
        click.echo(f"{source}: on the shelf already as p{held.id}; nothing was changed", err=True)


PARTS = [add, judge, mend, note, keep]
