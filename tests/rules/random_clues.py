"""Random clues of any rule on any grid, and random grids with crooked regions."""

from __future__ import annotations

import random

from saywhy.grid import BOXES, Grid
from saywhy.puzzle import Clue
from saywhy.rule import ClueRule, Form, RuleError
from saywhy.rules import clue_rules, place

#: Steps to the cells that touch one.
AROUND = tuple((down, right) for down in (-1, 0, 1) for right in (-1, 0, 1) if down or right)


def crooked(size: int) -> Grid:
    """Give a grid whose regions are cut from one path that zigzags through pairs of rows."""
    path: list[int] = []
    for top in range(0, size - 1, 2):
        columns = range(size) if top % 4 == 0 else range(size - 1, -1, -1)
        for place_, column in enumerate(columns):
            pair = [top * size + column, top * size + size + column]
            path += pair if place_ % 2 == 0 else pair[::-1]
    if size % 2:
        last = range(size * size - size, size * size)
        path += last if (size - 1) % 4 == 0 else reversed(last)
    numbers = {cell: place_ // size for place_, cell in enumerate(path)}
    order = dict.fromkeys(numbers[cell] for cell in range(size * size))
    renumbered = {number: place_ for place_, number in enumerate(order)}
    return Grid(size, tuple(renumbered[numbers[cell]] for cell in range(size * size)))


def grids(size: int) -> list[Grid]:
    """Give the grids of this size to try: with boxes where there are usual ones, crooked, and Latin."""
    return [*([Grid.standard(size)] if size in BOXES else []), crooked(size), Grid(size, None)]


def _grown(grid: Grid, draw: random.Random, length: int, *, line: bool) -> list[int]:
    cells = [draw.choice(grid.cells)]
    while len(cells) < length:
        heads = cells[-1:] if line else cells
        near = sorted({cell for head in heads for cell in grid.moved(head, AROUND)} - set(cells))
        if not near:
            break
        cells.append(draw.choice(near))
    return cells


def _lane(grid: Grid, draw: random.Random) -> list[int]:
    n, number = grid.size, draw.randrange(grid.size)
    cells = [number * n + k for k in range(n)] if draw.random() < 0.5 else [k * n + number for k in range(n)]
    return cells if draw.random() < 0.5 else cells[::-1]


def _diagonal(grid: Grid, draw: random.Random) -> list[int]:
    n = grid.size
    row, column, right = draw.choice([(0, draw.randrange(n), 1), (draw.randrange(n), n - 1, -1)])
    cells = []
    while (cell := grid.at(row, column)) is not None:
        cells.append(cell)
        row, column = row + 1, column + right
    return cells if draw.random() < 0.5 else cells[::-1]


def _cells(rule: type[ClueRule], grid: Grid, draw: random.Random) -> list[int]:
    if rule.form in (Form.LINE, Form.AREA):
        return _grown(grid, draw, draw.randint(rule.fewest, 6), line=rule.form is Form.LINE)
    if rule.form is Form.CELLS and rule.name != "magic-square":
        return draw.sample(grid.cells, draw.randint(rule.fewest, grid.size))
    makers = {
        Form.CELL: lambda: [draw.choice(grid.cells)],
        Form.PAIR: lambda: list(draw.choice(grid.neighbour_pairs))[:: draw.choice([1, -1])],
        Form.CORNER: lambda: _square(grid, draw, 2),
        Form.CELLS: lambda: _square(grid, draw, 3),
        Form.OUTSIDE: lambda: _lane(grid, draw),
        Form.DIAGONAL: lambda: _diagonal(grid, draw),
    }
    return makers[rule.form]()


def _square(grid: Grid, draw: random.Random, side: int) -> list[int]:
    n = grid.size
    row, column = draw.randrange(n - side + 1), draw.randrange(n - side + 1)
    return [(row + down) * n + column + right for down in range(side) for right in range(side)]


def _groups(rule: type[ClueRule], grid: Grid, draw: random.Random) -> list[list[int]]:
    first = _grown(grid, draw, draw.randint(1, 4), line=False)
    if rule.name != "clone":
        return [first, _grown(grid, draw, draw.randint(1, 4), line=False)]
    down, right = draw.randint(-3, 3), draw.randint(-3, 3)
    moved = [grid.moved(cell, [(down, right)]) for cell in first]
    return [first, [cell for found in moved for cell in found]]


def random_clue(name: str, grid: Grid, draw: random.Random, digits: list[int] | None = None) -> Clue | None:
    """
    Give a random clue that its rule allows.

    Args:
        name: The rule.
        grid: The grid.
        draw: Where chance comes from.
        digits: If given, a value is sought under which these digits satisfy the clue.

    Returns:
        None where no allowed clue was found in a fair number of tries, as for a rule without a meaning here.
    """
    rule = clue_rules()[name]
    found = None
    for _ in range(60):
        groups = _groups(rule, grid, draw) if rule.form is Form.GROUPS else []
        cells = [] if groups else _cells(rule, grid, draw)
        options = rule.takes | rule.needs
        values: list[int | None] = [None]
        if "value" in options and ("value" in rule.needs or draw.random() < 0.5):
            most = grid.size * max(len(cells), 2)
            values = list(draw.sample(range(most + 1), min(12, most)))
        for value in values:
            clue = Clue(
                name,
                cells=tuple(cells),
                groups=tuple(map(tuple, groups)),
                value=value,
                digits=tuple(draw.choices(grid.digits, k=draw.randint(1, 4))) if "digits" in options else (),
                pill=2 if "pill" in options and draw.random() < 0.3 else None,
                count=draw.randint(1, grid.size) if "count" in options and draw.random() < 0.5 else None,
            )
            try:
                placed = place(clue, grid)
            except RuleError:
                continue
            found = clue
            if digits is None or placed.holds(digits):
                return clue
    return found
