"""What is composed is what was wished, and is proved by strangers."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from saywhy.engine import count, prove
from saywhy.puzzle import Puzzle
from saywhy.reasoning import explain
from saywhy.second_opinion import certify_path, verdict
from saywhy.setting.compose import EFFORTS, Attempt, Sketch, attempt, sketch_of
from saywhy.setting.compose.sketch import symmetry_named
from tests.setting.compose.drawn import SKETCHES, keeps, solutions

ATTEMPTS = 12


@cache
def finds(name: str) -> tuple[Sketch, list[Attempt]]:
    """Give a sketch and what a dozen attempts at it find."""
    sketch = sketch_of(SKETCHES[name])
    tried = [attempt(sketch, 3, number) for number in range(1, ATTEMPTS + 1)]
    return sketch, [found for found in tried if found.outcome == "found"]


def puzzle_of(found: Attempt) -> Puzzle:
    assert found.puzzle is not None
    return found.puzzle


@pytest.mark.parametrize("name", SKETCHES)
def test_a_small_sketch_is_found_more_than_once_in_a_dozen_attempts(name: str) -> None:
    assert len(finds(name)[1]) >= 2


@pytest.mark.parametrize("name", SKETCHES)
def test_three_solvers_agree_that_there_is_one_solution(name: str) -> None:
    for found in finds(name)[1]:
        puzzle = puzzle_of(found)
        assert prove(puzzle).solution == found.solution
        assert count(puzzle).solutions == 1
        assert verdict(puzzle) == "unique"


@pytest.mark.parametrize("name", ["punt", "dots"])
def test_plain_search_by_the_definitions_finds_one_solution_too(name: str) -> None:
    for found in finds(name)[1][:3]:
        assert solutions(puzzle_of(found)) == 1


def test_the_plain_search_can_say_that_there_are_several() -> None:
    puzzle = puzzle_of(finds("punt")[1][0])
    assert solutions(replace(puzzle, givens=(0,) * 16, clues=())) == 2


@pytest.mark.parametrize("name", SKETCHES)
def test_the_solution_keeps_every_clue_by_its_definition(name: str) -> None:
    for found in finds(name)[1]:
        assert keeps(puzzle_of(found), found.solution)


@pytest.mark.parametrize("name", SKETCHES)
def test_as_many_givens_as_wished_lie_in_the_symmetry_that_was_wished(name: str) -> None:
    sketch, found = finds(name)
    for made in found:
        given = {cell for cell, digit in enumerate(puzzle_of(made).givens) if digit}
        assert sketch.wish.least <= len(given) <= sketch.wish.most
        kind = symmetry_named(sketch.wish.symmetry)
        assert kind is None or not kind.missing(given, sketch.grid.size)


def test_cells_marked_open_are_given_and_what_is_drawn_stays() -> None:
    sketch, found = finds("marked")
    assert len(sketch.open_cells) == 5
    for made in found:
        givens = puzzle_of(made).givens
        assert all(givens[cell] for cell in sketch.open_cells)
        assert givens[14] == 3


@pytest.mark.parametrize("name", SKETCHES)
def test_the_path_needs_no_what_if_and_its_band_was_wished(name: str) -> None:
    sketch, found = finds(name)
    for made in found:
        path = explain(puzzle_of(made))
        assert path.complete
        assert made.effort == path.effort
        assert path.effort is not None
        assert path.effort.what_ifs == 0
        assert path.effort.band in sketch.wish.efforts
        assert all(told.step.idea != "trial" for told in path.steps)


def test_a_path_stands_before_an_independent_solver_step_by_step() -> None:
    puzzle = puzzle_of(finds("skiff")[1][0])
    assert certify_path(puzzle, explain(puzzle).as_json("")).sound


def test_the_pattern_is_in_the_solution_and_no_clue_says_so() -> None:
    sketch, found = finds("skiff")
    assert sketch.wish.pattern is not None
    for made in found:
        first = [made.solution[cell] for cell in puzzle_of(made).grid.houses[12].cells]
        assert first == [1, 2, 3, 4, 5, 6]
        assert {clue.rule for clue in puzzle_of(made).clues} == {"killer-cage", "white-dot", "quadruple"}


def test_as_many_shapes_as_wished_lie_apart_and_in_their_symmetry() -> None:
    sketch, found = finds("skiff")
    for made in found:
        puzzle = puzzle_of(made)
        cages = [clue for clue in puzzle.clues if clue.rule == "killer-cage"]
        cells = [cell for clue in cages for cell in clue.cells]
        assert len(cages) == sketch.open_clues[0].shapes
        assert len(set(cells)) == len(cells)
        assert set(cells) == {35 - cell for cell in cells}
        assert all(2 <= len(clue.cells) <= 3 for clue in cages)
        assert all(clue.value == sum(made.solution[cell] for cell in clue.cells) for clue in cages)


def test_digits_on_a_corner_are_read_off_the_grid() -> None:
    for made in finds("skiff")[1]:
        [corner] = [clue for clue in puzzle_of(made).clues if clue.rule == "quadruple"]
        there = [made.solution[cell] for cell in corner.cells]
        assert len(corner.digits) == 2
        assert all(there.count(digit) >= corner.digits.count(digit) for digit in corner.digits)


def test_marks_of_which_all_are_given_stand_wherever_the_grid_allows_one() -> None:
    for made in finds("dots")[1]:
        puzzle = puzzle_of(made)
        marked = {frozenset(clue.cells): clue.rule for clue in puzzle.clues}
        for a, b in puzzle.grid.neighbour_pairs:
            low, high = sorted((made.solution[a], made.solution[b]))
            allowed = {"white-dot"} if high == low + 1 else set()
            allowed |= {"black-dot"} if high == 2 * low else set()
            mark = marked.get(frozenset((a, b)))
            assert (mark in allowed) if allowed else mark is None


def test_a_band_of_its_own_is_held() -> None:
    sketch = sketch_of(SKETCHES["punt"])
    only = replace(sketch, wish=replace(sketch.wish, efforts=EFFORTS[:1]))
    outcomes = [attempt(only, 3, number) for number in range(1, ATTEMPTS + 1)]
    assert {made.effort.band for made in outcomes if made.effort} == {EFFORTS[0]}


def test_what_no_grid_keeps_is_told_to_be_impossible() -> None:
    text = SKETCHES["punt"].replace('cells = "r1c1 r1c2"\nvalue = "?"', 'cells = "r1c1-r1c4"\nvalue = 10')
    clash = text.replace("[wish]", '[wish]\npattern = "r1c1 r1c2 r2c2 read 1 2 2"')
    assert attempt(sketch_of(clash), 1, 1).outcome == "impossible"
    assert attempt(sketch_of(text), 1, 1).outcome != "impossible"


def test_a_sketch_too_thin_for_one_solution_finds_nothing() -> None:
    thin = sketch_of("format = 1\nsize = 6\n[wish]\ngivens = 3\n")
    assert {attempt(thin, 1, number).outcome for number in range(1, 6)} == {"no path"}
