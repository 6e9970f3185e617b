"""Every rule on every size from 4 to 16, with boxes, with crooked regions and without regions."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from saywhy.grid import LARGEST, SMALLEST, Grid
from saywhy.rule import RuleError
from saywhy.rules import clue_rules, grid_rules, place, placed
from tests.rules.naive import satisfied
from tests.rules.random_clues import crooked, grids, random_clue
from tests.rules.samples import empty

SIZES = range(SMALLEST, LARGEST + 1)

#: Where a rule has no meaning.
NOWHERE: dict[str, Callable[[Grid], bool]] = {
    "x": lambda grid: grid.size < 6,
    "entropic-line": lambda grid: grid.size != 9,
    "region-sum-line": lambda grid: grid.regions is None,
    "disjoint-groups": lambda grid: grid.box is None,
}


def _filling(grid: Grid, draw: random.Random) -> list[int]:
    """Give random digits, half of the times a Latin square, so that rules without repeats come true."""
    n = grid.size
    if draw.random() < 0.5:
        return [draw.choice(grid.digits) for _ in grid.cells]
    names, rows, columns = (draw.sample(range(n), n) for _ in range(3))
    return [names[(rows[cell // n] + columns[cell % n]) % n] + 1 for cell in grid.cells]


@pytest.mark.parametrize("size", SIZES)
def test_crooked_regions_are_regions(size: int) -> None:
    grid = crooked(size)
    assert grid.regions is not None
    assert [grid.regions.count(number) for number in range(size)] == [size] * size
    for house in grid.houses[2 * size :]:
        joined = {house.cells[0]}
        for _ in house.cells:
            joined |= {cell for cell in house.cells if joined & set(grid.orthogonal(cell))}
        assert joined == set(house.cells)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", clue_rules())
def test_random_clues_hold_where_their_primitives_do(name: str, size: int) -> None:
    for grid in grids(size):
        draw = random.Random(f"{name} {size} {grid.regions}")
        nowhere = name in NOWHERE and NOWHERE[name](grid)
        for _ in range(4):
            digits = _filling(grid, draw)
            clue = random_clue(name, grid, draw, digits)
            assert (clue is None) == nowhere, "a rule has a meaning on every grid but those listed"
            if clue is None:
                break
            rule = place(clue, grid)
            primitives = rule.compile()
            for changes in (0, 1, 1, 2):
                changed = list(digits)
                for cell in draw.sample(rule.scope, min(changes, len(rule.scope))):
                    changed[cell] = draw.choice(grid.digits)
                assert rule.holds(changed) is all(satisfied(held, changed) for held in primitives), clue


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", grid_rules())
def test_grid_wide_rules_hold_where_their_primitives_do(name: str, size: int) -> None:
    for grid in grids(size):
        draw = random.Random(size)
        if name in NOWHERE and NOWHERE[name](grid):
            with pytest.raises(RuleError):
                placed(empty(grid, rules=(name,)))
            continue
        rule = placed(empty(grid, rules=(name,))).grid_wide[name]
        primitives = rule.compile()
        for _ in range(10):
            digits = _filling(grid, draw)
            assert rule.holds(digits) is all(satisfied(held, digits) for held in primitives)


def test_random_clues_come_true_often_enough_to_be_a_test() -> None:
    draw = random.Random(3)
    for name in clue_rules():
        if name == "magic-square":
            continue
        grid = Grid.standard(9)
        true = 0
        for _ in range(30):
            digits = _filling(grid, draw)
            clue = random_clue(name, grid, draw, digits)
            assert clue is not None
            true += bool(place(clue, grid).holds(digits))
        assert true >= 5, name
