"""The puzzle in words."""

from __future__ import annotations

import re

import pytest

from saywhy.drawing import describe
from saywhy.grid import Grid
from saywhy.rules import all_rules
from tests.drawing.boards import LEDGER, MOORINGS, SOUNDINGS, board, specimen


def test_it_tells_size_regions_and_givens() -> None:
    assert describe(LEDGER).startswith(
        "A 9 by 9 sudoku grid with nine boxes of 3 by 3 and seven given digits."
    )
    assert "nine irregular regions and five given digits" in describe(MOORINGS)
    assert "no regions and no given digits" in describe(board(5, grid=Grid(5, None)))
    assert "16 boxes of 4 by 4 and one given digit." in describe(board(16, givens={"r1c1": 16}))


def test_it_tells_each_rule_with_its_clues_and_roughly_where_they_lie() -> None:
    words = describe(LEDGER)
    assert "Thermometer: one clue, in the upper right." in words
    assert "Killer cage: two clues, in the lower middle." in words
    assert "White dot: two clues, in the upper left and on the left." in words


def test_it_tells_on_which_sides_clues_stand_outside() -> None:
    words = describe(SOUNDINGS)
    assert "For the whole grid: diagonals." in words
    assert "Sandwich: three clues, outside the grid above and on the right." in words
    assert "Skyscraper: three clues, outside the grid on the left and below." in words


def test_many_clues_are_spread() -> None:
    dots = [
        ("white-dot", f"r{row}c{column} r{row}c{column + 1}") for row in (1, 5, 9) for column in (1, 5, 8)
    ]
    assert "White dot: nine clues, spread over the grid." in describe(board(9, dots))


@pytest.mark.parametrize("name", all_rules())
def test_it_names_every_rule_and_spoils_nothing(name: str) -> None:
    puzzle = specimen(name)
    words = describe(puzzle)
    assert all_rules()[name].title.lower() in words.lower()
    rest = words.split(".", 1)[1]
    assert not re.search(r"\d", rest)
    assert not re.search(r"r\d+c\d+", words)
