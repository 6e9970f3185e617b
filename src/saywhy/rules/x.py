"""
X.

Meaning:
    The two digits sum to 10.
Drawn as:
    The letter X on the border of two cells.
Example:
    1 and 9, 2 and 8, 3 and 7 or 4 and 6.
Often confused with:
    V, whose digits sum to 5.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Primitive, sum_of
from saywhy.rule import PairRule, Part, Phrases, RuleError
from saywhy.shapes import Edge, Shape


@dataclass(frozen=True)
class X(PairRule):
    """Two neighbours that sum to 10."""

    name: ClassVar[str] = "x"
    title: ClassVar[str] = "X"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "x"
cells = "r1c2 r1c3"

[[clue]]
rule = "x"
cells = "r4c4 r5c4"
"""
    family: ClassVar[str] = "letter"

    def __post_init__(self) -> None:
        most = 2 * self.grid.size - 1
        if most < 10:
            what = f"two neighbours make {most} at most on this grid, and an X asks for 10"
            raise RuleError("rule", what, "Use pair-sum with a value")

    @classmethod
    def relates(cls, a: int, b: int) -> bool:
        """Say whether the digits sum to 10."""
        return a + b == 10

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digits sum to 10."""
        held = self.held(digits)
        return None if held is None else sum(held) == 10

    def compile(self) -> list[Primitive]:
        """One sum."""
        return [sum_of(self.cells, 10)]

    def draw(self) -> list[Shape]:
        """An X on the border."""
        a, b = self.cells
        return [Edge(a, b, "text", "X")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="X",
            parts=(Part("cell at the X", "cells at the X", self.cells),),
            law="the two at the X make 10",
            across="across the X",
            spoken="Two cells joined by an X make 10.",
            written="Two digits with an X on their border sum to 10.",
        )
