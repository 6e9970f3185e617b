"""
Anti-king.

Meaning:
    Cells that touch at a corner hold different digits.
Drawn as:
    Nothing on the board; the key names it.
Example:
    A 5 in r3c3 keeps 5 out of r4c4, which lies in another box.
Often confused with:
    Anti-knight, which is about cells a chess knight's move apart.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from saywhy.grid import Grid
from saywhy.primitives import AllDifferent, Primitive
from saywhy.rule import GridRule, Part, Phrases
from saywhy.shapes import Shape

#: The two moves downwards; the other two are the same pairs seen from the other cell.
MOVES = ((1, -1), (1, 1))


@dataclass(frozen=True)
class AntiKing(GridRule):
    """Cells that touch at a corner differ."""

    name: ClassVar[str] = "anti-king"
    title: ClassVar[str] = "Anti-king"
    specimen: ClassVar[str] = """
size = 6
rules = ["anti-king"]
"""

    grid: Grid

    @classmethod
    def read(cls, grid: Grid) -> Self:
        """Give the rule on this grid."""
        return cls(grid)

    @property
    def pairs(self) -> list[tuple[int, int]]:
        """Every two cells that touch at a corner."""
        return [(a, b) for a in self.grid.cells for b in self.grid.moved(a, MOVES)]

    @property
    def scope(self) -> tuple[int, ...]:
        """Every cell."""
        return tuple(self.grid.cells)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether no two such cells hold the same digit."""
        if any(digits[a] and digits[a] == digits[b] for a, b in self.pairs):
            return False
        return True if all(digits) else None

    def compile(self) -> list[Primitive]:
        """Two cells all different, for each pair."""
        return [AllDifferent(pair) for pair in self.pairs]

    def draw(self) -> list[Shape]:
        """Nothing: the key names it."""
        return []

    @property
    def example(self) -> tuple[int, ...]:
        """A middle cell and all that touch its corners."""
        n = self.grid.size
        middle = n // 2 * n + n // 2
        return middle, *self.grid.moved(middle, ((-1, -1), (-1, 1), *MOVES))

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="king's move",
            parts=(Part("cell", "cells", self.scope),),
            sees="across a corner",
            law="cells that touch at a corner differ",
            spoken="Cells that touch at a corner can't hold the same digit.",
            written="Cells that touch at a corner must not hold the same digit.",
        )
