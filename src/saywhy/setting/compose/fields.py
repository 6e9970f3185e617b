"""The fields that a sketch has beyond those of a puzzle file, and how they are read."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any

import msgspec
from msgspec import UNSET, Meta, UnsetType

from saywhy.errors import Problem
from saywhy.files import limits
from saywhy.files.boards import shown
from saywhy.files.fields import meant
from saywhy.setting.compose.patterns import LONGEST
from saywhy.setting.compose.sketch import EFFORTS, symmetry_named
from saywhy.setting.symmetry import SYMMETRIES

MOST_SHAPES = 64  #: shapes in all that a sketch may leave to be found
_SPAN = re.compile(r"(?:(at most) )?(\d{1,3})(?:-(\d{1,3}))?")

#: Takes a field, what is wrong with it and how to mend it.
Wrong = Callable[[str, str, str], None]


def _says(expects: str, example: object, description: str, **bounds: Any) -> Meta:
    return Meta(description=description, examples=[example], extra={"expects": expects}, **bounds)


Span = Annotated[
    int | str, _says('a number, or a text such as "4-6" or "at most 6"', "at most 6", "How many.")
]
Names = Annotated[str, Meta(max_length=limits.LONGEST_NAME)]


class OpenFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """A ``[[clue]]`` with ``cells = "?"``."""

    rule: Annotated[str, _says("the name of a rule", "double-arrow", "Name of the rule.")]
    cells: Annotated[str, _says("the text ?", "?", "Always a question mark.")]
    shapes: Annotated[int | str, _says('a number of shapes, or "all"', 4, "How many such clues.")] = 1
    length: Span | UnsetType = UNSET
    symmetry: Annotated[str, _says("the name of a symmetry", "half turn", "How they lie.")] = ""
    value: Annotated[int | str, _says('a number, or "?"', "?", "The number on each.")] | UnsetType = UNSET
    digits: Annotated[str, _says('a text such as "??"', "??", "A ? for each digit.")] = ""


class WishFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """The table ``[wish]``."""

    givens: Span | UnsetType = UNSET
    symmetry: Annotated[str, _says("the name of a symmetry", "half turn", "Of the givens' places.")] = ""
    effort: (
        Annotated[
            str | Annotated[list[Names], Meta(max_length=len(EFFORTS))],
            _says("a band of effort, or a list of them", EFFORTS[1], "Bands that will do."),
        ]
        | UnsetType
    ) = UNSET
    pattern: Annotated[
        str, _says("a place and what is seen there", "region 5 in order", "Hidden.", max_length=LONGEST)
    ] = ""


def span(held: int | str) -> tuple[int, int] | None:
    """Give the least and most of a number, ``4-6`` or ``at most 6``; None where it is none of these."""
    found = _SPAN.fullmatch(str(held).strip())
    if found is None or (found[1] and found[3]):
        return None
    last = int(found[3] or found[2])
    return (0 if found[1] else int(found[2])), last


def symmetry(name: str, wrong: Wrong) -> str:
    """Give the whole name of a symmetry; empty where there is none of that name, which is told."""
    found = symmetry_named(name)
    if found is not None:
        return found.name
    if name:
        names = [kind.name.removeprefix("a ") for kind in SYMMETRIES]
        mend = meant(name, names, f"Name any of: {', '.join(names)}")
        wrong("symmetry", f"there is no symmetry {shown(name)}", mend)
    return ""


def problems_of(owner: str, line: Callable[[str], int | None], problems: list[Problem]) -> Wrong:
    """Give what adds to the problems of one owner, such as ``wish`` or ``clue 3 (arrow)``."""

    def wrong(field: str, what: str, mend: str) -> None:
        problems.append(Problem(what, mend, f"{owner}, {field}", line(field)))

    return wrong
