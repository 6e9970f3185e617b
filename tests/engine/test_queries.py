"""Proofs, counts, candidates and conflicts of puzzles: known answers, budgets, cancelling, repeatability."""

from __future__ import annotations

import subprocess
import sys
import threading
from itertools import combinations
from pathlib import Path
from time import monotonic

import pytest

from saywhy.engine import Budget, Cancel, candidates, compile_model, conflict, count, prove
from saywhy.engine.constraints import Source
from saywhy.engine.hitting import hitting_set
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle

EMPTY = Puzzle(Grid.standard(9), (0,) * 81)
#: Gordon Royle's collection of puzzles with 17 givens, from memory; the solution is checked here.
SEVENTEEN = "000000010400000000020000000000050407008000300001090000300400200050100000000806000"


def classic(text: str) -> Puzzle:
    return Puzzle(Grid.standard(9), tuple(map(int, text)))


def test_a_puzzle_of_17_givens_is_unique_and_its_solution_fills_every_house() -> None:
    puzzle = classic(SEVENTEEN)
    proof = prove(puzzle)
    assert proof.verdict == "unique"
    assert proof.other is None
    assert proof.solution is not None
    assert all(given in (0, digit) for given, digit in zip(puzzle.givens, proof.solution, strict=True))
    for house in puzzle.grid.houses:
        assert {proof.solution[cell] for cell in house.cells} == set(range(1, 10))


def test_without_one_given_it_has_many_and_both_are_shown() -> None:
    proof = prove(classic(SEVENTEEN.replace("5", "0", 1)))
    assert proof.verdict == "many"
    assert proof.solution is not None
    assert proof.other is not None
    assert proof.solution != proof.other


def test_a_repeated_digit_leaves_none_and_the_conflict_is_two_givens_and_a_house() -> None:
    puzzle = classic("11" + "0" * 79)
    assert prove(puzzle).verdict == "none"
    found = conflict(puzzle)
    assert found is not None
    assert found.smallest
    assert found.givens == (0, 1)
    assert found.houses in (("row 1",), ("region 1",))
    assert not found.clues
    assert not found.rules


@pytest.mark.parametrize(
    ("grid", "rules", "solutions"),
    [
        # OEIS A107739.
        (Grid.standard(4), (), 288),
        # OEIS A002860.
        (Grid(4, None), (), 576),
        (Grid(5, None), (), 161_280),
        # Computed by independent enumeration.
        (Grid.standard(4), ("diagonals",), 48),
        (Grid.standard(4), ("anti-knight",), 24),
        (Grid.standard(4), ("anti-king",), 0),
        (Grid.standard(6), ("diagonals",), 8_640),
        (Grid.standard(6), ("anti-knight",), 11_520),
        (Grid.standard(6), ("anti-king",), 74_160),
        (Grid.standard(6), ("non-consecutive",), 48),
        (Grid.standard(6), ("anti-knight", "anti-king"), 0),
        (Grid.standard(9), ("non-consecutive", "anti-knight", "anti-king"), 72),
    ],
)
def test_empty_grids_are_counted_as_they_are_elsewhere(
    grid: Grid, rules: tuple[str, ...], solutions: int
) -> None:
    counted = count(Puzzle(grid, (0,) * (grid.size * grid.size), rules))
    assert counted.exact
    assert counted.solutions == solutions


def test_grids_of_6_by_6_with_the_first_row_in_order() -> None:
    # 28,200,960 = 39,168 x 6!, computed by independent enumeration.
    puzzle = Puzzle(Grid.standard(6), (*range(1, 7), *(0,) * 30))
    assert count(puzzle).solutions == 39_168


def test_a_limit_stops_a_count_and_says_so() -> None:
    counted = count(EMPTY, limit=5)
    assert (counted.solutions, counted.exact) == (5, False)
    assert (count(EMPTY, limit=0).solutions, count(EMPTY, limit=0).exact) == (0, False)
    with pytest.raises(ValueError, match="0 or more"):
        count(EMPTY, limit=-1)


def test_a_count_spends_no_more_nodes_than_allowed() -> None:
    counted = count(EMPTY, budget=Budget(nodes=1000))
    assert not counted.exact
    assert counted.nodes == 1000


def test_a_count_ends_soon_after_its_time() -> None:
    begun = monotonic()
    assert not count(EMPTY, budget=Budget(seconds=0.1)).exact
    assert monotonic() - begun < 2


def test_another_thread_can_cancel_and_run_meanwhile() -> None:
    cancel = Cancel()
    timer = threading.Timer(0.1, cancel.set)
    timer.start()
    begun = monotonic()
    assert not count(EMPTY, cancel=cancel).exact
    assert monotonic() - begun < 2
    assert cancel.is_set
    cancel.clear()
    assert not cancel.is_set


def test_equal_questions_get_equal_answers() -> None:
    for seed in (0, 1, 7):
        first, second = (count(EMPTY, limit=300, seed=seed) for _ in range(2))
        assert (first.nodes, first.solutions) == (second.nodes, second.solutions)
    puzzle = classic(SEVENTEEN)
    assert len({prove(puzzle, seed=seed).solution for seed in range(5)}) == 1


def test_candidates_are_the_digits_of_all_solutions() -> None:
    puzzle = Puzzle(Grid.standard(4), (1, 0, 0, 0, 0, 0, 2, *(0,) * 9))
    model = compile_model(puzzle)
    _, all_of_them, _, _, _ = model.native.search(None, model.domains, 1000, 1000)
    expected = [sum({1 << (digits[cell] - 1) for digits in all_of_them}) for cell in range(16)]
    found = candidates(puzzle)
    assert found.complete
    assert list(found.domains) == expected


def test_candidates_of_an_empty_board_are_all_digits_within_a_moment() -> None:
    found = candidates(EMPTY, budget=Budget(seconds=5))
    assert found.complete
    assert set(found.domains) == {511}


def test_candidates_of_an_impossible_puzzle_are_none() -> None:
    found = candidates(classic("11" + "0" * 79))
    assert found.complete
    assert set(found.domains) == {0}


def test_candidates_keep_within_given_domains() -> None:
    found = candidates(EMPTY, domains=[3] * 2 + [511] * 79)
    assert found.complete
    assert found.domains[:2] == (3, 3)
    assert all(mask & 3 == 0 for mask in found.domains[2:9])
    with pytest.raises(ValueError, match="81 masks expected"):
        candidates(EMPTY, domains=[511])


def _smallest_conflict(puzzle: Puzzle) -> int:
    model = compile_model(puzzle)
    groups: dict[Source, list[int]] = {}
    for number, constraint in enumerate(model.constraints):
        groups.setdefault(constraint.source, []).append(number)
    members: list[list[int] | int] = [
        *groups.values(),
        *(c for c, digit in enumerate(puzzle.givens) if digit),
    ]
    for size in range(1, len(members) + 1):
        for chosen in combinations(members, size):
            domains = [(1 << model.size) - 1] * model.cells
            for member in chosen:
                if isinstance(member, int):
                    domains[member] = 1 << (puzzle.givens[member] - 1)
            ids = [number for member in chosen if isinstance(member, list) for number in member]
            if model.refutes(ids, domains, 10**9):
                return size
    raise AssertionError("the puzzle has a solution")


@pytest.mark.parametrize(
    ("givens", "clues"),
    [
        ("1...1...........", []),
        ("12..............", [("killer-cage", (0, 1), 4)]),
        ("................", [("killer-cage", (0, 1), 3), ("killer-cage", (4, 5), 3)]),
        ("3...............", [("killer-cage", (1, 2), 4), ("killer-cage", (0, 4), 4)]),
        ("................", [("killer-cage", (0, 1), 3), ("killer-cage", (1, 2), 3)]),
    ],
)
def test_no_conflict_is_smaller_than_the_one_told_as_smallest(
    givens: str, clues: list[tuple[str, tuple[int, ...], int]]
) -> None:
    digits = tuple(0 if c == "." else int(c) for c in givens)
    held = tuple(Clue(rule, cells, value=value) for rule, cells, value in clues)
    puzzle = Puzzle(Grid.standard(4), digits, clues=held)
    found = conflict(puzzle)
    assert found is not None
    assert found.smallest
    assert found.minimal
    assert found.size == _smallest_conflict(puzzle)


def test_a_puzzle_with_a_solution_has_no_conflict() -> None:
    assert conflict(classic(SEVENTEEN)) is None


def test_smallest_hitting_sets() -> None:
    assert hitting_set([0b011, 0b110], 1, 5, lambda: True) == (0b010, True)
    assert hitting_set([], 1, 5, lambda: True) == (0, True)
    assert hitting_set([0b001, 0b010, 0b100], 1, 2, lambda: True) == (None, True)
    family = [0b0011, 0b0101, 0b1001, 0b0110]
    found, done = hitting_set(family, 1, 4, lambda: True)
    assert done
    assert found is not None
    assert found.bit_count() == 2
    assert all(found & held for held in family)


def test_the_stub_of_the_native_module_is_current() -> None:
    root = Path(__file__).parents[2]
    run = subprocess.run(
        [sys.executable, "native/stub.py", "--check"], cwd=root, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr


def test_the_engine_is_imported_without_heavy_libraries() -> None:
    script = (
        "import sys, saywhy.engine; print([m for m in ('numpy', 'ortools', 'pysat') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
