"""Lines and regions compared: what sticks out on either side holds the same digits."""

from __future__ import annotations

import random

import pytest

from saywhy.engine import prove
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.reasoning.explain import explain
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.leftovers import MOST, equal_sets, leftovers
from saywhy.reasoning.position import Position
from saywhy.second_opinion import certify_path
from tests.reasoning.boards import EMPTY, at, shown

#: Row 1 and the first region share three cells, and so on round the board.
SMALL = Puzzle(Grid(4, (0, 0, 0, 1, 0, 2, 1, 1, 2, 2, 3, 1, 2, 3, 3, 3)), (0,) * 16)


def irregular(seed: int, size: int = 9) -> Puzzle:
    """Give a puzzle of one solution whose regions are boxes that have traded cells."""
    chance = random.Random(seed)
    while True:
        grid = Grid(size, _regions(size, chance))
        solution = prove(Puzzle(grid, (0,) * size * size), seed=seed + 1).solution
        if solution is not None:
            break
    givens = list(solution)
    for where in chance.sample(grid.cells, len(givens)):
        kept, givens[where] = givens[where], 0
        if prove(Puzzle(grid, tuple(givens))).verdict != "unique":
            givens[where] = kept
    return Puzzle(grid, tuple(givens))


def _regions(size: int, chance: random.Random) -> tuple[int, ...]:
    held = list(Grid.standard(size).regions or ())

    def beside(cell: int) -> list[int]:
        row, column = divmod(cell, size)
        near = ((row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1))
        return [r * size + c for r, c in near if 0 <= r < size and 0 <= c < size]

    def whole(region: int) -> bool:
        cells = {cell for cell, number in enumerate(held) if number == region}
        met, waiting = set[int](), [min(cells)]
        while waiting:
            cell = waiting.pop()
            if cell not in met:
                met.add(cell)
                waiting += [other for other in beside(cell) if other in cells]
        return met == cells

    trades = 0
    while trades < 6 * size:
        a, b = chance.randrange(size * size), chance.randrange(size * size)
        one, other = held[a], held[b]
        if one == other or all(held[c] != other for c in beside(a)) or all(held[c] != one for c in beside(b)):
            continue
        held[a], held[b] = other, one
        if whole(one) and whole(other):
            trades += 1
        else:
            held[a], held[b] = one, other
    order: dict[int, int] = {}
    return tuple(order.setdefault(number, len(order)) for number in held)


def test_boxes_and_squares_without_regions_have_no_equal_sets() -> None:
    assert leftovers(EMPTY.grid) == ()
    assert leftovers(Grid(7, None)) == ()


def test_the_two_sides_hold_the_same_digits_in_every_solution() -> None:
    for seed in range(4):
        puzzle = irregular(seed)
        solution = prove(puzzle).solution
        assert solution is not None
        assert leftovers(puzzle.grid)
        for one in leftovers(puzzle.grid):
            here, there = ([solution[cell] for cell in side] for side in one.sides)
            assert sorted(here) == sorted(there)
            assert len(here) <= MOST
            assert one.lines * 2 == len(one.houses) <= puzzle.grid.size


def test_a_digit_that_one_side_lacks_goes_from_the_other() -> None:
    frame = Frame(SMALL)
    here = at(frame, r2c1="124")
    assert shown(equal_sets(here), frame) == {("gone", "r1c4", 3)}
    step = next(iter(equal_sets(here))).build({})
    assert step.idea == "equal sets"
    assert {source.name for source in step.reason.sources} == {"row 1", "region 1"}
    assert step.reason.facts == {frame.grid.cell("r2c1"): 0b1011}


def test_a_digit_that_one_side_has_is_placed_on_the_other() -> None:
    frame = Frame(SMALL)
    here = Position.opening(frame)
    here.place(frame.grid.cell("r1c4"), 2)
    assert ("place", "r2c1", 2) in shown(equal_sets(here), frame)


def test_nothing_is_shown_where_nothing_is_known() -> None:
    assert not list(equal_sets(Position.opening(Frame(SMALL))))


@pytest.mark.parametrize("seed", [1, 2])
def test_paths_of_irregular_puzzles_use_them_and_every_certificate_holds(seed: int) -> None:
    puzzle = irregular(seed)
    path = explain(puzzle)
    assert path.complete
    assert any(told.step.idea == "equal sets" for told in path.steps)
    report = certify_path(puzzle, path.as_json("irregular"))
    assert report.sound, report.faults
