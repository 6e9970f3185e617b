"""
High spot.

Meaning:
    The digit is greater than each of its orthogonal neighbours.
Drawn as:
    Four small wedges in the cell that point outwards.
Example:
    A 7 among neighbours 6, 3, 2 and 1.
Often confused with:
    A low spot, which is the contrary; a wedge, which compares two cells only.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from operator import gt
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Shape, Sign
from saywhy.thoughts import Thought, outdone


@dataclass(frozen=True)
class HighSpot(CellsRule):
    """One cell with a digit greater than its neighbours."""

    name: ClassVar[str] = "high-spot"
    title: ClassVar[str] = "High spot"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "high-spot"
cells = "r2c2"

[[clue]]
rule = "high-spot"
cells = "r5c6"
"""
    form: ClassVar[Form] = Form.CELL

    @property
    def neighbours(self) -> tuple[int, ...]:
        """The cells that share a side with it."""
        return tuple(self.grid.orthogonal(self.cells[0]))

    @property
    def scope(self) -> tuple[int, ...]:
        """The cell, then its neighbours."""
        return (*self.cells, *self.neighbours)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether each neighbour is smaller."""
        if not all(digits[cell] for cell in self.scope):
            return None
        return all(digits[self.cells[0]] > digits[cell] for cell in self.neighbours)

    def compile(self) -> list[Primitive]:
        """A relation for each neighbour."""
        spot, n = self.cells[0], self.grid.size
        return [relation(spot, cell, n, gt) for cell in self.neighbours]

    def draw(self) -> list[Shape]:
        """Four wedges that point outwards."""
        return [Sign(self.cells[0], "up", ink=8)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="high spot",
            parts=(
                Part("high spot", "high spots", self.cells),
                Part("neighbour", "neighbours", self.neighbours),
            ),
            law="the high spot is higher than all its neighbours",
            spoken="A high spot is higher than every cell beside, above and below it.",
            written="The digit in a high spot is greater than each digit that shares a side with it.",
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """It outdoes what stands beside it."""
        return outdone(self.cells[0], self.neighbours, known, gone, self.grid.size, higher=True)
