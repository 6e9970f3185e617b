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
    # 27 houses, 3 other ways through 9 boxes, 9 places of boxes, 2 diagonals: 2 of 9! orders each.
    assert row.chance == pytest.approx(65 * 2 / factorial(9))
    assert "123456789" in row.text


def solved(held: dict[int, int]) -> tuple[int, ...]:
    """Give a grid that has these digits in these cells."""
    givens = tuple(held.get(cell, 0) for cell in range(81))
    solution = prove(replace(EMPTY, givens=givens), seed=3).solution
    assert solution is not None
    return solution


BOX = [row * 9 + column for row in (3, 4, 5) for column in (3, 4, 5)]


@pytest.mark.parametrize(
    ("digits", "how"),
    [
        ("123456789", "Box 5 reads"),
        ("147258369", "Box 5, column by column, reads"),
        ("123654789", "Box 5, to and fro, reads"),
        ("123894765", "Box 5, round and inwards, reads"),
        ("276951438", "Box 5 is a magic square"),
    ],
)
def test_a_box_in_order_is_a_surprise_however_it_is_read(digits: str, how: str) -> None:
    found = surprises(EMPTY, solved(dict(zip(BOX, map(int, digits), strict=True))))
    assert [s.text for s in found if s.text.startswith(how)], [s.text for s in found]


def test_a_grid_that_is_itself_again_when_turned_is_a_surprise() -> None:
    # Row r is the digits moved on by 3 r and by r // 3: half a turn sends each digit d to one other.
    grid = [(3 * r + r // 3 + c) % 9 + 1 for r in range(9) for c in range(9)]
    pairs = {(a, b) for a, b in zip(grid, reversed(grid), strict=True)}
    assert len(pairs) == 9  # so it is
    texts = [s.text for s in surprises(EMPTY, grid)]
    assert any(text.startswith("Turned by half") or text.startswith("Opposite") for text in texts), texts


def test_as_many_orders_make_a_magic_square_as_is_said() -> None:
    from itertools import permutations

    from saywhy.recording.surprises import MAGIC

    lines = [(0, 1, 2), (3, 4, 5), (6, 7, 8), (0, 3, 6), (1, 4, 7), (2, 5, 8), (0, 4, 8), (2, 4, 6)]
    assert (
        sum(
            all(square[a] + square[b] + square[c] == 15 for a, b, c in lines)
            for square in permutations(range(1, 10))
        )
        == MAGIC
    )


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
