"""Repair finds the fewest changes, proves it, and keeps the look of a puzzle."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from time import monotonic

import pytest

from saywhy.engine import Cancel, prove
from saywhy.examples import path
from saywhy.files import read, read_text
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.second_opinion import verdict
from saywhy.setting.changes import apply, shown, told
from saywhy.setting.repair import repair
from saywhy.setting.repair_options import options
from saywhy.setting.repair_toward import toward
from saywhy.setting.watch import Watch
from tests.setting import small
from tests.setting.broken import Broken, broken
from tests.setting.mended import agrees, undone

#: Of the fifty, those on small grids are held against plain search in the tests; the command does all.
FIFTY = broken()
QUICK = [held for held in FIFTY if held.puzzle.grid.size < 9][:14]


def test_fifty_puzzles_are_broken_in_three_ways() -> None:
    assert len({held.puzzle for held in FIFTY}) == 50
    assert min(sum(held.way == way for held in FIFTY) for way in {held.way for held in FIFTY}) >= 12
    assert all(prove(held.whole).verdict == "unique" != prove(held.puzzle).verdict for held in FIFTY)


@pytest.mark.parametrize("held", QUICK, ids=lambda held: f"{held.name} {held.way}")
def test_a_broken_puzzle_is_mended_by_one_change_and_by_every_such_change(held: Broken) -> None:
    found = repair(held.puzzle, effort=False)
    assert (found.size, found.proved, found.all_found) == (1, True, True)
    assert undone(held, found)
    assert agrees(held, found)
    assert all(verdict(mending.puzzle) == "unique" for mending in found.proposals)


def test_a_puzzle_with_one_solution_needs_no_mending() -> None:
    found = repair(read(path("dinghy"))[0])
    assert (found.verdict, found.mendings, found.size) == ("unique", (), None)


@pytest.mark.parametrize("seed", range(6))
def test_two_changes_are_only_said_to_be_the_fewest_where_no_single_one_does(seed: int) -> None:
    puzzle = small.small(seed, 1, 3)
    found = repair(puzzle, effort=False)
    singles = [change for change in options(puzzle, drops=False) if small.unique(apply(puzzle, [change]))]
    assert (found.size == 1) == bool(singles)
    assert found.proved
    assert all(small.unique(mending.puzzle) for mending in found.mendings)
    if found.size == 1:
        assert {m.changes[0] for m in found.mendings} == set(singles)


def test_three_changes_are_only_said_to_be_the_fewest_where_no_two_do() -> None:
    puzzle = Puzzle(Grid.standard(4), (1, *(0,) * 15))
    found = repair(puzzle, effort=False)
    assert (found.size, found.least, found.proved) == (3, 3, True)
    changes = options(puzzle, drops=False)
    pairs = (pair for pair in combinations(changes, 2) if not pair[0].clashes(pair[1]))
    assert not any(small.unique(apply(puzzle, pair)) for pair in pairs)


@pytest.mark.parametrize("seed", range(5))
def test_towards_a_solution_the_fewest_givens_are_added(seed: int) -> None:
    puzzle = small.small(seed, 1, 0)
    solution = prove(puzzle, seed=seed).solution
    assert solution is not None
    found = toward(puzzle, solution, Watch())
    assert found is not None and found.proved
    size = len(found.changes)
    assert small.unique(apply(puzzle, found.changes))
    assert not any(small.unique(made) for made in small.added(puzzle, solution, size - 1))


def test_a_claimed_solution_decides_which_mending_is_meant() -> None:
    whole = read(path("fog-signals"))[0]
    meant = prove(whole).solution
    assert meant is not None
    puzzle = replace(whole, givens=tuple(0 if cell == 32 else d for cell, d in enumerate(whole.givens)))
    assert prove(puzzle).verdict == "many"
    found = repair(puzzle, claimed=meant, effort=False)
    assert found.proved
    assert all(mending.solution == meant for mending in found.mendings)
    assert {mending.solution for mending in repair(puzzle, effort=False).mendings} > {meant}


def test_a_claimed_solution_puts_right_what_it_breaks_in_a_puzzle_with_one_solution() -> None:
    whole = small.small(3, 5, 3)
    meant = prove(whole).solution
    assert meant is not None
    other = next(
        made
        for change in options(whole, drops=False)
        if (made := apply(whole, [change])) != whole
        and prove(made).verdict == "unique"
        and prove(made).solution != meant
    )
    found = repair(other, claimed=meant, effort=False)
    assert found.size == 1
    assert all(mending.solution == meant for mending in found.mendings)


@pytest.mark.parametrize("seed", range(8))
def test_the_smallest_sets_to_alter_are_those_of_plain_search(seed: int) -> None:
    whole = small.small(seed, 4, 4)
    clues = (
        replace(whole.clues[0], value=3 if whole.clues[0].value != 3 else 7),
        replace(whole.clues[1], value=7 if whole.clues[1].value != 7 else 3),
        *whole.clues[2:],
    )
    puzzle = replace(whole, clues=clues)
    if prove(puzzle).verdict != "none":
        pytest.skip("this one still has a solution")
    found = repair(puzzle, effort=False)
    mine = {
        frozenset([*(("clue", c) for c in wrong.clues), *(("given", c) for c in wrong.givens)])
        for wrong in found.wrong
    }
    assert found.wrong_all
    assert mine == small.corrections(puzzle)


def test_a_single_wrong_number_is_told_with_all_that_it_could_have_been() -> None:
    whole = read(path("cargo-in-the-hold"))[0]
    wrong = replace(whole.clues[3], value=13)
    puzzle = replace(whole, clues=(*whole.clues[:3], wrong, *whole.clues[4:]))
    [held] = repair(puzzle, effort=False).wrong
    assert (held.clues, held.givens) == ((3,), ())
    fine = {
        value
        for value in range(6, 25)
        if small.unique(
            replace(puzzle, clues=(*whole.clues[:3], replace(wrong, value=value), *whole.clues[4:]))
        )
    }
    said = {clue.value for change in held.unique for _, clue in change.clues if clue is not None}
    assert said == fine == {12}


def test_rules_that_no_grid_keeps_are_told_from_clues_that_are_wrong() -> None:
    # Two by two boxes and anti-king leave no 4x4 grid: computed by independent enumeration, 0 of 288.
    puzzle = Puzzle(Grid.standard(4), (0,) * 16, rules=("anti-king",))
    found = repair(puzzle, effort=False)
    assert (found.verdict, found.hopeless, found.mendings) == ("none", True, ())


def test_of_as_many_changes_those_that_keep_the_pattern_come_first() -> None:
    whole = read(path("fog-signals"))[0]
    puzzle = replace(whole, givens=tuple(0 if cell == 32 else d for cell, d in enumerate(whole.givens)))
    first = repair(puzzle, effort=False).mendings[0]
    assert [change.givens[0][0] for change in first.changes] == [32]
    assert first.lacks == 0


def test_where_one_given_would_spoil_the_pattern_one_with_more_is_offered_too() -> None:
    # Four givens in a half turn, and a fifth that would stand alone.
    solution = small.FILLED
    for seed in range(200):
        made = small.small(seed, 4, 0)
        cells = [cell for cell, digit in enumerate(made.givens) if digit]
        puzzle = Puzzle(made.grid, tuple(solution[c] if c in cells else 0 for c in range(16)))
        if {15 - cell for cell in cells} == set(cells) and prove(puzzle).verdict == "many":
            break
    found = repair(puzzle, claimed=solution, effort=False)
    assert any(mending.lacks for mending in found.mendings)
    kept = [mending for mending in found.mendings if not mending.lacks]
    assert kept and all(small.unique(mending.puzzle) for mending in kept)


def test_a_puzzle_without_givens_is_not_offered_one_before_all_else() -> None:
    whole = read_text(
        'format = 1\nsize = 4\n[[clue]]\nrule = "killer-cage"\ncells = "r1c1 r1c2"\nvalue = 3\n'
        '[[clue]]\nrule = "killer-cage"\ncells = "r1c3 r2c3 r2c4"\nvalue = 9\n'
        '[[clue]]\nrule = "killer-cage"\ncells = "r3c1 r4c1"\nvalue = 5\n'
        '[[clue]]\nrule = "thermometer"\ncells = "r4c4 r3c4 r3c3"\n'
        '[[clue]]\nrule = "white-dot"\ncells = "r2c1 r2c2"\n'
    )[0]
    found = repair(whole, effort=False)
    first_given = [bool(mending.foreign) for mending in found.mendings]
    assert first_given == sorted(first_given)
    assert all(
        mending.foreign == sum(c.kind == "add-given" for c in mending.changes) for mending in found.mendings
    )


def test_marks_of_which_all_are_given_mean_more_than_themselves() -> None:
    grid = Grid.standard(4)
    solution = small.FILLED
    dots = tuple(
        Clue("white-dot", pair)
        for pair in grid.neighbour_pairs
        if abs(solution[pair[0]] - solution[pair[1]]) == 1
    )
    givens = (1, *(0,) * 15)
    whole = Puzzle(grid, givens, all_given=("white-dot",), clues=dots)
    assert prove(whole).verdict == "unique"
    broke = replace(whole, clues=dots[1:])
    assert prove(broke).verdict == "none"
    found = repair(broke, effort=False)
    assert any(set(mending.puzzle.clues) == set(dots) for mending in found.mendings)
    assert all(verdict(mending.puzzle) == "unique" for mending in found.mendings[:20])


def test_the_same_seed_gives_the_same_and_every_seed_is_right() -> None:
    puzzle = Puzzle(Grid.standard(4), (1, *(0,) * 15))
    one, two, other = (repair(puzzle, effort=False, seed=seed) for seed in (5, 5, 6))
    assert one == two
    assert other.size == one.size == 3


def test_work_that_is_stopped_or_out_of_time_says_only_what_it_knows() -> None:
    puzzle = Puzzle(Grid.standard(9), (0,) * 81)
    cancel = Cancel()
    heard: list[str] = []

    def tell(what: str, _done: int, _of: int) -> None:
        heard.append(what)
        if what == "Trying each single change":
            cancel.set()

    found = repair(puzzle, effort=False, cancel=cancel, tell=tell)
    assert (found.size, found.proved, found.all_found) == (None, False, False)
    assert heard[0] == "Counting the solutions"
    late = repair(puzzle, effort=False, seconds=0.01)
    assert not late.proved


def test_what_was_found_before_a_stop_is_given() -> None:
    held = next(held for held in FIFTY if held.name == "at-anchor")
    whole = repair(held.puzzle, effort=False)
    cancel = Cancel()

    def tell(what: str, done: int, _of: int) -> None:
        if what == "Trying each single change" and done > 300:
            cancel.set()

    found = repair(held.puzzle, effort=False, cancel=cancel, tell=tell)
    assert 0 < len(found.mendings) < len(whole.mendings)
    assert not found.all_found
    assert {mending.puzzle for mending in found.mendings} < {mending.puzzle for mending in whole.mendings}


def test_a_file_with_very_many_clues_is_bounded_by_the_time() -> None:
    grid = Grid.standard(9)
    clues = tuple(
        Clue("killer-cage", (cell,), value=1 + (cell + turn) % 9) for turn in range(12) for cell in range(81)
    )
    begun = monotonic()
    found = repair(Puzzle(grid, (0,) * 81, clues=clues), seconds=3)
    assert found.verdict == "none" and not found.mendings
    assert monotonic() - begun < 60


def test_proposals_differ_and_bear_their_effort() -> None:
    held = next(held for held in FIFTY if held.name == "dinghy")
    found = repair(held.puzzle, most=4)
    assert len(found.proposals) == 4
    assert len({tuple(c.kind for c in mending.changes) for mending in found.proposals}) > 1
    assert all(mending.effort is not None for mending in found.proposals)


def test_every_kind_of_change_is_said_with_and_without_its_place() -> None:
    [puzzle] = read(path("chandlers-shelf"))
    for change in [*options(puzzle, drops=True), *options(read(path("cargo-in-the-hold"))[0], drops=True)]:
        assert "r1c" not in told([change]) and not any(sign.isdigit() for sign in told([change]))
    for change in options(puzzle, drops=True):
        assert "r" in shown(change, puzzle)
        made = apply(puzzle, [change])
        assert made != puzzle
