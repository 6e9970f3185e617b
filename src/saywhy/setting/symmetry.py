"""The symmetries that a pattern of cells can have."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass


@dataclass(frozen=True)
class Symmetry:
    """
    One way in which a pattern can be like itself.

    Attributes:
        name: In plain words.
        turn: For a row and a column from 0 and the size of the grid, where that cell comes to lie.
    """

    name: str
    turn: Callable[[int, int, int], tuple[int, int]]

    def image(self, cell: int, size: int) -> int:
        """Give the cell that takes the place of a cell."""
        row, column = self.turn(*divmod(cell, size), size)
        return row * size + column

    def orbit(self, cell: int, size: int) -> tuple[int, ...]:
        """Give the cells that must all stand or fall with a cell, ascending."""
        found = [cell]
        while (after := self.image(found[-1], size)) != cell:
            found.append(after)
        return tuple(sorted(found))

    def orbits(self, size: int) -> list[tuple[int, ...]]:
        """Give all orbits, in reading order of their first cells."""
        return list(dict.fromkeys(self.orbit(cell, size) for cell in range(size * size)))

    def missing(self, cells: Collection[int], size: int) -> set[int]:
        """Give the cells that a pattern lacks to have this symmetry."""
        held = set(cells)
        return {cell for start in held for cell in self.orbit(start, size)} - held


#: The strictest first: a quarter turn is a half turn too.
SYMMETRIES = (
    Symmetry("a quarter turn", lambda row, column, size: (column, size - 1 - row)),
    Symmetry("a half turn", lambda row, column, size: (size - 1 - row, size - 1 - column)),
    Symmetry("left and right mirrored", lambda row, column, size: (row, size - 1 - column)),
    Symmetry("top and bottom mirrored", lambda row, column, size: (size - 1 - row, column)),
    Symmetry("mirrored in the falling diagonal", lambda row, column, _size: (column, row)),
    Symmetry(
        "mirrored in the rising diagonal", lambda row, column, size: (size - 1 - column, size - 1 - row)
    ),
)

#: A pattern of fewer cells than this has symmetries by chance.
FEWEST = 4


def symmetries(cells: Collection[int], size: int, slack: int = 0) -> list[Symmetry]:
    """
    Give the symmetries of a pattern; none where it has too few cells to mean one.

    Args:
        cells: The pattern.
        size: Rows and columns.
        slack: How many cells it may lack and still be taken to mean the symmetry.
    """
    if len(cells) < FEWEST:
        return []
    return [kind for kind in SYMMETRIES if len(kind.missing(cells, size)) <= slack]
