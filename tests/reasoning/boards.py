"""Small boards for the tests of the reasoning, and seeded makers of puzzles with one solution."""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import replace
from functools import cache

from saywhy.engine import Budget, prove
from saywhy.grid import Grid
from saywhy.primitives import mask
from saywhy.puzzle import Puzzle
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Find
from tests.second_opinion.makers import true_clue

EMPTY = Puzzle(Grid.standard(9), (0,) * 81)


def cell(name: str, size: int = 9) -> int:
    """Give a cell by its name."""
    return Grid(size, None).cell(name)


def at(frame: Frame, **left: str) -> Position:
    """Give the opening with these digits left by written marks: ``at(frame, r1c1="25")``."""
    position = Position.opening(frame)
    position.remove(
        {frame.grid.cell(name): frame.full & ~mask(map(int, held)) for name, held in left.items()}
    )
    return position


def shown(finds: Iterable[Find], frame: Frame) -> set[tuple[str, str, int]]:
    """Give all that finds place and strike out, as ("place" or "gone", cell, digit)."""
    found = set()
    for find in finds:
        found |= {("place", frame.grid.name(c), digit) for c, digit in find.places.items()}
        found |= {
            ("gone", frame.grid.name(c), place + 1)
            for c, held in find.removes.items()
            for place in range(frame.n)
            if held >> place & 1
        }
    return found


@cache
def classic(seed: int, size: int = 9) -> Puzzle:
    """Give a classic with one solution: a random grid, then givens taken away while it stays the only one."""
    chance = random.Random(seed)
    base = Puzzle(Grid.standard(size), (0,) * size * size)
    solution = prove(base, seed=seed + 1).solution
    assert solution is not None
    relabelled = chance.sample(range(1, size + 1), size)
    givens = [relabelled[digit - 1] for digit in solution]
    for where in chance.sample(base.grid.cells, len(givens)):
        kept, givens[where] = givens[where], 0
        if prove(replace(base, givens=tuple(givens))).verdict != "unique":
            givens[where] = kept
    return replace(base, givens=tuple(givens))


@cache
def variant(seed: int, size: int = 6) -> Puzzle:
    """Give a small puzzle of several rules with one solution, few givens."""
    chance = random.Random(seed)
    grid = Grid.standard(size)
    empty = Puzzle(grid, (0,) * size * size)
    solution = prove(empty, seed=seed + 1).solution
    assert solution is not None
    rules = ["killer-cage", "white-dot", "less-than", "thermometer", "arrow", "renban", "little-killer"]
    made = [true_clue(rule, grid, solution, chance) for rule in chance.choices(rules, k=7)]
    clues = tuple(clue for clue in made if clue is not None)
    givens = list(solution)
    for where in chance.sample(grid.cells, len(givens)):
        kept, givens[where] = givens[where], 0
        trial = Puzzle(grid, tuple(givens), clues=clues)
        if prove(trial, Budget(nodes=5000)).verdict != "unique":
            givens[where] = kept
    return Puzzle(grid, tuple(givens), clues=clues)
