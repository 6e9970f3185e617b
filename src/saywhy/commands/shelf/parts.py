"""What the parts of ``saywhy shelf`` share: the open shelf, errors in text and JSON, names, questions."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from dataclasses import replace
from functools import wraps
from pathlib import Path
from typing import Any, Concatenate

import click

from saywhy.errors import AmbiguousError, NotAllowedError, Problem, SaywhyError
from saywhy.files import Entry
from saywhy.shelf import Shelf, usual_folder
from saywhy.shelf.absent import FIRST
from saywhy.terminal.codes import Exit
from saywhy.terminal.lines import print_error
from saywhy.terminal.options import json_option

Part = Callable[Concatenate[Shelf, ...], Exit | None]

#: How a thing is named by letter and number.
NUMBERED = re.compile(r"([psrePSRE])([0-9]{1,15})")
#: Fields of the shelf, and the options that give them where none has the field's name.
_ALIASES = {"airs": "on", "on": "granted"}
_KINDS = {"p": "puzzle", "s": "setter", "e": "episode", "r": "recording"}


def part(name: str, *options: Callable[[Any], Any]) -> Callable[[Part], click.Command]:
    """
    Make a part of ``saywhy shelf`` of a function on the open shelf; ``--json`` is among its options.

    An error that input can cause is told on the standard error, and with ``--json`` as an object too.
    """

    def made(function: Part) -> click.Command:
        @wraps(function)
        def run(*given: Any, **named: Any) -> Exit:
            try:
                with Shelf(click.get_current_context().obj or usual_folder()) as shelf:
                    return function(shelf, *given, **named) or Exit.FINE
            except SaywhyError as error:
                error.problems = [_by_option(problem) for problem in error.problems]
                if error.source is None and any(problem.line is not None for problem in error.problems):
                    error.source = named.get("recording")  # of what is given, only a recording has lines
                return refused(error, as_json=named["as_json"])

        # The function's own documentation is its help; options are applied from the last to the first.
        held: Any = json_option(_folder_option(run))
        for option in reversed(options):
            held = option(held)
        return click.command(name)(held)

    return made


def _folder_option(run: Any) -> Any:
    """Let ``--folder`` stand behind the part's name too."""

    def keep(ctx: click.Context, _: click.Parameter, folder: Path | None) -> None:
        ctx.obj = folder or ctx.obj

    kind = click.Path(path_type=Path)
    return click.option("--folder", "kept_in", type=kind, expose_value=False, callback=keep, hidden=True)(run)


def _by_option(problem: Problem) -> Problem:
    """Name the option that gave what is wrong, where the shelf names its own field."""
    flags = {
        held.name: held.opts[-1]
        for held in click.get_current_context().command.params
        if isinstance(held, click.Option)
    }
    field = problem.field
    while field in _ALIASES and field not in flags:
        field = _ALIASES[field]
    return replace(problem, field=flags[field]) if field in flags else problem


def refused(error: SaywhyError, *, as_json: bool) -> Exit:
    """Tell an error and give the exit code."""
    return print_error(Entry(error.source or "shelf", error=error), as_json=as_json)


def named(shelf: Shelf, text: str, *kinds: str) -> tuple[str, int]:
    """
    Give the kind and number of what a text names.

    Args:
        shelf: The shelf.
        text: ``p12``, or a title or a credit.
        kinds: The kinds that will do.

    Raises:
        NotAllowedError: Nothing has this name.
        AmbiguousError: Several have.
    """
    bare = text.strip()
    if numbered := NUMBERED.fullmatch(bare):
        kind = _KINDS[numbered[1].lower()]
        if kind not in kinds:
            raise _wrong(f"{bare} names {_a(kind)}", f"Name {_either(kinds)}")
        return kind, int(numbered[2])
    found = [(kind, number) for kind, number, title in _titles(shelf) if kind in kinds and _same(title, bare)]
    if len(found) == 1:
        return found[0]
    if found:
        several = ", ".join(f"{kind[0]}{number}" for kind, number in found[:6])
        what = f"{len(found)} things are called {bare[:60]!r}: {several}"
        raise AmbiguousError(Problem(what, "Name one by its letter and number"))
    near = [held for held in shelf.find(bare, 20) if held.kind in kinds][:3]
    hint = ", ".join(f"{held.kind[0]}{held.id} ({held.title})" for held in near)
    empty = not any(kind in kinds for kind, _, _ in _titles(shelf))
    listed = f"Name {_either(kinds)} of those that saywhy shelf list names"
    mend = f"Perhaps it is {hint}" if hint else FIRST[kinds[0]] if empty else listed
    raise _wrong(f"nothing on the shelf is called {bare[:60]!r}", mend)


def number_of(shelf: Shelf, text: str, kind: str) -> int:
    """Give the number of what a text names, which must be of this kind."""
    return named(shelf, text, kind)[1]


def agreed(question: str, *, yes: bool, as_json: bool) -> None:
    """
    Ask before something goes.

    Raises:
        NotAllowedError: Nobody is there to be asked, and ``--yes`` was not given.
        click.Abort: The answer is no.
    """
    if yes:
        return
    if as_json or not sys.stdin.isatty():
        what = f"this is asked first, and nobody sits at the terminal to answer: {question}"
        raise NotAllowedError(Problem(what.rstrip("?"), "Give --yes if so"))
    click.confirm(question, abort=True)


def _titles(shelf: Shelf) -> list[tuple[str, int, str]]:
    rows = shelf.rows(
        "SELECT 'puzzle' AS kind, id, title FROM puzzle UNION ALL SELECT 'setter', id, credit FROM setter"
        " UNION ALL SELECT 'setter', id, called FROM setter WHERE called <> credit"
        " UNION ALL SELECT 'episode', id, title FROM episode WHERE title <> ''"
    )
    return [(row["kind"], row["id"], row["title"]) for row in rows]


def _same(title: str, asked: str) -> bool:
    return bool(asked) and title.casefold() == asked.casefold()


def _either(kinds: tuple[str, ...]) -> str:
    letters = {kind: letter for letter, kind in _KINDS.items()}
    return " or ".join(f"{_a(kind)} ({letters[kind]}1)" for kind in kinds)


def _a(kind: str) -> str:
    return f"an {kind}" if kind == "episode" else f"a {kind}"


def _wrong(what: str, mend: str) -> NotAllowedError:
    return NotAllowedError(Problem(what, mend))
