"""
Anti-knight.

Meaning:
    Cells a chess knight's move apart hold different digits.
Drawn as:
    Nothing on the board; the key names it.
Example:
    A 5 in r1c1 keeps 5 out of r2c3 and r3c2.
Often confused with:
    Anti-king, which is about cells that touch at a corner.
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

#: The four moves downwards; the other four are the same pairs seen from the other cell.
MOVES = ((1, -2), (1, 2), (2, -1), (2, 1))


@dataclass(frozen=True)
class AntiKnight(GridRule):
    """Cells a knight's move apart differ."""

    name: ClassVar[str] = "anti-knight"
    title: ClassVar[str] = "Anti-knight"
    specimen: ClassVar[str] = """
size = 6
rules = ["anti-knight"]
"""

    grid: Grid

    @classmethod
    def read(cls, grid: Grid) -> Self:
        """Give the rule on this grid."""
        return cls(grid)

    @property
    def pairs(self) -> list[tuple[int, int]]:
        """Every two cells a knight's move apart."""
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
        """A middle cell and all that are a knight's move away."""
        n = self.grid.size
        middle = n // 2 * n + n // 2
        both_ways = (*MOVES, *((-down, -right) for down, right in MOVES))
        return middle, *self.grid.moved(middle, both_ways)

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="knight's move",
            parts=(Part("cell", "cells", self.scope),),
            sees="a knight's move away",
            law="cells a knight's move apart differ",
            spoken="Cells a knight's move apart can't hold the same digit.",
            written="Cells that are a chess knight's move apart must not hold the same digit.",
        )
