"""
Palindrome.

Meaning:
    The line reads the same from both ends.
Drawn as:
    A broad double line with bars at its ends.
Example:
    3, 7, 1, 7, 3.
Often confused with:
    A zipper line, whose pairs sum to something and need not be equal; a clone, which repeats a shape.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import eq
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Cap, Line, Shape, Texture, Weight


@dataclass(frozen=True)
class Palindrome(CellsRule):
    """A line that reads the same both ways."""

    name: ClassVar[str] = "palindrome"
    title: ClassVar[str] = "Palindrome"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "palindrome"
cells = "r2c2 r1c3 r2c4 r3c4 r4c5"

[[clue]]
rule = "palindrome"
cells = "r6c1 r5c1 r4c2 r4c3"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2

    @property
    def pairs(self) -> list[tuple[int, int]]:
        """The cells that mirror each other, from the ends inwards; a middle cell mirrors none."""
        return [(self.cells[k], self.cells[-1 - k]) for k in range(len(self.cells) // 2)]

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether it reads the same reversed."""
        held = self.held(digits)
        return None if held is None else held == held[::-1]

    def compile(self) -> list[Primitive]:
        """The two of each pair are equal."""
        n = self.grid.size
        return [relation(a, b, n, eq) for a, b in self.pairs]

    def draw(self) -> list[Shape]:
        """A broad double line."""
        return [Line(self.cells, Texture.DOUBLE, Weight.BROAD, ink=7, start=Cap.BAR, end=Cap.BAR)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="palindrome",
            parts=(Part("cell", "line", self.cells),),
            law="the line reads the same from both ends",
            across="in the mirror",
            spoken="A palindrome reads the same from both ends.",
            written="The digits along a palindrome read the same from both of its ends.",
        )
