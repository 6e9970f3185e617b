"""
Falling diagonal.

Meaning:
    The diagonal from the top left corner to the bottom right corner holds each digit once.
Drawn as:
    A line from corner to corner.
Example:
    A 5 in r1c1 keeps 5 out of r2c2, r3c3 and the rest of that diagonal.
Often confused with:
    Diagonals, which asks the same of both diagonals; a little killer, which asks for a sum.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from saywhy.grid import Grid, House
from saywhy.primitives import AllDifferent, Primitive
from saywhy.rule import GridRule, Part, Phrases
from saywhy.shapes import Diagonal, Shape


@dataclass(frozen=True)
class FallingDiagonal(GridRule):
    """Each digit once on the diagonal that falls to the right."""

    name: ClassVar[str] = "falling-diagonal"
    title: ClassVar[str] = "Falling diagonal"
    specimen: ClassVar[str] = """
size = 6
rules = ["falling-diagonal"]
"""

    grid: Grid

    @classmethod
    def read(cls, grid: Grid) -> Self:
        """Give the rule on this grid."""
        return cls(grid)

    @property
    def scope(self) -> tuple[int, ...]:
        """The cells of the diagonal, from the top."""
        return tuple(k * self.grid.size + k for k in range(self.grid.size))

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether no digit stands on it twice."""
        seen = [digits[cell] for cell in self.scope if digits[cell]]
        if len(set(seen)) < len(seen):
            return False
        return True if len(seen) == self.grid.size else None

    def compile(self) -> list[Primitive]:
        """All different on the diagonal."""
        return [AllDifferent(self.scope)]

    def draw(self) -> list[Shape]:
        """A line from corner to corner."""
        return [Diagonal(falling=True)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        n = self.grid.size
        return Phrases(
            noun="falling diagonal",
            parts=(Part("cell", "diagonal", self.scope),),
            law=f"the falling diagonal holds 1 to {n} once each",
            spoken=f"The diagonal from the top left corner also takes 1 to {n} once each.",
            written=(
                f"The diagonal from the top left to the bottom right corner holds each digit "
                f"from 1 to {n} once."
            ),
        )

    def houses(self) -> list[House]:
        """The diagonal."""
        return [House("diagonal", 1, self.scope)]
