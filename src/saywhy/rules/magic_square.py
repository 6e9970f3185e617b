"""
Magic square.

Meaning:
    In the 3x3 cells all rows, all columns and both diagonals have the same sum.
Drawn as:
    A chequered surface with a solid outline.
Example:
    2 7 6 / 9 5 1 / 4 3 8: every line makes 15. In a 3x3 box of a 9x9 grid there is no other square but
    this one turned and mirrored.
Often confused with:
    An extra region, which holds each digit once and has no sums.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Primitive, balance
from saywhy.rule import CellsRule, Form, Part, Phrases, RuleError
from saywhy.shapes import Area, Shape, Texture


@dataclass(frozen=True)
class MagicSquare(CellsRule):
    """Three by three cells, kept in reading order, whose eight lines make the same."""

    name: ClassVar[str] = "magic-square"
    title: ClassVar[str] = "Magic square"
    specimen: ClassVar[str] = """
size = 9

[[clue]]
rule = "magic-square"
cells = "r4c4 r4c5 r4c6 r5c4 r5c5 r5c6 r6c4 r6c5 r6c6"
"""
    form: ClassVar[Form] = Form.CELLS
    fewest: ClassVar[int] = 9

    def __post_init__(self) -> None:
        cells = tuple(sorted(self.cells))
        row, column = self.grid.place(cells[0])
        square = tuple(self.grid.at(row + down, column + right) for down in range(3) for right in range(3))
        if cells != square:
            raise RuleError(
                "cells", "three rows of three cells were expected", "Name the nine cells of a square"
            )
        object.__setattr__(self, "cells", cells)

    @property
    def lines(self) -> list[tuple[int, int, int]]:
        """The three rows, the three columns and the two diagonals."""
        a, b, c, d, e, f, g, h, i = self.cells
        return [(a, b, c), (d, e, f), (g, h, i), (a, d, g), (b, e, h), (c, f, i), (a, e, i), (c, e, g)]

    @property
    def centre(self) -> int:
        """The cell in the middle."""
        return self.cells[4]

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether all eight lines make the same."""
        if self.held(digits) is None:
            return None
        return len({sum(digits[cell] for cell in line) for line in self.lines}) == 1

    def compile(self) -> list[Primitive]:
        """
        Each line makes three times the centre.

        The four lines through the centre cover every cell once and the centre three times more, and three
        rows cover every cell once: so four totals are three totals and three times the centre.
        """
        return [balance(line, (self.centre,) * 3) for line in self.lines]

    def draw(self) -> list[Shape]:
        """A chequered surface."""
        return [Area(self.cells, Texture.SOLID, Texture.CHECKED, ink=4)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="magic square",
            parts=(
                Part("cell of the square", "square", self.cells),
                Part("centre", "centres", (self.centre,)),
            ),
            law="every line of the magic square makes three times its centre",
            spoken="In a magic square, every row, column and diagonal of three makes the same total.",
            written=(
                "In a magic square of three by three cells, all rows, all columns and both diagonals have "
                "the same sum."
            ),
        )
