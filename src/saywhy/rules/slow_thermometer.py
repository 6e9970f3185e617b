"""
Slow thermometer.

Meaning:
    The digits never decrease from the bulb, the first cell, to the tip; neighbours may be equal where
    other rules allow.
Drawn as:
    A bulb with a hatched stem.
Example:
    2, 3, 3, 8 from the bulb.
Often confused with:
    A thermometer, on which every digit is greater than the one before.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from operator import le
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Cap, Line, Shape, Texture, Weight


@dataclass(frozen=True)
class SlowThermometer(CellsRule):
    """Digits that never fall from the bulb to the tip."""

    name: ClassVar[str] = "slow-thermometer"
    title: ClassVar[str] = "Slow thermometer"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "slow-thermometer"
cells = "r2c2 r3c2 r4c3 r5c3"

[[clue]]
rule = "slow-thermometer"
cells = "r6c6 r5c6 r4c5"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether no digit is smaller than the one before."""
        held = self.held(digits)
        return None if held is None else all(a <= b for a, b in pairwise(held))

    def compile(self) -> list[Primitive]:
        """A relation for each step, which together lose nothing: the line has no fork."""
        n = self.grid.size
        return [relation(a, b, n, le) for a, b in pairwise(self.cells)]

    def draw(self) -> list[Shape]:
        """A bulb and a hatched stem."""
        return [Line(self.cells, Texture.HATCHED, Weight.BROAD, ink=8, start=Cap.BULB)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="slow thermometer",
            parts=(
                Part("bulb", "bulbs", self.cells[:1]),
                Part("stem cell", "stem", self.cells[1:]),
                Part("tip", "tips", self.cells[-1:]),
            ),
            law="the digits never fall from the bulb to the tip",
            spoken="Digits on a slow thermometer climb or stay equal from the bulb to the tip.",
            written=(
                "Along a slow thermometer, no digit is smaller than the one before it, from the bulb on. "
                "Neighbours may be equal where other rules allow."
            ),
        )
