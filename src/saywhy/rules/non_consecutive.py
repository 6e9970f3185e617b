"""
Non-consecutive.

Meaning:
    Orthogonal neighbours never differ by exactly 1.
Drawn as:
    Nothing on the board; the key names it.
Example:
    Beside a 5 there is neither a 4 nor a 6.
Often confused with:
    All given white dots, under which a marked border does hold consecutive digits.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from saywhy.grid import Grid
from saywhy.primitives import Primitive, relation
from saywhy.rule import GridRule, Part, Phrases
from saywhy.shapes import Shape


def not_consecutive(a: int, b: int) -> bool:
    """Say whether two digits do not differ by exactly 1."""
    return abs(a - b) != 1


@dataclass(frozen=True)
class NonConsecutive(GridRule):
    """Orthogonal neighbours never differ by exactly 1."""

    name: ClassVar[str] = "non-consecutive"
    title: ClassVar[str] = "Non-consecutive"
    specimen: ClassVar[str] = """
size = 6
rules = ["non-consecutive"]
"""

    grid: Grid

    @classmethod
    def read(cls, grid: Grid) -> Self:
        """Give the rule on this grid."""
        return cls(grid)

    @property
    def scope(self) -> tuple[int, ...]:
        """Every cell."""
        return tuple(self.grid.cells)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether no two neighbours are consecutive."""
        pairs = self.grid.neighbour_pairs
        if any(digits[a] and digits[b] and abs(digits[a] - digits[b]) == 1 for a, b in pairs):
            return False
        return True if all(digits) else None

    def compile(self) -> list[Primitive]:
        """A relation for each pair of neighbours."""
        n = self.grid.size
        return [relation(a, b, n, not_consecutive) for a, b in self.grid.neighbour_pairs]

    def draw(self) -> list[Shape]:
        """Nothing: the key names it."""
        return []

    @property
    def example(self) -> tuple[int, ...]:
        """A middle cell and its neighbours."""
        n = self.grid.size
        middle = n // 2 * n + n // 2
        return middle, *self.grid.orthogonal(middle)

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="neighbour",
            parts=(Part("cell", "cells", self.scope),),
            sees="next door",
            law="neighbours are never consecutive",
            spoken="Cells side by side never hold consecutive digits.",
            written="Cells that share a side must not hold consecutive digits.",
        )
