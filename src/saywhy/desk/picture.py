"""The printed part of a board as pages get it."""

from __future__ import annotations

import msgspec

from saywhy.drawing.printed import printed
from saywhy.puzzle import Puzzle


class Margins(msgspec.Struct, frozen=True):
    """Room outside the grid, in cell widths."""

    above: float
    right: float
    below: float
    left: float


class KeyPart(msgspec.Struct, frozen=True):
    """One rule of the key; ``svg`` is its mark."""

    rule: str
    title: str
    text: str
    svg: str


class Picture(msgspec.Struct, frozen=True, kw_only=True):
    """
    A printed board: what ``board/api.js`` calls ``Printed``, its picture as text.

    Attributes:
        box: Rows and columns of a box where all are alike.
        ground: The rule of the empty grid.
    """

    size: int
    box: tuple[int, int] | None
    givens: tuple[int, ...]
    halos: tuple[float, ...]
    unit: float
    margins: Margins
    svg: str
    ground: str
    key: tuple[KeyPart, ...]


def picture(puzzle: Puzzle) -> Picture:
    """Draw the printed part of a puzzle."""
    made = printed(puzzle)
    return Picture(
        size=puzzle.grid.size,
        box=puzzle.grid.box,
        givens=puzzle.givens,
        halos=made.halos,
        unit=made.unit,
        margins=Margins(*made.margins),
        svg=made.svg,
        ground=made.ground,
        key=tuple(KeyPart(part.rule, part.title, part.text, part.svg) for part in made.key),
    )
