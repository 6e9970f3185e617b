"""
Thermometer.

Meaning:
    The digits strictly increase from the bulb, the first cell, to the tip.
Drawn as:
    A bulb with a broad stem.
Example:
    2, 3, 7, 8 from the bulb.
Often confused with:
    A slow thermometer, on which neighbours may be equal; an arrow, which is about a sum.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from operator import lt
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.ranges import check_length
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Cap, Line, Shape, Texture, Weight


@dataclass(frozen=True)
class Thermometer(CellsRule):
    """Digits that climb from the bulb to the tip."""

    name: ClassVar[str] = "thermometer"
    title: ClassVar[str] = "Thermometer"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "thermometer"
cells = "r2c2 r3c2 r4c3 r5c3"

[[clue]]
rule = "thermometer"
cells = "r6c6 r5c6 r4c5"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2

    def __post_init__(self) -> None:
        why = "its digits climb with every cell"
        check_length("a thermometer", len(self.cells), self.grid.size, why)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether each digit is greater than the one before."""
        held = self.held(digits)
        return None if held is None else all(a < b for a, b in pairwise(held))

    def compile(self) -> list[Primitive]:
        """A relation for each step, which together lose nothing: the line has no fork."""
        n = self.grid.size
        return [relation(a, b, n, lt) for a, b in pairwise(self.cells)]

    def draw(self) -> list[Shape]:
        """A bulb and a stem."""
        return [Line(self.cells, Texture.SOLID, Weight.BROAD, ink=8, start=Cap.BULB)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="thermometer",
            parts=(
                Part("bulb", "bulbs", self.cells[:1]),
                Part("stem cell", "stem", self.cells[1:]),
                Part("tip", "tips", self.cells[-1:]),
            ),
            law="the digits climb from the bulb to the tip",
            spoken="Digits on a thermometer climb from the bulb to the tip.",
            written="Along a thermometer, every digit is greater than the one before it, from the bulb on.",
        )
