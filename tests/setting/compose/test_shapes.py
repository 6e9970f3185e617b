"""Shapes and numbers that are made up or read off are such as a setter could have drawn."""

from __future__ import annotations

from itertools import islice, pairwise
from random import Random

import pytest

from saywhy.engine import prove
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.rule import check_clue
from saywhy.rules import clue_rules, place
from saywhy.setting.compose.shapes import orbits, taken_by
from saywhy.setting.compose.sketch import LENGTHS, OpenClue, rule_of, symmetry_named
from saywhy.setting.compose.values import can_be_open, with_digits, with_number
from saywhy.setting.symmetry import SYMMETRIES

NINE = Grid.standard(9)
MADE = [name for name, rule in clue_rules().items() if rule.form in LENGTHS]


def open_clue(name: str, symmetry: str = "") -> OpenClue:
    rule = rule_of(name)
    least, most = (max(length, rule.fewest) for length in LENGTHS[rule.form])
    digits = 2 if "digits" in rule.needs else 0
    return OpenClue(name, 4, least, most, symmetry, None, "value" in rule.needs, digits)


@pytest.mark.parametrize("name", MADE)
def test_a_shape_lies_as_its_rule_wants_it(name: str) -> None:
    for (clue,) in islice(orbits(open_clue(name), NINE, set(), Random(name), 1), 40):
        assert not [wrong for wrong in check_clue(rule_of(name), clue, NINE) if wrong.field == "cells"]


@pytest.mark.parametrize("kind", SYMMETRIES, ids=lambda kind: kind.name)
@pytest.mark.parametrize("name", ["renban", "killer-cage", "x", "quadruple", "odd"])
def test_shapes_of_one_orbit_are_each_others_images(name: str, kind: object) -> None:
    symmetry = symmetry_named(getattr(kind, "name", ""))
    assert symmetry is not None
    for clues in islice(orbits(open_clue(name, symmetry.name), NINE, set(), Random(name), 4), 30):
        cells = {cell for clue in clues for cell in clue.cells}
        assert not symmetry.missing(cells, 9)
        assert len({frozenset(clue.cells) for clue in clues}) == len(clues)


def test_shapes_keep_clear_of_what_is_taken() -> None:
    taken = set(taken_by(Clue("killer-cage", tuple(range(60))), NINE))
    for (clue,) in islice(orbits(open_clue("renban"), NINE, taken, Random(1), 1), 40):
        assert min(clue.cells) >= 60


def test_no_two_lines_cross_in_a_corner() -> None:
    taken = set(taken_by(Clue("renban", (0, 10, 20)), NINE))
    for (clue,) in islice(orbits(open_clue("renban"), NINE, taken, Random(2), 1), 200):
        steps = {frozenset(pair) for pair in pairwise(clue.cells)}
        assert not steps & {frozenset({1, 9}), frozenset({11, 19})}


def test_where_there_is_no_room_there_are_no_shapes() -> None:
    taken = set(taken_by(Clue("killer-cage", tuple(range(80))), NINE))
    assert list(orbits(open_clue("renban"), NINE, taken, Random(1), 1)) == []


def grids() -> list[tuple[int, ...]]:
    found = [prove(Puzzle(NINE, (0,) * 81), seed=seed).solution for seed in range(1, 6)]
    return [grid for grid in found if grid is not None]


@pytest.mark.parametrize(
    "name", [name for name in MADE if can_be_open(rule_of(name)) and "value" in rule_of(name).needs]
)
def test_a_number_read_off_a_grid_holds_on_it_and_no_other_does_but_for_sum_lines(name: str) -> None:
    for grid in grids():
        (bare,) = next(orbits(open_clue(name), NINE, set(), Random(name), 1))
        clue = with_number(bare, NINE, grid, Random(1))
        if clue is None:
            assert name == "sum-line"
            continue
        assert place(clue, NINE).holds(list(grid)) is True
        if name != "sum-line":
            others = {with_number(bare, NINE, grid, Random(seed)) for seed in range(5)}
            assert others == {clue}


def test_a_cage_reads_its_sum_and_a_sandwich_what_lies_between() -> None:
    for grid in grids():
        cage = with_number(Clue("killer-cage", (0, 1, 2)), NINE, grid, Random(1))
        assert cage is not None
        assert cage.value == sum(grid[:3])
        row = list(grid[:9])
        low, high = sorted((row.index(1), row.index(9)))
        sandwich = with_number(Clue("sandwich", tuple(range(9))), NINE, grid, Random(1))
        assert sandwich is not None
        assert sandwich.value == sum(row[low + 1 : high])


def test_digits_printed_on_a_corner_are_kept_beside_those_read_off() -> None:
    grid = grids()[0]
    cells = (0, 1, 9, 10)
    there = [grid[cell] for cell in cells]
    clue = with_digits(Clue("quadruple", cells, digits=(there[0], 1)), 1, NINE, grid, Random(1))
    assert clue is not None
    assert there[0] in clue.digits
    assert len(clue.digits) == 2
    absent = next(digit for digit in range(1, 10) if digit not in there)
    assert with_digits(Clue("quadruple", cells, digits=(absent, 1)), 1, NINE, grid, Random(1)) is None
