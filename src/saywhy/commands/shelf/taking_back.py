"""What goes, and comes back."""

from __future__ import annotations

from collections.abc import Callable

import click
import msgspec

from saywhy.commands.shelf.parts import agreed, named, part
from saywhy.files.titles import plain
from saywhy.shelf import Shelf
from saywhy.terminal.about import counted
from saywhy.terminal.columns import show_columns
from saywhy.terminal.lines import print_json


@part(
    "remove",
    click.argument("thing", metavar="THING"),
    click.option("--yes", is_flag=True, help="Do not ask."),
)
def remove(shelf: Shelf, *, thing: str, yes: bool, as_json: bool) -> None:
    """
    Take a puzzle, a setter, an episode or a recording off the shelf.

    With a puzzle go its episodes, recordings and reviews. ``saywhy shelf undo`` brings all of it back.
    """
    kind, number = named(shelf, thing, "puzzle", "setter", "episode", "recording")
    agreed(_question(shelf, kind, number), yes=yes, as_json=as_json)
    removing: dict[str, Callable[[int], None]] = {
        "puzzle": shelf.puzzles.remove,
        "setter": shelf.setters.remove,
        "episode": shelf.episodes.remove,
        "recording": shelf.recordings.remove,
    }
    removing[kind](number)
    if as_json:
        print_json({"removed": number, "kind": kind})
    else:
        click.echo(f"{kind[0]}{number} is off the shelf. saywhy shelf undo brings it back.")


@part("undo", click.option("--list", "listed", is_flag=True, help="Only list what can be taken back."))
def undo(shelf: Shelf, *, listed: bool, as_json: bool) -> None:
    """Take back what was done last; again for what was done before that."""
    if listed:
        deeds = shelf.deeds()
        if as_json:
            for deed in deeds:
                print_json(msgspec.to_builtins(deed))
        else:
            rows = [(deed.at[:16].replace("T", " "), deed.words) for deed in deeds]
            show_columns(("done", "what"), rows, "There is nothing to take back.")
        return
    done = shelf.undo()
    if as_json:
        print_json({"taken_back": None if done is None else msgspec.to_builtins(done)})
    elif done is None:
        click.echo("There is nothing to take back.")
    else:
        click.echo(plain(f"Taken back: {done.words}."))


def _question(shelf: Shelf, kind: str, number: int) -> str:
    if kind == "puzzle":
        title = shelf.puzzles.get(number).title
        with_it = [counted(many, table) for table, many in shelf.puzzles.goes_with(number).items() if many]
        also = f", and with it {' and '.join(with_it)}" if with_it else ""
        return plain(f"Take p{number}{f' ({title})' if title else ''} off the shelf{also}?")
    if kind == "setter":
        return plain(f"Take s{number} ({shelf.setters.get(number).credit}) off the shelf?")
    if kind == "episode":
        held = shelf.episodes.get(number)
        return plain(f"Take e{number} ({held.state}, {held.airs or 'no day'}) off the shelf?")
    held_recording = shelf.recordings.get(number)
    return f"Take r{number} ({held_recording.acts} acts) off the shelf?"


PARTS = [remove, undo]
