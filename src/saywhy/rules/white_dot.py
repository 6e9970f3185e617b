"""
White dot.

Meaning:
    The two digits are consecutive; with a printed value they differ by exactly that much.
Drawn as:
    An open dot on the border of two cells, with the value in it if there is one.
Example:
    Beside a 4 across the dot stands a 3 or a 5. With a 3 in the dot: a 1 or a 7.
Often confused with:
    A black dot, which is about twice as much. Between a 1 and a 2 either may stand.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.ranges import check_range
from saywhy.rule import PairRule, Part, Phrases
from saywhy.shapes import Edge, Shape


def differ(a: int, b: int, by: int) -> bool:
    """Say whether two digits differ by exactly this much."""
    return abs(a - b) == by


@dataclass(frozen=True)
class WhiteDot(PairRule):
    """
    Two neighbours that differ by a fixed amount.

    Attributes:
        value: The amount, 1 unless printed.
    """

    name: ClassVar[str] = "white-dot"
    title: ClassVar[str] = "White dot"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "white-dot"
cells = "r1c2 r1c3"

[[clue]]
rule = "white-dot"
cells = "r3c4 r4c4"

[[clue]]
rule = "white-dot"
cells = "r6c5 r6c6"
value = 3
"""
    family: ClassVar[str] = "dot"
    takes: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 1

    def __post_init__(self) -> None:
        check_range("value", self.value, 1, self.grid.size - 1, "the difference at a white dot")

    @classmethod
    def relates(cls, a: int, b: int) -> bool:
        """Say whether the digits are consecutive."""
        return abs(a - b) == 1

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digits differ by the value."""
        held = self.held(digits)
        return None if held is None else abs(held[0] - held[1]) == self.value

    def compile(self) -> list[Primitive]:
        """One relation."""
        a, b = self.cells
        return [relation(a, b, self.grid.size, differ, self.value)]

    def draw(self) -> list[Shape]:
        """An open dot."""
        a, b = self.cells
        return [Edge(a, b, "open", "" if self.value == 1 else str(self.value))]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        if self.value == 1:
            return Phrases(
                noun="white dot",
                parts=(Part("cell at the dot", "cells at the dot", self.cells),),
                law="the white dot joins consecutive digits",
                across="across the dot",
                spoken="A white dot joins consecutive digits.",
                written="The two digits at a white dot are consecutive.",
            )
        return Phrases(
            noun=f"white dot with {self.value}",
            parts=(Part("cell at the dot", "cells at the dot", self.cells),),
            law=f"the two digits at the dot differ by {self.value}",
            across="across the dot",
            spoken="A number in a white dot is the difference of its two digits.",
            written="The two digits at a white dot with a number differ by exactly that number.",
        )
