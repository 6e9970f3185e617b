"""
Disjoint groups.

Meaning:
    Cells in the same place of their regions hold each digit once. Only for regions that are equal
    rectangles.
Drawn as:
    Nothing on the board; the key names it.
Example:
    A 5 in the upper left cell of one box keeps 5 out of the upper left cell of every other box.
Often confused with:
    Extra regions, which are drawn and lie anywhere.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from saywhy.grid import Grid, House
from saywhy.primitives import AllDifferent, Primitive
from saywhy.rule import GridRule, Part, Phrases, RuleError
from saywhy.shapes import Shape


@dataclass(frozen=True)
class DisjointGroups(GridRule):
    """Each digit once among the cells in the same place of their boxes."""

    name: ClassVar[str] = "disjoint-groups"
    title: ClassVar[str] = "Disjoint groups"
    specimen: ClassVar[str] = """
size = 6
rules = ["disjoint-groups"]
"""

    grid: Grid

    def __post_init__(self) -> None:
        if self.grid.box is None:
            what = "disjoint-groups needs regions that are equal rectangles, and this grid has others or none"
            raise RuleError("rules", what, "Remove disjoint-groups or use boxes")

    @classmethod
    def read(cls, grid: Grid) -> Self:
        """Give the rule on this grid."""
        return cls(grid)

    @property
    def groups(self) -> list[tuple[int, ...]]:
        """The cells of each place, places in reading order."""
        height, width = self.grid.box or (1, 1)
        places: dict[tuple[int, int], list[int]] = {}
        for cell in self.grid.cells:
            row, column = self.grid.place(cell)
            places.setdefault((row % height, column % width), []).append(cell)
        return [tuple(places[place]) for place in sorted(places)]

    @property
    def scope(self) -> tuple[int, ...]:
        """Every cell."""
        return tuple(self.grid.cells)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether no group holds a digit twice."""
        for group in self.groups:
            seen = [digits[cell] for cell in group if digits[cell]]
            if len(set(seen)) < len(seen):
                return False
        return True if all(digits) else None

    def compile(self) -> list[Primitive]:
        """All different, for each group."""
        return [AllDifferent(group) for group in self.groups]

    def draw(self) -> list[Shape]:
        """Nothing: the key names it."""
        return []

    @property
    def example(self) -> tuple[int, ...]:
        """The first cell of every box."""
        return self.groups[0]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="group",
            parts=(Part("cell", "cells", self.scope),),
            law="cells in the same place of their boxes differ",
            spoken="Cells in the same spot of different boxes can't hold the same digit.",
            written="Cells in the same place of different boxes must not hold the same digit.",
        )

    def houses(self) -> list[House]:
        """One for each place in a box, in reading order."""
        return [House("group", number, group) for number, group in enumerate(self.groups, 1)]
