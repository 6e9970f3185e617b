"""
Diagonals.

Meaning:
    Both main diagonals, from corner to corner, hold each digit once.
Drawn as:
    Two lines that cross in the middle of the grid.
Example:
    On a 9x9 grid a 5 in the centre keeps 5 out of every other cell of both diagonals.
Often confused with:
    Falling diagonal and rising diagonal, which ask for one only; a little killer, which asks for a sum.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from saywhy.grid import Grid, House
from saywhy.primitives import Primitive
from saywhy.rule import GridRule, Part, Phrases
from saywhy.rules.falling_diagonal import FallingDiagonal
from saywhy.rules.rising_diagonal import RisingDiagonal
from saywhy.shapes import Shape


@dataclass(frozen=True)
class Diagonals(GridRule):
    """Each digit once on both main diagonals."""

    name: ClassVar[str] = "diagonals"
    title: ClassVar[str] = "Diagonals"
    specimen: ClassVar[str] = """
size = 6
rules = ["diagonals"]
"""

    grid: Grid

    @classmethod
    def read(cls, grid: Grid) -> Self:
        """Give the rule on this grid."""
        return cls(grid)

    @property
    def both(self) -> tuple[FallingDiagonal, RisingDiagonal]:
        """The two rules that it is made of."""
        return FallingDiagonal(self.grid), RisingDiagonal(self.grid)

    @property
    def scope(self) -> tuple[int, ...]:
        """The cells of both, the one in the middle once."""
        return tuple(dict.fromkeys(cell for one in self.both for cell in one.scope))

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether each diagonal holds."""
        verdicts = [one.holds(digits) for one in self.both]
        if False in verdicts:
            return False
        return None if None in verdicts else True

    def compile(self) -> list[Primitive]:
        """All different on each."""
        return [primitive for one in self.both for primitive in one.compile()]

    def draw(self) -> list[Shape]:
        """Both lines."""
        return [shape for one in self.both for shape in one.draw()]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        falling, rising = self.both
        n = self.grid.size
        return Phrases(
            noun="diagonals",
            parts=(
                Part("falling cell", "falling diagonal", falling.scope),
                Part("rising cell", "rising diagonal", rising.scope),
            ),
            law=f"each of the two diagonals holds 1 to {n} once each",
            spoken=f"Both long diagonals also take 1 to {n} once each.",
            written=f"Each of the two diagonals from corner to corner holds each digit from 1 to {n} once.",
        )

    def houses(self) -> list[House]:
        """The falling diagonal, then the rising one."""
        return [House("diagonal", number, one.scope) for number, one in enumerate(self.both, 1)]
