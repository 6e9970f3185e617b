"""From the tables of a TOML file to the structs of format 1, with every wrong field told at once."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import Any, TypeVar, get_args

import msgspec

from saywhy.errors import Problem
from saywhy.files import limits
from saywhy.files.boards import shown

Fields = TypeVar("Fields", bound=msgspec.Struct)

#: The table of wishes, by which a sketch is told from a puzzle.
SKETCH = "wish"

_NOUNS: dict[type, str] = {
    bool: "true or false",
    int: "a whole number",
    float: "a number with a decimal point",
    str: "a text",
    list: "a list",
    dict: "a table",
    datetime.datetime: "a date",
    datetime.date: "a date",
    datetime.time: "a time",
}


def convert(
    table: Mapping[str, Any],
    kind: type[Fields],
    owner: str | None,
    line_of: Callable[[str], int | None],
) -> tuple[Fields | None, list[Problem]]:
    """
    Give the struct of a table, wrong fields left at their defaults, and what is wrong with them.

    Args:
        table: As the TOML parser gives it.
        kind: The struct.
        owner: What the fields belong to, such as ``clue 3``; None for the top of the file.
        line_of: Gives the line of a field.

    Returns:
        The struct, None where a required field is missing or wrong.
    """
    try:
        return msgspec.convert(table, kind), []
    except msgspec.ValidationError:
        pass
    known = {info.encode_name: info for info in msgspec.structs.fields(kind)}
    problems: list[Problem] = []
    good: dict[str, Any] = {}
    for name, value in table.items():
        if len(problems) > limits.MOST_PROBLEMS:
            break
        if name not in known:
            otherwise = "Remove it" if owner or name != SKETCH else "A sketch is for saywhy compose"
            what, mend = f"there is no field {shown(name)}", meant(name, known, otherwise)
        elif _fits(value, known[name].type):
            good[name] = value
            continue
        else:
            expects, example = _expected(known[name].type)
            what = f"{expects} was expected and {_came(value, known[name].type)} came"
            mend = f"Write {name} = {json.dumps(example)}, for example"
        problems.append(Problem(what, mend, _place(owner, name), line_of(name)))
    for name, info in known.items():
        if info.required and name not in table:
            _, example = _expected(info.type)
            mend = f"Add {name} = {json.dumps(example)}"
            problems.append(Problem(f"{name} is missing", mend, _place(owner, name), line_of("")))
    if any(info.required and name not in good for name, info in known.items()):
        return None, problems
    return msgspec.convert(good, kind), problems


def meant(name: str, known: Iterable[str], otherwise: str) -> str:
    """Give how to mend an unknown name: the known name that is close, and what to do otherwise."""
    from difflib import get_close_matches

    near = get_close_matches(name[: limits.LONGEST_NAME].lower().replace("_", "-"), list(known), 1, 0.6)
    return f"Did you mean {near[0]}? If not, {otherwise[0].lower()}{otherwise[1:]}" if near else otherwise


def _place(owner: str | None, name: str) -> str:
    field = name if len(name) < 20 and name.isprintable() else shown(name)
    return field if owner is None else f"{owner}, {field}"


def _fits(value: object, kind: Any) -> bool:
    try:
        msgspec.convert(value, kind)
    except msgspec.ValidationError:
        return False
    return True


@cache
def _expected(kind: Any) -> tuple[str, object]:
    """Give the noun phrase for what a field expects and an example, from the note on its type."""
    for part in (kind, *get_args(kind)):
        for note in getattr(part, "__metadata__", ()):
            if isinstance(note, msgspec.Meta) and note.extra and note.examples:
                return str(note.extra["expects"]), note.examples[0]
    raise TypeError(f"{kind} carries no note on what it expects")


def _came(value: object, kind: Any) -> str:
    if isinstance(value, str):
        return f"a text of {len(value)} characters" if len(value) > 100 else f"the text {shown(value)}"
    if isinstance(value, int) and not isinstance(value, bool):
        return str(value) if abs(value) < 10**9 else "a number far too large"
    if isinstance(value, list):
        lists = _fits([], kind)
        wrong = next((held for held in value if lists and not _fits([held], kind)), None)
        inside = "" if wrong is None else f" with {_NOUNS.get(type(wrong), 'something else')} in it"
        return f"a list of {len(value)}{inside}"
    return _NOUNS.get(type(value), "something else")
