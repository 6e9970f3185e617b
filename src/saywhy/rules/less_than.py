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

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import lt
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Edge, Shape
from saywhy.thoughts import Said, Thought


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

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """The one is less than the other, which is no more than it can be."""
        low, high = self.cells
        if not (known[low] and known[high]):
            return []
        least, most = (known[low] & -known[low]).bit_length(), known[high].bit_length()
        left = {low: known[low] & ((1 << most - 1) - 1), high: known[high] & ~((1 << least) - 1)}
        found = []
        for cell, other, edge, limit, than in (
            (high, low, least, "or more", "more"),
            (low, high, most, "at most", "less"),
        ):
            if (
                cell not in gone
                or other in gone
                or (edge in (1, self.grid.size) and known[other] & known[other] - 1)
            ):
                continue
            if known[other] & (known[other] - 1):
                said: Said = ((other,), f" is {edge} {limit}, and ", (cell,), f" is {than}")
            else:
                said = ((cell,), f" is {than} than the {edge}")
            found.append(Thought((said,), {cell: left[cell]}))
        return found or [Thought((("the wedge points at the smaller digit",),), left)]
