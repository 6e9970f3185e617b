"""Cells, houses, neighbours and the r1c1 notation of a square grid."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

SMALLEST = 4
LARGEST = 16

#: Height and width of the default box for each size that has one (RULES.md, common practice).
BOXES = {4: (2, 2), 6: (2, 3), 8: (2, 4), 9: (3, 3), 10: (2, 5), 12: (3, 4), 15: (3, 5), 16: (4, 4)}

_NAME = re.compile(r"r([1-9]\d?)c([1-9]\d?)")


@dataclass(frozen=True)
class House:
    """
    A set of cells that holds each digit once.

    Attributes:
        kind: ``row``, ``column`` or ``region``; other kinds belong to rules (``diagonal`` ...).
        number: From 1, in reading order of the first cell.
        cells: Indices, ascending; as many as the grid has digits.
    """

    kind: str
    number: int
    cells: tuple[int, ...]

    @property
    def name(self) -> str:
        """The name used in every output, such as ``row 3``."""
        return f"{self.kind} {self.number}"


@dataclass(frozen=True)
class Grid:
    """
    A square grid of ``size`` rows and columns, cells numbered row by row from 0.

    Attributes:
        size: Rows, columns and digits, 4 to 16.
        regions: For each cell the number of its region from 0, in reading order of the regions'
            first cells; None for a Latin square.
    """

    size: int
    regions: tuple[int, ...] | None

    @classmethod
    def standard(cls, size: int) -> Grid:
        """
        Give the grid of this size with its usual boxes.

        Raises:
            ValueError: There are no usual boxes for this size.
        """
        height, width = BOXES.get(size, (0, 0))
        if not height:
            raise ValueError(f"no usual boxes for size {size}")
        across = size // width
        return cls(
            size,
            tuple(
                (row // height) * across + column // width for row in range(size) for column in range(size)
            ),
        )

    @property
    def cells(self) -> range:
        """All cells, row by row."""
        return range(self.size * self.size)

    @property
    def digits(self) -> range:
        """All digits, from 1."""
        return range(1, self.size + 1)

    @cached_property
    def houses(self) -> tuple[House, ...]:
        """Rows, then columns, then regions: the houses that every puzzle on this grid has."""
        n = self.size
        rows = [House("row", r + 1, tuple(range(r * n, r * n + n))) for r in range(n)]
        columns = [House("column", c + 1, tuple(range(c, n * n, n))) for c in range(n)]
        regions = []
        if self.regions is not None:
            for number in range(n):
                held = tuple(cell for cell in self.cells if self.regions[cell] == number)
                regions.append(House("region", number + 1, held))
        return (*rows, *columns, *regions)

    @cached_property
    def box(self) -> tuple[int, int] | None:
        """Height and width of the boxes if all regions are equal rectangles in a lattice, else None."""
        if self.regions is None:
            return None
        for height in range(1, self.size + 1):
            width = self.size // height
            if height * width != self.size:
                continue
            across = self.size // width
            if all(
                self.regions[cell] == (cell // self.size // height) * across + cell % self.size // width
                for cell in self.cells
            ):
                return height, width
        return None

    def at(self, row: int, column: int) -> int | None:
        """Give the cell in this row and column, both from 0; None off the grid."""
        if 0 <= row < self.size and 0 <= column < self.size:
            return row * self.size + column
        return None

    def place(self, cell: int) -> tuple[int, int]:
        """Give a cell's row and column, both from 0."""
        return divmod(cell, self.size)

    def name(self, cell: int) -> str:
        """Give a cell's name in r1c1 notation."""
        row, column = divmod(cell, self.size)
        return f"r{row + 1}c{column + 1}"

    def names(self, cells: Iterable[int]) -> list[str]:
        """Give the names of cells, in the order given."""
        return [self.name(cell) for cell in cells]

    def cell(self, name: str) -> int:
        """
        Read one cell's name.

        Raises:
            ValueError: Not a name, or off the grid; the message says which.
        """
        found = _NAME.fullmatch(name)
        if found is None:
            raise ValueError(f"{name[:20]!r} is not a cell; cells are written like r1c1")
        cell = self.at(int(found[1]) - 1, int(found[2]) - 1)
        if cell is None:
            raise ValueError(f"{name} is off the grid, which is {self.size} by {self.size}")
        return cell

    def path(self, text: str) -> tuple[int, ...]:
        """
        Read a list of cells: names parted by spaces, ``r1c1-r1c5`` being a straight run.

        Returns:
            The cells in the order written, repeats kept.

        Raises:
            ValueError: A word is not a cell or a run, or a run is not straight.
        """
        cells: list[int] = []
        for word in text.split():
            first, dash, last = word.partition("-")
            cells.append(self.cell(first))
            if dash:
                cells.extend(self._run(self.cell(first), self.cell(last), word)[1:])
        return tuple(cells)

    def _run(self, first: int, last: int, word: str) -> list[int]:
        (row, column), (to_row, to_column) = self.place(first), self.place(last)
        down, right = to_row - row, to_column - column
        steps = max(abs(down), abs(right))
        if down and right and abs(down) != abs(right):
            raise ValueError(f"{word} is not straight; a run keeps its row, column or diagonal")
        if not steps:
            return [first]
        return [(row + down // steps * k) * self.size + column + right // steps * k for k in range(steps + 1)]

    def moved(self, cell: int, moves: Sequence[tuple[int, int]]) -> list[int]:
        """Give the cells reached from a cell by moves of (rows down, columns right), on the grid only."""
        row, column = self.place(cell)
        reached = (self.at(row + down, column + right) for down, right in moves)
        return [found for found in reached if found is not None]

    def orthogonal(self, cell: int) -> list[int]:
        """Give the cells that share a side with a cell."""
        return self.moved(cell, ((-1, 0), (0, -1), (0, 1), (1, 0)))

    def touching(self, a: int, b: int) -> bool:
        """Say whether two different cells share a side or a corner."""
        size = self.size
        return a != b and abs(a // size - b // size) <= 1 and abs(a % size - b % size) <= 1

    @cached_property
    def neighbour_pairs(self) -> tuple[tuple[int, int], ...]:
        """Every two cells that share a side, the lower index first."""
        return tuple((a, b) for a in self.cells for b in self.orthogonal(a) if a < b)
