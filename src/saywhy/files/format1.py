"""
The fields of puzzle format 1, as msgspec structs: what a file may say, before any meaning.

The JSON Schema is generated from these, and error messages take what was expected and an example of
it from the same place.
"""

from __future__ import annotations

from typing import Annotated, Any

import msgspec
from msgspec import UNSET, Meta, UnsetType

from saywhy.files import limits
from saywhy.grid import LARGEST, SMALLEST


def _says(expects: str, example: object, description: str, **bounds: Any) -> Meta:
    """Give the note on a field: ``expects`` is a noun phrase, ``example`` a value that is fine."""
    return Meta(description=description, examples=[example], extra={"expects": expects}, **bounds)


def _line(example: str, description: str) -> Meta:
    longest = limits.LONGEST_TITLE
    return _says(f"a text of at most {longest} characters", example, description, max_length=longest)


def _number(example: int, description: str, least: int, most: int = limits.LARGEST_NUMBER) -> Meta:
    return _says(f"a whole number from {least} to {most}", example, description, ge=least, le=most)


Name = Annotated[str, Meta(max_length=limits.LONGEST_NAME)]
Cells = Annotated[str, Meta(max_length=limits.LONGEST_CELLS)]


class ClueFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """One ``[[clue]]``."""

    rule: Annotated[
        str,
        _says("the name of a rule", "killer-cage", "Name of the rule.", max_length=limits.LONGEST_NAME),
    ]
    cells: (
        Annotated[
            str,
            _says(
                "a text of cells",
                "r1c1 r1c2",
                "Cells in the order of the path; r1c1-r1c5 is a straight run.",
                max_length=limits.LONGEST_CELLS,
            ),
        ]
        | UnsetType
    ) = UNSET
    groups: (
        Annotated[
            list[Cells],
            _says(
                "a list of texts of cells",
                ["r1c1 r1c2", "r5c5 r5c6"],
                "Groups of cells, where the rule speaks of groups.",
                max_length=limits.MOST_GROUPS,
            ),
        ]
        | UnsetType
    ) = UNSET
    value: Annotated[int, _number(15, "The printed number.", 0)] | UnsetType = UNSET
    digits: (
        Annotated[
            Annotated[list[Annotated[int, Meta(ge=1, le=LARGEST)]], Meta(max_length=LARGEST)]
            | Annotated[str, Meta(max_length=limits.LONGEST_NAME)],
            _says(
                f"a list of digits from 1 to {LARGEST}",
                [1, 2, 2],
                "The printed digits, repeats kept; a text of digits parted by spaces does as well.",
            ),
        ]
        | UnsetType
    ) = UNSET
    pill: (
        Annotated[int, _number(2, "How many first cells of an arrow make one number.", 1, LARGEST)]
        | UnsetType
    ) = UNSET
    count: (
        Annotated[int, _number(3, "How many cells from the edge the clue reaches.", 1, LARGEST)] | UnsetType
    ) = UNSET


class PuzzleFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """A puzzle file of format 1."""

    format: Annotated[int, _says("the number 1", 1, "Always 1.", ge=1, le=1)]
    title: Annotated[str, _line("Harbour lights", "Shown to people; plain text.")] = ""
    setter: Annotated[str, _line("demo", "The setter's credit; plain text.")] = ""
    size: Annotated[int, _number(9, "Rows, columns and digits.", SMALLEST, LARGEST)] = 9
    givens: (
        Annotated[
            str,
            _says(
                "a text with one row a line",
                ". . 3 . .",
                "One row a line: digits, or '.' for an empty cell. Spaces, '|' and lines of '-' are "
                "ignored; sizes above 9 part the numbers by spaces. Left out: no givens.",
                max_length=limits.LONGEST_BOARD,
            ),
        ]
        | UnsetType
    ) = UNSET
    regions: (
        Annotated[
            str,
            _says(
                'a text with one row a line, or "none"',
                "none",
                "One symbol a cell, one row a line; cells with the same symbol make a region. "
                "Left out: the usual boxes. 'none': a Latin square.",
                max_length=limits.LONGEST_BOARD,
            ),
        ]
        | UnsetType
    ) = UNSET
    rules: Annotated[
        list[Name],
        _says("a list of rule names", ["anti-knight"], "Grid-wide rules.", max_length=limits.MOST_NAMES),
    ] = msgspec.field(default_factory=list)
    all_given: Annotated[
        list[Name],
        _says(
            "a list of rule names",
            ["white-dot"],
            "Rules between two neighbours of which every case is marked.",
            max_length=limits.MOST_NAMES,
        ),
    ] = msgspec.field(default_factory=list, name="all-given")
    clue: Annotated[list[ClueFields], Meta(max_length=limits.MOST_CLUES)] = msgspec.field(
        default_factory=list
    )
