"""
Counting circles.

Meaning:
    One clue lists all circled cells. A digit in a circle says how many of the circles hold that digit.
Drawn as:
    A dashed ring in each of the cells.
Example:
    Six circles: 1, 2, 2, 3, 3 and 3.
Often confused with:
    The circle of an arrow, which has a shaft; odd cells, which are discs.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Count, Primitive
from saywhy.ranges import check_length
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Ring, Shape


@dataclass(frozen=True)
class CountingCircles(CellsRule):
    """Circled cells whose digits count themselves."""

    name: ClassVar[str] = "counting-circles"
    title: ClassVar[str] = "Counting circles"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "counting-circles"
cells = "r1c1 r1c4 r2c6 r4c2 r5c5 r6c3"
"""
    form: ClassVar[Form] = Form.CELLS

    def __post_init__(self) -> None:
        n = self.grid.size
        why = f"once 1, twice 2 and so on up to {n}"
        check_length("counting-circles", len(self.cells), n * (n + 1) // 2, why)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether each digit in a circle stands in exactly that many."""
        held = self.held(digits)
        return None if held is None else all(held.count(digit) == digit for digit in held)

    def compile(self) -> list[Primitive]:
        """One count."""
        return [Count(self.cells)]

    def draw(self) -> list[Shape]:
        """A dashed ring in each cell."""
        return [Ring((cell,), ink=6, dashed=True) for cell in self.cells]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="counting circles",
            parts=(Part("circle", "circles", self.cells),),
            law="each digit in a circle stands in exactly that many circles",
            spoken="A digit in a dashed circle says how many dashed circles hold that digit.",
            written=(
                "A digit in a dashed circle stands in exactly as many dashed circles as it says. "
                "A digit in none of them is free."
            ),
        )
