"""What is on the shelf: lists, cards, search, files."""

from __future__ import annotations

from pathlib import Path

import click
import msgspec

from saywhy.commands.shelf import telling
from saywhy.commands.shelf.parts import named, number_of, part
from saywhy.errors import NotAllowedError, Problem
from saywhy.files.titles import plain
from saywhy.shelf import Permission, Shelf, ShelfPuzzle, State
from saywhy.shelf.absent import FIRST
from saywhy.terminal.columns import show_columns
from saywhy.terminal.lines import print_json, rows_json

_WHAT = ("puzzles", "setters", "episodes", "recordings")


@part(
    "list",
    click.argument("what", type=click.Choice(_WHAT), default="puzzles", metavar="[WHAT]"),
    click.option("--setter", metavar="SETTER", help="Puzzles of this setter."),
    click.option(
        "--permission",
        type=click.Choice([held.value for held in Permission]),
        help="Puzzles of which this is so.",
    ),
    click.option("--may-air", is_flag=True, help="Puzzles that may air."),
    click.option(
        "--state", type=click.Choice([held.value for held in State]), help="Episodes that have come so far."
    ),
)
def listed(  # noqa: PLR0913 - one argument an option
    shelf: Shelf,
    *,
    what: str,
    setter: str | None,
    permission: str | None,
    may_air: bool,
    state: str | None,
    as_json: bool,
) -> None:
    """
    List what is on the shelf: puzzles (or setters, episodes, recordings).

    Puzzles that came last stand first, episodes in the order in which they air.
    """
    if what == "puzzles":
        held = shelf.puzzles.all(
            setter=None if setter is None else number_of(shelf, setter, "setter"),
            permission=Permission(permission) if permission else None,
            cleared=True if may_air else None,
        )
        if as_json:
            for puzzle in held:
                print_json(telling.puzzle_json(shelf, puzzle))
        else:
            asked = setter or permission or may_air
            none = "No puzzle on the shelf is of this kind." if asked else f"{FIRST['puzzle']}."
            show_columns(telling.PUZZLE_HEAD, [telling.puzzle_row(shelf, puzzle) for puzzle in held], none)
        return
    if setter or permission or may_air:
        raise NotAllowedError(Problem("this option is one of puzzles", f"Leave it out of {what}", what))
    if what == "setters":
        many = {row["setter"]: row["n"] for row in shelf.rows(_PUZZLES_OF)}
        setters = shelf.setters.all()
        rows = [telling.setter_row(each, many.get(each.id, 0)) for each in setters]
        _list(shelf, telling.SETTER_HEAD, rows, setters, f"{FIRST['setter']}.", as_json=as_json)
    elif what == "episodes":
        episodes = shelf.episodes.all(state=State(state) if state else None)
        rows = [telling.episode_row(shelf, each) for each in episodes]
        none = f"No episode on the shelf is {state}." if state else f"{FIRST['episode']}."
        _list(shelf, telling.EPISODE_HEAD, rows, episodes, none, as_json=as_json)
    else:
        recordings = shelf.recordings.all()
        rows = [telling.recording_row(each) for each in recordings]
        _list(shelf, telling.RECORDING_HEAD, rows, recordings, f"{FIRST['recording']}.", as_json=as_json)


@part(
    "show",
    click.argument("thing", metavar="THING"),
    click.option("--reveal", is_flag=True, help="Show the file and the solution of a puzzle too."),
)
def show(shelf: Shelf, *, thing: str, reveal: bool, as_json: bool) -> None:
    """Show the card of a puzzle, a setter or an episode."""
    kind, number = named(shelf, thing, "puzzle", "setter", "episode")
    if kind == "puzzle":
        held = shelf.puzzles.get(number)
        if as_json:
            print_json(telling.puzzle_json(shelf, held, reveal=reveal) | _solution(held, reveal=reveal))
            return
        telling.puzzle_card(shelf, held).show()
        if reveal:
            _reveal(held)
    elif kind == "setter":
        setter = shelf.setters.get(number)
        print_json(telling.told_json(shelf, setter)) if as_json else telling.setter_card(shelf, setter).show()
    else:
        episode = shelf.episodes.get(number)
        if as_json:
            print_json(telling.told_json(shelf, episode))
        else:
            telling.episode_card(shelf, episode).show()


@part("find", click.argument("words", nargs=-1, required=True, metavar="WORDS..."))
def find(shelf: Shelf, *, words: tuple[str, ...], as_json: bool) -> None:
    """
    Search titles, setters, rules, remarks and links.

    All WORDS must stand there, each at least as the beginning of a word; capitals and accents do not count.
    """
    found = shelf.find(" ".join(words))
    if as_json:
        for held in found:
            print_json(msgspec.to_builtins(held))
        return
    rows = [
        (f"{held.kind[0]}{held.id}", held.title, "" if held.kind == "setter" else held.credit or "")
        for held in found
    ]
    show_columns(("", "title", "setter"), rows, "Nothing on the shelf holds these words.")


@part(
    "file",
    click.argument("thing", metavar="THING"),
    click.option("-o", "--output", metavar="FILE", type=click.Path(path_type=Path), help="File to write."),
    click.option("--reveal", is_flag=True, help="Print a recording, which shows the solve."),
)
def file(shelf: Shelf, *, thing: str, output: Path | None, reveal: bool, as_json: bool) -> None:
    """Give the file of a puzzle as it came, or a recording."""
    kind, number = named(shelf, thing, "puzzle", "recording")
    text = shelf.puzzles.get(number).text if kind == "puzzle" else shelf.recordings.get(number).log
    if output is not None:
        try:
            with output.open("xb") as held:
                held.write(text.encode())
        except OSError as error:
            what = f"the file cannot be written: {(error.strerror or str(error)).lower()}"
            raise NotAllowedError(Problem(what, "Name a new file"), str(output)) from None
        print_json({"id": number, "kind": kind, "file": str(output)}) if as_json else click.echo(str(output))
        return
    if kind == "recording" and not reveal:
        raise NotAllowedError(Problem("a recording shows the solve", "Give -o FILE, or --reveal"))
    if as_json:
        print_json({"id": number, "kind": kind, "text": text})
    else:
        click.echo("\n".join(plain(line) for line in text.rstrip("\n").split("\n")))


_PUZZLES_OF = "SELECT setter, count(*) AS n FROM puzzle GROUP BY setter"


def _list(  # type: ignore[no-untyped-def]  # noqa: PLR0913 - one argument a thing told
    shelf: Shelf, head: tuple[str, ...], rows, held, none: str, *, as_json: bool
) -> None:
    if as_json:
        for each in held:
            print_json(telling.told_json(shelf, each))
    else:
        show_columns(head, rows, none)


def _solution(held: ShelfPuzzle, *, reveal: bool) -> dict[str, object]:
    if not reveal:
        return {}
    from saywhy.engine import prove

    puzzle = held.puzzle
    solution = prove(puzzle).solution
    return {"solution": None if solution is None else rows_json(solution, puzzle.grid)}


def _reveal(held: ShelfPuzzle) -> None:
    click.echo("")
    click.echo("\n".join(plain(line) for line in held.text.rstrip("\n").split("\n")))
    rows = _solution(held, reveal=True)["solution"]
    if isinstance(rows, list):
        click.echo("")
        for row in rows:
            click.echo(row if isinstance(row, str) else " ".join(f"{digit:>2}" for digit in row))


PARTS = [listed, show, find, file]
