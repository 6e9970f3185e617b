"""Small puzzles, and plain search over everything that could be left out or put in."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations

from saywhy.engine import count, prove
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle

#: A 4x4 grid; any filled grid would do.
FILLED = (1, 2, 3, 4, 3, 4, 1, 2, 2, 1, 4, 3, 4, 3, 2, 1)


def small(seed: int, givens: int, clues: int) -> Puzzle:
    """Give a 4x4 with so many givens and cages of a random grid; it may have any number of solutions."""
    chance = random.Random(seed)
    grid = Grid.standard(4)
    solution = prove(Puzzle(grid, (0,) * 16), seed=seed + 1).solution
    assert solution is not None
    held = chance.sample(range(16), givens)
    pairs = chance.sample(grid.neighbour_pairs, clues)
    return Puzzle(
        grid,
        tuple(solution[cell] if cell in held else 0 for cell in range(16)),
        clues=tuple(Clue("killer-cage", pair, value=solution[pair[0]] + solution[pair[1]]) for pair in pairs),
    )


def members(puzzle: Puzzle) -> list[tuple[str, int]]:
    """List the givens and clues."""
    givens = [("given", cell) for cell, digit in enumerate(puzzle.givens) if digit]
    return [*givens, *(("clue", place) for place in range(len(puzzle.clues)))]


def without(puzzle: Puzzle, gone: Iterable[tuple[str, int]]) -> Puzzle:
    """Give a puzzle without some of its members."""
    out = set(gone)
    givens = tuple(0 if ("given", cell) in out else digit for cell, digit in enumerate(puzzle.givens))
    clues = tuple(clue for place, clue in enumerate(puzzle.clues) if ("clue", place) not in out)
    return replace(puzzle, givens=givens, clues=clues)


def unique(puzzle: Puzzle) -> bool:
    """Say whether there is one solution."""
    return count(puzzle, 2).solutions == 1


def trimmings(puzzle: Puzzle) -> set[frozenset[tuple[str, int]]]:
    """Give every largest set of members that can go together, by trying all sets."""
    held = members(puzzle)
    fine = {
        frozenset(gone)
        for size in range(len(held) + 1)
        for gone in combinations(held, size)
        if unique(without(puzzle, gone))
    }
    return {gone for gone in fine if not any(gone | {one} in fine for one in held if one not in gone)}


def corrections(puzzle: Puzzle) -> set[frozenset[tuple[str, int]]]:
    """Give the smallest sets of members without which there is a solution, by trying all sets."""
    held = members(puzzle)
    for size in range(len(held) + 1):
        found = {
            frozenset(gone) for gone in combinations(held, size) if count(without(puzzle, gone), 1).solutions
        }
        if found:
            return found
    return set()


def added(puzzle: Puzzle, solution: tuple[int, ...], size: int) -> Iterator[Puzzle]:
    """Give the puzzle with every set of so many givens of a solution added."""
    empty = [cell for cell, digit in enumerate(puzzle.givens) if not digit]
    for cells in combinations(empty, size):
        digits = tuple(solution[c] if c in cells else d for c, d in enumerate(puzzle.givens))
        yield replace(puzzle, givens=digits)
