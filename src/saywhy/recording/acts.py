"""
What a solver does on a board, one struct an act, and the first line of a recording.

Semantics, for every reader:

- ``place`` writes a digit; one that stood there gives way. ``options`` replaces the options of a cell
  (an empty list takes them away). ``tie``: the digit is in one of these cells. ``sum``, ``trait`` and
  ``tint`` with null take away what these same cells held.
- ``erase`` with ``cell`` takes away the digit of a cell or, where there is none, its options and
  traits; with ``cells`` and ``digit`` it takes away that tie.
- ``undo`` takes back the last act of the board that has not been taken back, one act for one
  ``undo``; ``redo`` brings back the last one taken back, until something else is written.
- ``marker``, ``pause``, ``resume`` and ``finish`` do not touch the board, and ``undo`` passes them by.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import msgspec
from msgspec import UNSET, Meta, UnsetType

#: Longest name of a marker, in characters.
LONGEST_NAME = 200
#: Latest time of an act, in seconds: a little over three years, since a recording may be gone on with.
LONGEST_S = 100_000_000

Time = Annotated[float, Meta(ge=0, le=LONGEST_S, description="Seconds since the start.")]
Cell = Annotated[str, Meta(pattern=r"^r([1-9]|1[0-6])c([1-9]|1[0-6])$", max_length=6)]
Cells = Annotated[list[Cell], Meta(min_length=1, max_length=256)]
Digit = Annotated[int, Meta(ge=1, le=16)]


class Act(
    msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag_field="do", tag=str.lower
):
    """
    One act.

    Attributes:
        t: Seconds since the start of the recording; never less than of the act before.
    """

    t: Time

    #: Whether it changes the board, so that ``undo`` takes it back.
    writes: ClassVar[bool] = True


class Place(Act, frozen=True, kw_only=True):
    """A digit is written into a cell."""

    cell: Cell
    digit: Digit


class Erase(Act, frozen=True, kw_only=True):
    """What a cell holds is taken away, or a tie."""

    cell: Cell | UnsetType = UNSET
    cells: Cells | UnsetType = UNSET
    digit: Digit | UnsetType = UNSET

    def __post_init__(self) -> None:
        of_tie = self.cells is not UNSET and self.digit is not UNSET
        if (self.cell is UNSET) != of_tie or (not of_tie and (self.cells, self.digit) != (UNSET, UNSET)):
            raise ValueError("erase needs cell, or cells and digit to take away a tie")


class Options(Act, frozen=True, kw_only=True):
    """The digits that a cell may still be."""

    cell: Cell
    digits: Annotated[list[Digit], Meta(max_length=16)]


class Tie(Act, frozen=True, kw_only=True):
    """A digit is in one of these cells."""

    cells: Annotated[list[Cell], Meta(min_length=2, max_length=256)]
    digit: Digit


class Sum(Act, frozen=True, kw_only=True):
    """These cells sum to a total."""

    cells: Cells
    total: Annotated[int, Meta(ge=0, le=9999)] | None


class Trait(Act, frozen=True, kw_only=True):
    """These cells hold low or high, odd or even digits; each of a pair replaces the other."""

    cells: Cells
    trait: Literal["low", "high", "odd", "even"] | None


class Tint(Act, frozen=True, kw_only=True):
    """These cells are tinted, to point at them."""

    cells: Cells
    tint: Annotated[int, Meta(ge=1, le=6)] | None


class Undo(Act, frozen=True, kw_only=True):
    """The last act of the board is taken back."""

    writes: ClassVar[bool] = False


class Redo(Act, frozen=True, kw_only=True):
    """The last act taken back is done again."""

    writes: ClassVar[bool] = False


class Marker(Act, frozen=True, kw_only=True):
    """A place in the recording is given a name."""

    name: Annotated[str, Meta(max_length=LONGEST_NAME)]
    writes: ClassVar[bool] = False


class Pause(Act, frozen=True, kw_only=True):
    """The clock stands still from here."""

    writes: ClassVar[bool] = False


class Resume(Act, frozen=True, kw_only=True):
    """The clock goes on."""

    writes: ClassVar[bool] = False


class Finish(Act, frozen=True, kw_only=True):
    """The solver says that the grid is done."""

    writes: ClassVar[bool] = False


AnyAct = Place | Erase | Options | Tie | Sum | Trait | Tint | Undo | Redo | Marker | Pause | Resume | Finish


class Header(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """
    The first line of a recording.

    Attributes:
        format: Always 1.
        puzzle: SHA-256 of the puzzle's canonical text, in hexadecimal (``files.puzzle_id``).
        blind: Whether the solver had not seen the way before.
        started: When ``t`` was 0, RFC 3339 with its offset.
    """

    format: Annotated[int, Meta(ge=1, le=1)]
    puzzle: Annotated[str, Meta(pattern=r"^[0-9a-f]{64}$")]
    blind: bool
    started: Annotated[str, Meta(max_length=40)]
