"""
Even.

Meaning:
    The digit in the cell is even.
Drawn as:
    A square of fine lines behind the digit.
Example:
    On a 9x9 grid the cell holds 2, 4, 6 or 8.
Often confused with:
    Odd, which is drawn as a disc.
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
class Even(CellsRule):
    """One cell with an even digit."""

    name: ClassVar[str] = "even"
    title: ClassVar[str] = "Even"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "even"
cells = "r1c2"

[[clue]]
rule = "even"
cells = "r3c5"

[[clue]]
rule = "even"
cells = "r6c1"
"""
    form: ClassVar[Form] = Form.CELL

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digit is even."""
        held = self.held(digits)
        return None if held is None else held[0] % 2 == 0

    def compile(self) -> list[Primitive]:
        """The cell holds one of the even digits."""
        n = self.grid.size
        return [only(self.cells[0], range(2, n + 1, 2), n)]

    def draw(self) -> list[Shape]:
        """A square."""
        return [Sign(self.cells[0], "square", ink=8)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="even cell",
            parts=(Part("even cell", "even cells", self.cells),),
            law="the square stands for an even digit",
            spoken="A cell with a square takes an even digit.",
            written="A cell with a square holds an even digit.",
        )
