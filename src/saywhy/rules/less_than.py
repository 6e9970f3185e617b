"""
Less than.

Meaning:
    The first cell's digit is smaller than the second's.
Drawn as:
    A wedge on the border of two cells; its point is at the smaller digit.
Example:
    Point at the 3, open side at the 7.
Often confused with:
    A thermometer, which climbs along a whole line.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import lt
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Edge, Shape


@dataclass(frozen=True)
class LessThan(CellsRule):
    """Two neighbours, the first one smaller."""

    name: ClassVar[str] = "less-than"
    title: ClassVar[str] = "Less than"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "less-than"
cells = "r1c2 r1c3"

[[clue]]
rule = "less-than"
cells = "r4c4 r3c4"

[[clue]]
rule = "less-than"
cells = "r6c5 r6c4"
"""
    form: ClassVar[Form] = Form.PAIR

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the first digit is smaller."""
        held = self.held(digits)
        return None if held is None else held[0] < held[1]

    def compile(self) -> list[Primitive]:
        """One relation."""
        a, b = self.cells
        return [relation(a, b, self.grid.size, lt)]

    def draw(self) -> list[Shape]:
        """A wedge that points at the first cell."""
        a, b = self.cells
        return [Edge(a, b, "less")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="wedge",
            parts=(
                Part("smaller cell", "smaller cells", self.cells[:1]),
                Part("larger cell", "larger cells", self.cells[1:]),
            ),
            law="the wedge points at the smaller digit",
            spoken="A wedge between two cells points at the smaller digit.",
            written="A wedge on a border points at the smaller of the two digits.",
        )
