"""Setters, and what a person may ask of the shelf: all that it knows of them, and to be erased."""

from __future__ import annotations

from pathlib import Path

import click
import msgspec

from saywhy.commands.shelf.parts import NUMBERED, agreed, number_of, part
from saywhy.commands.shelf.telling import setter_card, told_json
from saywhy.errors import NotAllowedError, Problem
from saywhy.files.titles import plain
from saywhy.shelf import Setter, Shelf
from saywhy.shelf.personal import Erased, erase, personal_data
from saywhy.terminal.about import counted
from saywhy.terminal.lines import print_json


@part(
    "setter",
    click.argument("name", metavar="SETTER"),
    click.option("--credit", metavar="TEXT", help="The credit line as it is published."),
    click.option("--called", metavar="TEXT", help="The name that they like to be called by."),
    click.option("--contact", metavar="TEXT", help="How they are reached."),
    click.option("--remarks", metavar="TEXT", help="Your own."),
)
def setter(shelf: Shelf, *, name: str, as_json: bool, **given: str | None) -> None:
    """Add a setter by credit, or change what is known of one."""
    told = {field: text for field, text in given.items() if text is not None}
    held = _known(shelf, name)
    with shelf.deed(
        f"setter {name if held is None else held.credit} was {'added' if held is None else 'changed'}"
    ):
        if held is None:
            held = shelf.setters.add(told.pop("credit", name))
        if told:
            held = shelf.setters.change(held.id, **told)
    print_json(told_json(shelf, held)) if as_json else setter_card(shelf, held).show()


@part(
    "personal",
    click.argument("setter", metavar="SETTER"),
    click.option("-o", "--output", metavar="FILE", type=click.Path(path_type=Path), help="File to write."),
)
def personal(shelf: Shelf, *, setter: str, output: Path | None, as_json: bool) -> None:
    """Give all that the shelf knows of a setter as one JSON object, for the setter."""
    number = number_of(shelf, setter, "setter")
    told = personal_data(shelf, number)
    if output is None:
        text = msgspec.json.encode(told)
        click.echo(text.decode() if as_json else msgspec.json.format(text, indent=2).decode())
        return
    try:
        with output.open("xb") as held:
            held.write(msgspec.json.format(msgspec.json.encode(told), indent=2) + b"\n")
    except OSError as error:
        what = f"the file cannot be written: {(error.strerror or str(error)).lower()}"
        raise NotAllowedError(Problem(what, "Name a new file"), str(output)) from None
    print_json({"id": number, "file": str(output)}) if as_json else click.echo(str(output))


@part(
    "erase",
    click.argument("setter", metavar="SETTER"),
    click.option(
        "--puzzles",
        required=True,
        type=click.Choice(["stay", "go"]),
        help="Whether the puzzles stay without a name, or go with their episodes and recordings.",
    ),
    click.option("--yes", is_flag=True, help="Do not ask."),
)
def erased(shelf: Shelf, *, setter: str, puzzles: str, yes: bool, as_json: bool) -> None:
    """
    Erase a setter for good.

    This cannot be taken back, and neither can anything that was done before it.
    """
    held = shelf.setters.get(number_of(shelf, setter, "setter"))
    many = counted(len(shelf.puzzles.all(setter=held.id)), "puzzle")
    stay = "stays without a name" if many.startswith("1 ") else "stay without a name"
    fate = stay if puzzles == "stay" else "with all episodes and recordings of them: gone too"
    question = f"Erase {plain(held.credit)} for good ({many} {fate})?"
    agreed(question, yes=yes, as_json=as_json)
    _forget_on_desk(shelf, held)
    done = erase(shelf, held.id, puzzles="stay" if puzzles == "stay" else "go")
    if as_json:
        print_json({"erased": held.id, **msgspec.to_builtins(done)})
    else:
        _tell(done)


def _known(shelf: Shelf, name: str) -> Setter | None:
    """Give the setter of this name, None where there is none."""
    if NUMBERED.fullmatch(name) or shelf.setters.named(name):
        return shelf.setters.get(number_of(shelf, name, "setter"))
    return None


def _forget_on_desk(shelf: Shelf, held: Setter) -> None:
    """
    Take the name off what lies on the desk of the same folder.

    Raises:
        NotAllowedError: A desk is open on it.
    """
    if not (shelf.folder / "desk.sqlite").exists():
        return
    from saywhy.desk.store import Store

    try:
        store = Store(shelf.folder)
    except NotAllowedError as error:
        what = f"{error.problems[0].what}, and it may hold puzzles of this name"
        raise NotAllowedError(Problem(what, "Close the desk, or erase on its page Shelf")) from None
    try:
        store.forget({held.credit, held.called})
    finally:
        store.close()


def _tell(done: Erased) -> None:
    what = "stayed without a name" if done.stayed else "went"
    click.echo(f"Erased. {counted(len(done.puzzles), 'puzzle').capitalize()} {what}.")
    for place in done.still:
        click.echo(f"Still named in {place.kind[0]}{place.id}, {place.field}: change it with note.")
    for copy in done.copies:
        there = "" if copy.there else " (not there now: was it moved?)"
        click.echo(
            plain(f"Copied before, so look there too: {copy.kind} of {copy.at[:10]}, {copy.path}{there}")
        )


PARTS = [setter, personal, erased]
