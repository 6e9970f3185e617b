"""
What is remarkable in a finished grid, with how unlikely it is by chance.

Method: a grid whose digits are renamed at random is as valid as before, so in a random grid every house
is each of its n! orders with the same chance 1/n!, and n different digits in given places are each order
with that chance at most. The chance told is that of meeting at least one such thing in one grid, all places
looked at added up (Boole's inequality): never too small. Where renaming says nothing, random grids are made
and counted, and the chance told is the upper end of what the count allows (95 %; for none in N it is 3/N).

Puzzles whose rules speak of the order of digits are not random grids: a pattern along which a clue lies, or
half of which is given, is no surprise and is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations, pairwise
from math import factorial, prod
from typing import Any

from saywhy.engine import prove
from saywhy.grid import Grid, House
from saywhy.puzzle import Puzzle
from saywhy.rules import placed

#: What is more likely than this is no surprise.
RARE = 0.01
#: Orders of the nine digits that make a magic square: one square, turned and mirrored (common practice, no
#: source; the tests count them).
MAGIC = 8
#: Random grids made where chances are counted.
SAMPLE = 600


@dataclass(frozen=True)
class Surprise:
    """
    A pattern.

    Attributes:
        text: What there is.
        cells: Where.
        chance: At most this likely in one random grid, all places looked at together.
        method: How the chance was computed.
    """

    text: str
    cells: tuple[int, ...]
    chance: float
    method: str

    @property
    def odds(self) -> str:
        """The chance in words."""
        return f"less than 1 in {int(1 / self.chance):,}"

    def as_json(self, grid: Grid) -> dict[str, Any]:
        """Give it for ``--json``."""
        return {
            "text": self.text,
            "cells": grid.names(self.cells),
            "chance": self.chance,
            "method": self.method,
        }


def surprises(puzzle: Puzzle, solution: Sequence[int]) -> list[Surprise]:
    """
    Give the surprises of a finished grid, least likely first.

    Args:
        puzzle: The puzzle: what its clues and givens ask for is no surprise.
        solution: One digit a cell.
    """
    sorts = (_in_order, _repeated, _magic, _turned)
    found = [surprise for sort in sorts for surprise in sort(puzzle, solution)]
    return sorted((s for s in found if s.chance <= RARE), key=lambda s: s.chance)


#: A line of n cells with its name.
Line = tuple[str, tuple[int, ...]]


def _lines(grid: Grid) -> Iterator[Line]:
    """Give every line of n cells that is read in order, each once."""
    n = grid.size
    for house in grid.houses:
        name = "box" if house.kind == "region" and grid.box else house.kind
        yield f"{name} {house.number}", house.cells
        if house.kind == "region" and grid.box:
            yield from _other_ways(f"{name} {house.number}", house.cells, grid.box[1])
    yield from _diagonals(n)
    if grid.box:
        boxes = [house.cells for house in grid.houses if house.kind == "region"]
        for place, cells in enumerate(zip(*boxes, strict=True), 1):
            yield f"place {place} of every box, box by box,", cells


def _diagonals(n: int) -> list[Line]:
    return [
        ("the falling diagonal", tuple(k * n + k for k in range(n))),
        ("the rising diagonal", tuple((n - 1 - k) * n + k for k in range(n))),
    ]


def _other_ways(name: str, cells: tuple[int, ...], wide: int) -> Iterator[Line]:
    """Give a box read column by column, to and fro, and round its rim inwards."""
    rows = [cells[k : k + wide] for k in range(0, len(cells), wide)]
    yield f"{name}, column by column,", tuple(cell for column in zip(*rows, strict=True) for cell in column)
    yield (
        f"{name}, to and fro,",
        tuple(c for k, row in enumerate(rows) for c in (row[::-1] if k % 2 else row)),
    )
    left, spiral = [tuple(row) for row in rows], list[int]()
    while left:
        spiral += left[0]
        left = list(zip(*left[1:], strict=True))[::-1]  # what is left, turned by a quarter
    yield f"{name}, round and inwards,", tuple(spiral)


def _in_order(puzzle: Puzzle, solution: Sequence[int]) -> Iterator[Surprise]:
    """Lines that climb or fall by one all the way, or in one other step that visits every digit."""
    n = puzzle.grid.size
    steps = [step for step in range(1, n) if _visits_all(step, n)]
    lines = list({cells: (name, cells) for name, cells in _lines(puzzle.grid)}.values())
    places = len(lines)
    for name, cells in lines:
        digits = [solution[cell] for cell in cells]
        moves = {(b - a) % n for a, b in pairwise(digits)}
        if len(set(digits)) < n or len(moves) != 1 or _asked(puzzle, cells):
            continue
        step = moves.pop()
        straight = all(abs(b - a) == 1 for a, b in pairwise(digits))
        ways = 2 if straight else n * len(steps)
        how = "in order" if straight else f"in steps of {step}, round and round"
        chance = min(1.0, places * ways / factorial(n))
        method = f"{places} lines, each with {ways} such orders of {n}! equally likely ones"
        yield Surprise(f"{name[0].upper()}{name[1:]} reads {_row(digits)}: {how}", cells, chance, method)


def _visits_all(step: int, n: int) -> bool:
    return len({step * k % n for k in range(n)}) == n


def _repeated(puzzle: Puzzle, solution: Sequence[int]) -> Iterator[Surprise]:
    """Boxes that are the same, and diagonals of few digits."""
    grid = puzzle.grid
    regions = [house for house in grid.houses if house.kind == "region"]
    if grid.box is None:
        return
    for a, b in combinations(regions, 2):
        cells = a.cells + b.cells
        if _same(a, b, solution) and not _asked(puzzle, cells):
            chance, method = _sampled(grid, lambda d: any(_same(*two, d) for two in combinations(regions, 2)))
            yield Surprise(f"Box {a.number} and box {b.number} are the same", cells, chance, method)
    diagonals = [cells for _, cells in _diagonals(grid.size)]
    for name, cells in zip(("falling", "rising"), diagonals, strict=True):
        few = len({solution[cell] for cell in cells})
        if few <= grid.size // 3 and not _asked(puzzle, cells):
            chance, method = _sampled(grid, partial(_few_digits, diagonals, few))
            yield Surprise(f"The {name} diagonal holds {few} digits only", cells, chance, method)


def _few_digits(lines: Sequence[Sequence[int]], few: int, digits: Sequence[int]) -> bool:
    return any(len({digits[cell] for cell in cells}) <= few for cells in lines)


def _same(a: House, b: House, digits: Sequence[int]) -> bool:
    return all(digits[one] == digits[other] for one, other in zip(a.cells, b.cells, strict=True))


def _sampled(grid: Grid, met: Callable[[Sequence[int]], bool]) -> tuple[float, str]:
    """Count in how many random grids something is met; the upper end of what the count allows."""
    empty = Puzzle(grid, (0,) * len(grid.cells))
    grids = [prove(empty, seed=seed).solution for seed in range(1, SAMPLE + 1)]
    count = sum(digits is not None and met(digits) for digits in grids)
    upper = (count + 1.65 * (count**0.5) + 3) / SAMPLE
    return min(1.0, upper), f"met in {count} of {SAMPLE} grids filled at random (not quite evenly spread)"


def _magic(puzzle: Puzzle, solution: Sequence[int]) -> Iterator[Surprise]:
    """Boxes of three by three whose rows, columns and diagonals all make the same."""
    grid = puzzle.grid
    if grid.box != (3, 3):
        return
    boxes = [house for house in grid.houses if house.kind == "region"]
    for house in boxes:
        if _is_magic([solution[cell] for cell in house.cells]) and not _asked(puzzle, house.cells):
            chance = len(boxes) * MAGIC / factorial(9)
            method = f"{len(boxes)} boxes, each with {MAGIC} such orders of 9! equally likely ones"
            yield Surprise(f"Box {house.number} is a magic square", house.cells, chance, method)


def _is_magic(digits: Sequence[int]) -> bool:
    lines = [(0, 1, 2), (3, 4, 5), (6, 7, 8), (0, 3, 6), (1, 4, 7), (2, 5, 8), (0, 4, 8), (2, 4, 6)]
    return len({sum(digits[k] for k in line) for line in lines}) == 1


def _turned(puzzle: Puzzle, solution: Sequence[int]) -> Iterator[Surprise]:
    """The grid turned or mirrored into itself but for the names of its digits."""
    n = puzzle.grid.size
    cells = tuple(puzzle.grid.cells)
    if all(a + b == n + 1 for a, b in zip(solution, reversed(solution), strict=True)):
        matchings = (
            factorial(n) // (2 ** (n // 2) * factorial(n // 2)) if n % 2 == 0 else n * _pairings(n - 1)
        )
        method = (
            f"even if every grid turned into itself, its digits pair off in {matchings} equally likely ways"
        )
        yield Surprise(f"Opposite cells make {n + 1} all over the grid", cells, 1 / matchings, method)
        return
    turns: dict[str, Callable[[int, int], tuple[int, int]]] = {
        "Turned by half": lambda r, c: (n - 1 - r, n - 1 - c),
        "Turned by a quarter": lambda r, c: (c, n - 1 - r),
        "Mirrored at the falling diagonal": lambda r, c: (c, r),
        "Mirrored at the rising diagonal": lambda r, c: (n - 1 - c, n - 1 - r),
    }
    for name, turn in turns.items():
        moved = [row * n + column for row, column in (turn(*divmod(cell, n)) for cell in cells)]
        if _renamed(moved, solution) and not _asked(puzzle, cells):
            chance, method = _sampled(puzzle.grid, partial(_renamed, moved))
            text = f"{name}, the grid is itself again but for the names of its digits"
            yield Surprise(text, cells, chance, method)


def _renamed(moved: Sequence[int], digits: Sequence[int]) -> bool:
    """Whether moving the cells does no more than to rename the digits."""
    return len({(digits[cell], digits[other]) for cell, other in enumerate(moved)}) == len(set(digits))


def _pairings(n: int) -> int:
    return prod(range(1, n, 2))


def _asked(puzzle: Puzzle, cells: Sequence[int]) -> bool:
    """Whether the puzzle itself asks for a pattern: half of it given, or a clue that lies along it."""
    given = sum(puzzle.givens[cell] > 0 for cell in cells)
    if 2 * given >= len(cells):
        return True
    held = set(cells)
    return any(len(held & set(clue.scope)) >= max(3, len(cells) // 2) for clue in placed(puzzle).clues)


def _row(digits: Sequence[int]) -> str:
    return ("" if max(digits) < 10 else " ").join(map(str, digits))
