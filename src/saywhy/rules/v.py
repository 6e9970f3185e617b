"""
V.

Meaning:
    The two digits sum to 5.
Drawn as:
    The letter V on the border of two cells.
Example:
    1 and 4 or 2 and 3.
Often confused with:
    X, whose digits sum to 10.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Primitive, sum_of
from saywhy.rule import PairRule, Part, Phrases
from saywhy.shapes import Edge, Shape


@dataclass(frozen=True)
class V(PairRule):
    """Two neighbours that sum to 5."""

    name: ClassVar[str] = "v"
    title: ClassVar[str] = "V"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "v"
cells = "r1c2 r1c3"

[[clue]]
rule = "v"
cells = "r4c4 r5c4"
"""
    family: ClassVar[str] = "letter"

    @classmethod
    def relates(cls, a: int, b: int) -> bool:
        """Say whether the digits sum to 5."""
        return a + b == 5

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digits sum to 5."""
        held = self.held(digits)
        return None if held is None else sum(held) == 5

    def compile(self) -> list[Primitive]:
        """One sum."""
        return [sum_of(self.cells, 5)]

    def draw(self) -> list[Shape]:
        """A V on the border."""
        a, b = self.cells
        return [Edge(a, b, "text", "V")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="V",
            parts=(Part("cell at the V", "cells at the V", self.cells),),
            law="the two at the V make 5",
            across="across the V",
            spoken="Two cells joined by a V make 5.",
            written="Two digits with a V on their border sum to 5.",
        )
