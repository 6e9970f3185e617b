"""Shapes made up at random, alone or in the symmetry that is wished of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from itertools import pairwise
from random import Random

from saywhy.grid import Grid
from saywhy.puzzle import Clue
from saywhy.rule import Form, RuleError
from saywhy.rules import place
from saywhy.setting.compose.sketch import OpenClue, rule_of, symmetry_named

#: Tries at one shape before there is taken to be no room.
TRIES = 40
#: A line goes straight on, or bends by a side, more often than it cuts a corner.
ORTHOGONAL = 3
_AROUND = tuple((down, right) for down in (-1, 0, 1) for right in (-1, 0, 1) if down or right)

#: Places that are taken, by form: lines, areas and cells keep clear of each other, marks of their like.
Taken = frozenset[tuple[str, tuple[int, ...]]]


def taken_by(clue: Clue, grid: Grid) -> Taken:
    """
    Give the places that a clue takes from other shapes.

    A line takes the corners too that it passes through, so that no two lines cross.
    """
    form = rule_of(clue.rule).form
    if form in {Form.OUTSIDE, Form.DIAGONAL}:
        return frozenset({("lane", tuple(sorted(clue.cells)))})
    if form in {Form.PAIR, Form.CORNER}:
        return frozenset({(form.value, tuple(sorted(clue.cells)))})
    cells = clue.cells or tuple(cell for group in clue.groups for cell in group)
    corners = _corners(clue.cells, grid) if form is Form.LINE else []
    return frozenset([("cell", (cell,)) for cell in cells] + [("crossing", (cell,)) for cell in corners])


def _corners(cells: Sequence[int], grid: Grid) -> list[int]:
    """Give the corners that a line passes through, each by the cell to its upper left."""
    found = []
    for a, b in pairwise(cells):
        (row, column), (to_row, to_column) = grid.place(a), grid.place(b)
        if row != to_row and column != to_column:
            found.append(min(row, to_row) * grid.size + min(column, to_column))
    return found


def orbits(
    open_clue: OpenClue, grid: Grid, taken: Set[tuple[str, tuple[int, ...]]], random: Random, most: int
) -> Iterator[tuple[Clue, ...]]:
    """
    Yield shapes without end, or until there is no room: one, or one with its images.

    Args:
        open_clue: What is wished.
        grid: The grid.
        taken: Places that are taken.
        random: The source of chance.
        most: The most shapes that may come at once.
    """
    misses = 0
    while misses < TRIES:
        cells = _cells(open_clue, grid, taken, random)
        made = None if cells is None else _images(open_clue, cells, grid, taken)
        if made is None or len(made) > most:
            misses += 1
            continue
        misses = 0
        yield made


def clue_on(open_clue: OpenClue, cells: tuple[int, ...]) -> Clue:
    """Give the clue on these cells, what is open left out."""
    return Clue(open_clue.rule, cells, value=open_clue.value)


def _images(
    open_clue: OpenClue, cells: tuple[int, ...], grid: Grid, taken: Set[tuple[str, tuple[int, ...]]]
) -> tuple[Clue, ...] | None:
    kind = symmetry_named(open_clue.symmetry)
    shapes = [cells]
    while kind is not None:
        image = tuple(kind.image(cell, grid.size) for cell in shapes[-1])
        if sorted(image) == sorted(cells):
            break
        shapes.append(image)
    clues = tuple(clue_on(open_clue, shape) for shape in shapes)
    used: set[tuple[str, tuple[int, ...]]] = set(taken)
    for clue in clues:
        places = taken_by(clue, grid)
        if used & places or not _allowed(open_clue, clue, grid):
            return None
        used |= places
    return clues


def _allowed(open_clue: OpenClue, clue: Clue, grid: Grid) -> bool:
    """Say whether the rule can stand there with some number."""
    rule = rule_of(clue.rule)
    values = range(1, 140) if open_clue.value_open and "value" in rule.needs else [clue.value]
    digits = tuple(range(1, open_clue.digits + 1))
    for value in values:
        try:
            place(Clue(clue.rule, clue.cells, value=value, digits=digits), grid)
        except RuleError:
            continue
        return True
    return False


def _cells(
    open_clue: OpenClue, grid: Grid, taken: Set[tuple[str, tuple[int, ...]]], random: Random
) -> tuple[int, ...] | None:
    """Give the cells of one shape; None where a try came to nothing."""
    form = open_clue.form
    if form in _MARKS:
        return _MARKS[form](grid, random)
    free = [cell for cell in grid.cells if ("cell", (cell,)) not in taken]
    if not free:
        return None
    start = random.choice(free)
    length = random.randint(open_clue.least, open_clue.most)
    if form is Form.LINE:
        return _line(grid, start, length, set(free), random)
    return _area(grid, start, length, set(free), random)


def _pair(grid: Grid, random: Random) -> tuple[int, ...]:
    pair = random.choice(grid.neighbour_pairs)
    return pair if random.random() < 0.5 else pair[::-1]


def _corner(grid: Grid, random: Random) -> tuple[int, ...]:
    n = grid.size
    first = random.randrange(n - 1) * n + random.randrange(n - 1)
    return (first, first + 1, first + n, first + n + 1)


def _lane(grid: Grid, random: Random) -> tuple[int, ...]:
    lane = random.choice([house for house in grid.houses if house.kind != "region"]).cells
    return lane if random.random() < 0.5 else lane[::-1]


def _line(grid: Grid, start: int, length: int, free: set[int], random: Random) -> tuple[int, ...] | None:
    cells = [start]
    while len(cells) < length:
        passed = set(_corners(cells, grid))
        near = [cell for cell in grid.moved(cells[-1], _AROUND) if cell in free and cell not in cells]
        near = [cell for cell in near if not passed & set(_corners((cells[-1], cell), grid))]
        if not near:
            return None
        sides = grid.orthogonal(cells[-1])
        cells.append(random.choices(near, [ORTHOGONAL if cell in sides else 1 for cell in near])[0])
    return tuple(cells)


def _area(grid: Grid, start: int, length: int, free: set[int], random: Random) -> tuple[int, ...] | None:
    cells = [start]
    while len(cells) < length:
        near = sorted({near for cell in cells for near in grid.orthogonal(cell)} & free - set(cells))
        if not near:
            return None
        cells.append(random.choice(near))
    return tuple(sorted(cells))


def _diagonal(grid: Grid, random: Random) -> tuple[int, ...]:
    """Give a whole diagonal of three cells or more, from one of its ends."""
    n = grid.size
    shift, rising, back = random.randint(3 - n, n - 3), random.random() < 0.5, random.random() < 0.5
    cells = []
    for row in range(n):
        column = n - 1 - row - shift if rising else row + shift
        if 0 <= column < n:
            cells.append(row * n + column)
    return tuple(reversed(cells) if back else cells)


#: Forms that lie where chance has them, whatever cells are taken.
_MARKS = {Form.PAIR: _pair, Form.CORNER: _corner, Form.OUTSIDE: _lane, Form.DIAGONAL: _diagonal}
