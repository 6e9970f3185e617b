"""
Black dot.

Meaning:
    One of the two digits is twice the other; with a printed value it is that many times the other.
Drawn as:
    A filled dot on the border of two cells, with the value in it if there is one.
Example:
    The pairs are 1 and 2, 2 and 4, 3 and 6, 4 and 8. With a 3 in the dot: 1 and 3, 2 and 6, 3 and 9.
Often confused with:
    A white dot, which is about consecutive digits. Between a 1 and a 2 either may stand.
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


def multiple(a: int, b: int, times: int) -> bool:
    """Say whether one digit is this many times the other."""
    return a == times * b or b == times * a


@dataclass(frozen=True)
class BlackDot(PairRule):
    """
    Two neighbours, one a fixed number of times the other.

    Attributes:
        value: How many times, 2 unless printed.
    """

    name: ClassVar[str] = "black-dot"
    title: ClassVar[str] = "Black dot"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "black-dot"
cells = "r1c2 r1c3"

[[clue]]
rule = "black-dot"
cells = "r3c4 r4c4"

[[clue]]
rule = "black-dot"
cells = "r6c5 r6c6"
value = 3
"""
    family: ClassVar[str] = "dot"
    takes: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 2

    def __post_init__(self) -> None:
        check_range("value", self.value, 2, self.grid.size, "the ratio at a black dot")

    @classmethod
    def relates(cls, a: int, b: int) -> bool:
        """Say whether one digit is twice the other."""
        return a == 2 * b or b == 2 * a

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether one digit is the value times the other."""
        held = self.held(digits)
        return None if held is None else max(held) == self.value * min(held)

    def compile(self) -> list[Primitive]:
        """One relation."""
        a, b = self.cells
        return [relation(a, b, self.grid.size, multiple, self.value)]

    def draw(self) -> list[Shape]:
        """A filled dot."""
        a, b = self.cells
        return [Edge(a, b, "filled", "" if self.value == 2 else str(self.value))]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        if self.value == 2:
            return Phrases(
                noun="black dot",
                parts=(Part("cell at the dot", "cells at the dot", self.cells),),
                law="at the black dot one digit is twice the other",
                across="across the dot",
                unfit=("has neither half nor double", "have neither half nor double"),
                spoken="At a black dot, one digit is twice the other.",
                written="Of the two digits at a black dot, one is twice the other.",
            )
        return Phrases(
            noun=f"black dot with {self.value}",
            parts=(Part("cell at the dot", "cells at the dot", self.cells),),
            law=f"at the dot one digit is {self.value} times the other",
            across="across the dot",
            unfit=("fits neither way round", "fit neither way round"),
            spoken="With a number in the black dot, one digit is that many times the other.",
            written="Of the two digits at a black dot with a number, one is that number times the other.",
        )
