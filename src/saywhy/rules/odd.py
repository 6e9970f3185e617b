"""
Odd.

Meaning:
    The digit in the cell is odd.
Drawn as:
    A disc of fine lines behind the digit.
Example:
    On a 9x9 grid the cell holds 1, 3, 5, 7 or 9.
Often confused with:
    Even, which is drawn as a square; a counting circle, which is a dashed ring.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Primitive, only
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Shape, Sign


@dataclass(frozen=True)
class Odd(CellsRule):
    """One cell with an odd digit."""

    name: ClassVar[str] = "odd"
    title: ClassVar[str] = "Odd"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "odd"
cells = "r1c2"

[[clue]]
rule = "odd"
cells = "r3c5"

[[clue]]
rule = "odd"
cells = "r6c1"
"""
    form: ClassVar[Form] = Form.CELL

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digit is odd."""
        held = self.held(digits)
        return None if held is None else held[0] % 2 == 1

    def compile(self) -> list[Primitive]:
        """The cell holds one of the odd digits."""
        n = self.grid.size
        return [only(self.cells[0], range(1, n + 1, 2), n)]

    def draw(self) -> list[Shape]:
        """A disc."""
        return [Sign(self.cells[0], "disc", ink=8)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="odd cell",
            parts=(Part("odd cell", "odd cells", self.cells),),
            law="the disc stands for an odd digit",
            spoken="A cell with a disc takes an odd digit.",
            written="A cell with a disc holds an odd digit.",
        )
