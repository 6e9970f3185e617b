"""Patterns: what the search is told is what the definition says."""

from __future__ import annotations

import pytest

from saywhy.engine import prove
from saywhy.engine.constraints import constraints
from saywhy.engine.model import Model
from saywhy.errors import Problem
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.setting.compose.patterns import KINDS, Pattern, read_pattern

FOUR = Grid.standard(4)
NINE = Grid.standard(9)

#: Patterns on a 4x4 grid with default boxes, which has 288 fillings (OEIS A107739).
SMALL = [
    "region 1 in order",
    "row 2 in order",
    "r1c1 r2c2 r3c3 in order",
    "row 1 balanced",
    "column 3 balanced",
    "falling diagonal balanced",
    "r1c1 r2c3 r3c2 r4c4 reads the same both ways",
    "falling diagonal all different",
    "rising diagonal all different",
    "r1c1 r3c2 alike",
    "r1c1-r1c4 read 1 2 3 4",
    "r2c2 reads 3",
]


def pattern(text: str, grid: Grid) -> Pattern:
    found = read_pattern(text, grid)
    assert isinstance(found, Pattern), found
    return found


def every_filling() -> list[list[int]]:
    empty = Puzzle(FOUR, (0,) * 16)
    model = Model(4, 16, [held.primitive for held in constraints(empty)])
    found, kept, finished, _, _ = model.native.search(None, model.domains, 1000, 1000)
    assert (found, finished) == (288, True)
    return kept


@pytest.mark.parametrize("text", SMALL)
def test_of_all_288_small_grids_the_search_keeps_those_that_have_the_pattern(text: str) -> None:
    held = pattern(text, FOUR)
    empty = Puzzle(FOUR, (0,) * 16)
    told = [*(c.primitive for c in constraints(empty)), *held.primitives(FOUR)]
    model = Model(4, 16, told)
    _, kept, finished, _, _ = model.native.search(None, model.domains, 1000, 1000)
    wanted = [digits for digits in every_filling() if held.holds(digits, FOUR)]
    assert finished
    assert sorted(kept) == sorted(wanted)
    assert 0 < len(wanted) < 288


def test_every_kind_is_tried_above() -> None:
    assert {pattern(text, FOUR).kind for text in SMALL} == set(range(len(KINDS)))


def test_the_centres_of_nine_boxes_are_a_place() -> None:
    centres = pattern("centres in order", NINE)
    assert NINE.names(centres.cells)[:4] == ["r2c2", "r2c5", "r2c8", "r5c2"]
    assert prove(Puzzle(NINE, (0,) * 81)).solution is not None


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("row 5 reads the same both ways", "r5c1 and r5c9 lie in row 5"),
        ("corners alike", "r1c1 and r1c9 lie in row 1"),
        ("region 12 in order", "no region 12"),
        ("row 5 upside down", "says none of"),
        ("the moon in order", "names no place"),
        ("r1c1 r1c1 alike", "stands twice"),
        ("r1c1-r1c3 read 1 2", "3 cells and 2 digits"),
        ("r1c1-r2c9 in order", "not straight"),
        ("r1c1-r9c9 r1c2 all different", "10 cells"),
        ("r1c1 in order", "needs 2 cells"),
        ("r1c1 read 12 345 6", "does not name digits"),
        ("in order", "says none of"),
        ("", "says none of"),
    ],
)
def test_what_no_grid_can_have_or_nobody_can_read_is_told(text: str, part: str) -> None:
    found = read_pattern(text, NINE)
    assert isinstance(found, Problem)
    assert part in found.what
    assert found.mend


def test_a_row_both_ways_is_answered_with_what_comes_near() -> None:
    found = read_pattern("row 5 reads the same both ways", NINE)
    assert isinstance(found, Problem)
    assert "balanced" in found.mend
