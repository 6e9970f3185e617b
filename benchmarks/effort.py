"""
Whether our effort orders classics as published metrics do: Spearman rank correlation.

Method: after the metrics of Radek Pelanek, "Difficulty Rating of Sudoku Puzzles", arXiv 1403.7373 (and FLAIRS
2011), written anew from memory of what they count. A solver knows naked and hidden singles. At each point

- ``open``: the number of singles open at once; the metric is the sum over the steps of 1 / open, so that a
  path with few openings counts as hard (the paper's dependency between steps);
- ``refutation``: where no single is left, for each wrong candidate the number of single steps until a
  contradiction is seen; the least one is taken and added, and that candidate goes (the paper's refutation
  score).  A candidate that leads to no contradiction is not counted.

Our weights are not tuned to this. The classics come from a seeded generator (``benchmarks.explain``); what is
printed beside each correlation is n and the first seed.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from benchmarks.explain import random_classic
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.reasoning.explain import explain

#: A single step that is longer than this to a contradiction is not weighed.
LONGEST = 60


class Board:
    """Candidates of a classic, for a solver of singles."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.houses = [house.cells for house in grid.houses]
        self.peers = [
            {c for cells in self.houses if cell in cells for c in cells} - {cell} for cell in grid.cells
        ]
        self.left = [set(grid.digits) for _ in grid.cells]
        self.placed: set[int] = set()

    def copy(self) -> Board:
        """Give an independent copy."""
        other = Board.__new__(Board)
        other.grid, other.houses, other.peers = self.grid, self.houses, self.peers
        other.left, other.placed = [set(held) for held in self.left], set(self.placed)
        return other

    def place(self, cell: int, digit: int) -> None:
        """Place a digit."""
        self.left[cell] = self.left[cell] & {digit}
        self.placed.add(cell)
        for other in self.peers[cell]:
            self.left[other].discard(digit)

    def singles(self) -> set[tuple[int, int]]:
        """Give all naked and hidden singles that are open."""
        found = {
            (cell, min(held))
            for cell, held in enumerate(self.left)
            if len(held) == 1 and cell not in self.placed
        }
        for cells in self.houses:
            for digit in self.grid.digits:
                homes = [cell for cell in cells if digit in self.left[cell]]
                if len(homes) == 1 and homes[0] not in self.placed:
                    found.add((homes[0], digit))
        return found

    @property
    def broken(self) -> bool:
        """Whether a cell or a digit of a house has nowhere to go."""
        return not all(self.left) or any(
            not any(digit in self.left[cell] for cell in cells)
            for cells in self.houses
            for digit in self.grid.digits
        )


def refuted_in(board: Board, cell: int, digit: int, most: int) -> int | None:
    """Give how many single steps lead from a supposition to a contradiction; None if none or too many do."""
    here = board.copy()
    here.place(cell, digit)
    for steps in range(most):
        if here.broken:
            return steps
        singles = here.singles()
        if not singles:
            return None
        here.place(*min(singles))
    return None


def published(puzzle: Puzzle) -> tuple[float, float]:
    """Give a classic's sum of 1 / open singles, and its refutation score."""
    board = Board(puzzle.grid)
    for cell, digit in enumerate(puzzle.givens):
        if digit:
            board.place(cell, digit)
    narrow = refutation = 0.0
    while len(board.placed) < len(board.left):
        singles = board.singles()
        if singles:
            narrow += 1 / len(singles)
            board.place(*min(singles))
            continue
        best: tuple[int, int, int] | None = None
        for cell, held in enumerate(board.left):
            for digit in sorted(held) if len(held) > 1 else ():
                steps = refuted_in(board, cell, digit, LONGEST if best is None else best[0])
                if steps is not None and (best is None or (steps, cell, digit) < best):
                    best = steps, cell, digit
            if best is not None and best[0] <= 1:
                break
        if best is None:
            refutation += LONGEST
            break
        refutation += best[0] + 1
        board.left[best[1]].discard(best[2])
    return narrow, refutation


def ranks(values: Sequence[float]) -> list[float]:
    """Give the rank of each value from 1, equal ones sharing their mean rank."""
    return [sum(v < value for v in values) + (sum(v == value for v in values) + 1) / 2 for value in values]


def spearman(first: Sequence[float], second: Sequence[float]) -> float:
    """Give Spearman's rank correlation: Pearson's of the ranks."""
    a, b = ranks(first), ranks(second)
    mean = (len(a) + 1) / 2
    shared = sum((x - mean) * (y - mean) for x, y in zip(a, b, strict=True))
    spread = sum((x - mean) ** 2 for x in a) * sum((y - mean) ** 2 for y in b)
    return shared / spread**0.5 if spread else 0.0


def main(arguments: Sequence[str] = ()) -> None:
    """Print the table of correlations."""
    parser = argparse.ArgumentParser(description="Rank correlation of our effort with published metrics.")
    parser.add_argument("--number", type=int, default=60)
    parser.add_argument("--seed", type=int, default=100, help="the first seed")
    asked = parser.parse_args(list(arguments))
    ours: list[tuple[float, float]] = []
    theirs: list[tuple[float, float]] = []
    for seed in range(asked.seed, asked.seed + asked.number):
        puzzle = random_classic(seed)
        path = explain(puzzle)
        if path.effort is not None:
            ours.append((path.effort.total, path.effort.hardest))
            theirs.append(published(puzzle))
    print(f"Spearman rank correlation, n = {len(ours)} of {asked.number} classics, seeds from {asked.seed}")
    print(f"{'':<10}{'1/open singles':>16}{'refutation':>12}{'both ranks':>12}")
    open_ranks, refuted_ranks = (ranks([row[place] for row in theirs]) for place in (0, 1))
    both = [a + b for a, b in zip(open_ranks, refuted_ranks, strict=True)]
    for name, place in (("total", 0), ("hardest", 1)):
        mine = [row[place] for row in ours]
        figures = [spearman(mine, [row[0] for row in theirs]), spearman(mine, [row[1] for row in theirs])]
        print(f"{name:<10}{figures[0]:>16.2f}{figures[1]:>12.2f}{spearman(mine, both):>12.2f}")
    print(f"{sum(row[1] > 0 for row in theirs)} of them cannot be solved by singles alone")


if __name__ == "__main__":
    import sys

    main(sys.argv[1:])
