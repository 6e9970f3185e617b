"""Trimming never loses the one solution, and what it says of the least is so."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import replace

import pytest

from saywhy.engine import Cancel, prove
from saywhy.examples import names, path
from saywhy.files import read
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.reasoning.profile import BANDS
from saywhy.second_opinion import solve
from saywhy.setting.symmetry import SYMMETRIES
from saywhy.setting.trim import trim
from saywhy.setting.trim_parts import Trimming
from saywhy.setting.trim_sets import minimal_hitting_sets
from tests.setting import small


def rich(seed: int) -> Puzzle:
    """Give a 4x4 with one solution and things to spare."""
    return next(puzzle for turn in range(100) if small.unique(puzzle := small.small(100 * seed + turn, 6, 4)))


def gone(trimming: Trimming) -> frozenset[tuple[str, int]]:
    """Give what went."""
    return frozenset([*(("given", c) for c in trimming.givens), *(("clue", c) for c in trimming.clues)])


def givens_left(puzzle: Puzzle, out: AbstractSet[tuple[str, int]]) -> int:
    """Count the givens that are left."""
    return sum(("given", cell) not in out for cell, digit in enumerate(puzzle.givens) if digit)


@pytest.mark.parametrize("seed", range(6))
def test_all_trimmings_are_those_of_plain_search(seed: int) -> None:
    puzzle = rich(seed)
    found = trim(puzzle, wish="all", effort=False)
    assert found.proved
    assert {gone(trimming) for trimming in found.trimmings} == small.trimmings(puzzle)


@pytest.mark.parametrize("seed", range(6))
def test_the_fewest_givens_are_the_fewest(seed: int) -> None:
    puzzle = rich(seed)
    found = trim(puzzle, effort=False)
    assert found.proved
    every = small.trimmings(puzzle)
    fewest = min(givens_left(puzzle, out) for out in every)
    [mine] = found.trimmings
    assert givens_left(puzzle, gone(mine)) == fewest
    assert gone(mine) in every
    spare = {one for one in small.members(puzzle) if small.unique(small.without(puzzle, [one]))}
    told = {("given", c) for c in found.spare_givens} | {("clue", c) for c in found.spare_clues}
    assert told == spare


def test_a_full_4x4_grid_keeps_four_givens_and_no_fewer() -> None:
    # The fewest givens of a 4x4 are four: from memory, a fact of the trade.
    found = trim(Puzzle(Grid.standard(4), small.FILLED), effort=False)
    assert found.proved
    assert sum(map(bool, found.trimmings[0].puzzle.givens)) == 4


@pytest.mark.parametrize("name", names()[1::2])
def test_trimmed_examples_keep_their_one_solution_by_an_independent_solver_too(name: str) -> None:
    [puzzle] = read(path(name))
    solution = prove(puzzle).solution
    for wish in ("fewest", "pretty"):
        found = trim(puzzle, wish=wish, effort=False, seconds=5)
        for trimming in found.trimmings:
            assert solve(trimming.puzzle) == [solution]


@pytest.mark.parametrize("name", ["fog-signals", "at-anchor", "cargo-in-the-hold"])
def test_a_pretty_trimming_keeps_the_pattern_and_every_clue(name: str) -> None:
    [puzzle] = read(path(name))
    found = trim(puzzle, wish="pretty", effort=False, seconds=20)
    [mine] = found.trimmings
    held = [cell for cell, digit in enumerate(mine.puzzle.givens) if digit]
    [kind] = [kind for kind in SYMMETRIES if kind.name == mine.pattern]
    assert not kind.missing(held, 9)
    assert mine.puzzle.clues == puzzle.clues
    assert small.unique(mine.puzzle)


def test_a_pattern_that_cannot_be_had_is_told() -> None:
    every = trim(Puzzle(Grid.standard(4), small.FILLED), wish="all", effort=False).trimmings
    puzzle = next(trimming.puzzle for trimming in every if not trimming.pattern)
    found = trim(puzzle, wish="pretty", effort=False)
    assert found.trimmings == () and "No symmetry" in found.unmet and found.proved


def test_what_is_to_stay_stays_and_only_what_may_go_goes() -> None:
    [puzzle] = read(path("reef-knot"))
    keep = {place for place, clue in enumerate(puzzle.clues)}
    first = next(cell for cell, digit in enumerate(puzzle.givens) if digit)
    found = trim(puzzle, keep_clues=keep, keep_givens={first}, effort=False, seconds=20)
    assert found.trimmings[0].clues == () and first not in found.trimmings[0].givens
    clues = trim(puzzle, only="clues", effort=False, seconds=20)
    assert all(not trimming.givens for trimming in clues.trimmings)


def test_marks_of_which_all_are_given_stay() -> None:
    grid = Grid.standard(4)
    pairs = [p for p in grid.neighbour_pairs if abs(small.FILLED[p[0]] - small.FILLED[p[1]]) == 1]
    dots = tuple(Clue("white-dot", pair) for pair in pairs)
    puzzle = Puzzle(grid, small.FILLED, all_given=("white-dot",), clues=dots)
    found = trim(puzzle, wish="all", effort=False)
    assert found.trimmings and all(trimming.clues == () for trimming in found.trimmings)
    assert found.spare_rules == ("all-given white-dot",)


def test_a_rule_that_is_not_needed_is_named_and_left() -> None:
    puzzle = Puzzle(Grid.standard(4), small.FILLED, rules=("diagonals",))
    filled = prove(Puzzle(Grid.standard(4), (0,) * 16, rules=("diagonals",))).solution
    assert filled is not None
    found = trim(replace(puzzle, givens=filled), effort=False)
    assert found.spare_rules == ("diagonals",)
    assert found.trimmings[0].puzzle.rules == ("diagonals",)


def test_a_puzzle_without_one_solution_is_not_trimmed() -> None:
    for givens, verdict in (((0,) * 16, "many"), ((1, 1, *(0,) * 14), "none")):
        found = trim(Puzzle(Grid.standard(4), givens))
        assert (found.verdict, found.trimmings) == (verdict, ())


def test_a_band_is_kept() -> None:
    [puzzle] = read(path("fog-signals"))
    names_ = [name for _, name in BANDS]
    found = trim(puzzle, band="a stiff climb", keep_clues=set(range(12)))
    assert found.effort is not None and names_.index(found.effort.band) <= 2
    [mine] = found.trimmings
    assert mine.effort is not None and mine.effort.band == "a stiff climb"
    assert small.unique(mine.puzzle)
    [hard] = read(path("harbour-lights"))
    beyond = trim(hard, band="a stroll")
    assert beyond.trimmings == () and "does not ease it" in beyond.unmet
    with pytest.raises(ValueError, match="no band"):
        trim(puzzle, band="a doddle")


def test_the_same_seed_gives_the_same_and_stopped_work_loses_no_uniqueness() -> None:
    [puzzle] = read(path("at-anchor"))
    assert trim(puzzle, effort=False, seed=3) == trim(puzzle, effort=False, seed=3)
    cancel = Cancel()

    def tell(what: str, _done: int, _of: int) -> None:
        if what == "Looking for the fewest clues":
            cancel.set()

    found = trim(puzzle, effort=False, cancel=cancel, tell=tell)
    assert not found.proved
    assert all(small.unique(trimming.puzzle) for trimming in found.trimmings)


def test_minimal_hitting_sets_are_those_of_plain_search() -> None:
    family = (0b10110, 0b01101, 0b11000, 0b00011)
    hits = [held for held in range(32) if all(held & one for one in family)]
    minimal = {held for held in hits if not any(other != held and other & held == other for other in hits)}
    found = list(minimal_hitting_sets(family))
    assert len(found) == len(set(found)) and set(found) == minimal
