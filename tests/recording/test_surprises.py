"""Surprises, their chances held against counts that others made."""

from __future__ import annotations

from dataclasses import replace
from math import factorial

import pytest

from saywhy.engine import prove
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.recording.surprises import surprises

EMPTY = Puzzle(Grid.standard(9), (0,) * 81)


def with_first_row(row: tuple[int, ...]) -> tuple[int, ...]:
    given = replace(EMPTY, givens=(*row, *(0,) * 72))
    solution = prove(given, seed=7).solution
    assert solution is not None
    return solution


def test_a_row_in_order_is_a_surprise_with_its_chance() -> None:
    found = surprises(EMPTY, with_first_row((1, 2, 3, 4, 5, 6, 7, 8, 9)))
    row = next(s for s in found if s.cells == tuple(range(9)))
    # 27 houses and 2 diagonals, each in 2 of 9! orders.
    assert row.chance == pytest.approx(29 * 2 / factorial(9))
    assert "123456789" in row.text


def test_a_row_that_the_puzzle_gives_or_asks_for_is_none() -> None:
    solution = with_first_row((1, 2, 3, 4, 5, 6, 7, 8, 9))
    given = replace(EMPTY, givens=(*range(1, 6), *(0,) * 76))
    clued = replace(EMPTY, clues=(Clue("thermometer", tuple(range(9))),))
    for puzzle in (given, clued):
        assert not [s for s in surprises(puzzle, solution) if s.cells == tuple(range(9))]


def test_the_chance_of_a_row_is_right_on_every_grid_of_four() -> None:
    """Counted on all 288 grids of size 4 (OEIS A107739): a row reads 1234 in 12 of them, 288 / 4!."""
    rows = 0
    empty = Puzzle(Grid.standard(4), (0,) * 16)
    from saywhy.engine import count

    held = replace(empty, givens=(1, 2, 3, 4, *(0,) * 12))
    rows = count(held).solutions
    assert count(empty).solutions == 288
    assert rows / 288 == pytest.approx(1 / factorial(4))


def test_ordinary_grids_hold_no_surprise() -> None:
    odd = 0
    for seed in range(1, 41):
        solution = prove(EMPTY, seed=seed).solution
        assert solution is not None
        odd += bool(surprises(EMPTY, solution))
    assert odd == 0
