"""Boards of 16 by 16, candidates that are cancelled, and conflicts of whole puzzles with rules."""

from __future__ import annotations

import random
import threading
from time import monotonic

import pytest

from saywhy.engine import Budget, Cancel, Conflict, candidates, conflict, prove
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle

LARGE = Grid.standard(16)


def shuffled(chance: random.Random) -> list[int]:
    """Give a filled board of 16 by 16: a cyclic one with rows, columns and digits exchanged."""

    def lines() -> list[int]:
        bands = chance.sample(range(4), 4)
        return [4 * band + line for band in bands for line in chance.sample(range(4), 4)]

    rows, columns, digits = lines(), lines(), chance.sample(range(1, 17), 16)
    return [digits[(4 * (row % 4) + row // 4 + column) % 16] for row in rows for column in columns]


@pytest.mark.parametrize("seed", range(3))
def test_a_board_of_16_by_16_is_proved_to_have_the_solution_it_was_cut_from(seed: int) -> None:
    chance = random.Random(seed)
    solution = shuffled(chance)
    givens = list(solution)
    # In steps of 8, for as long as there is one solution: about 110 givens are left.
    order = chance.sample(range(256), 256)
    for start in range(0, 256, 8):
        fewer = list(givens)
        for cell in order[start : start + 8]:
            fewer[cell] = 0
        if prove(Puzzle(LARGE, tuple(fewer)), Budget(nodes=20_000)).verdict == "unique":
            givens = fewer
    assert sum(map(bool, givens)) < 160
    proof = prove(Puzzle(LARGE, tuple(givens)), Budget(nodes=200_000))
    assert proof.verdict == "unique"
    assert proof.solution == tuple(solution)


def test_one_exchange_in_a_board_of_16_by_16_leaves_no_solution() -> None:
    solution = shuffled(random.Random(1))
    wrong = list(solution)
    wrong[0], wrong[1] = wrong[1], wrong[0]
    wrong[40:80] = [0] * 40
    assert prove(Puzzle(LARGE, tuple(wrong)), Budget(nodes=200_000)).verdict == "none"


@pytest.mark.parametrize("size", [12, 16])
def test_candidates_of_an_empty_large_board_take_few_nodes(size: int) -> None:
    # A first search too short for a whole filling once cost 280,000.
    found = candidates(Puzzle(Grid.standard(size), (0,) * size * size), budget=Budget(nodes=40_000))
    assert found.complete
    assert set(found.domains) == {(1 << size) - 1}


def test_candidates_can_be_cancelled_and_what_is_left_is_never_too_little() -> None:
    puzzle = Puzzle(LARGE, (0,) * 256, rules=("non-consecutive",))
    cancel = Cancel()
    timer = threading.Timer(0.05, cancel.set)
    timer.start()
    begun = monotonic()
    found = candidates(puzzle, cancel=cancel)
    timer.join()
    assert monotonic() - begun < 5
    assert not found.complete
    assert all(found.domains)
    cancel.set()
    assert candidates(puzzle, cancel=cancel).nodes == 0


def _holds(puzzle: Puzzle, told: Conflict, without: tuple[str, int | str] | None) -> bool:
    """Say whether clues, givens and rules of a conflict, less one of them, leave a solution; houses stay."""
    clues = tuple(puzzle.clues[i] for i in told.clues if without != ("clue", i))
    givens = tuple(
        digit if cell in told.givens and without != ("given", cell) else 0
        for cell, digit in enumerate(puzzle.givens)
    )
    rules = tuple(rule for rule in told.rules if without != ("rule", rule))
    return prove(Puzzle(puzzle.grid, givens, rules, clues=clues)).solution is not None


@pytest.mark.parametrize(
    ("clues", "rules", "givens"),
    [
        # A thermometer of six cells that begins with a 6.
        ([Clue("thermometer", (0, 1, 2, 3, 4, 5)), Clue("killer-cage", (9, 10), value=9)], (), {0: 6, 40: 5}),
        # Two cages that want the same two digits in one row.
        (
            [Clue("killer-cage", (0, 1), value=3), Clue("killer-cage", (3, 4), value=4), Clue("v", (30, 31))],
            (),
            {80: 9},
        ),
        # A knight's move apart, the same digit.
        ([Clue("whisper", (60, 61, 62))], ("anti-knight", "non-consecutive"), {0: 5, 19: 5}),
    ],
)
def test_every_clue_given_and_rule_of_a_conflict_on_a_whole_board_is_needed(
    clues: list[Clue], rules: tuple[str, ...], givens: dict[int, int]
) -> None:
    held = tuple(givens.get(cell, 0) for cell in range(81))
    puzzle = Puzzle(Grid.standard(9), held, rules, clues=tuple(clues))
    told = conflict(puzzle, Budget(seconds=20))
    assert told is not None
    assert told.minimal
    assert told.smallest
    assert not _holds(puzzle, told, None)
    members: list[tuple[str, int | str]] = [
        *(("clue", i) for i in told.clues),
        *(("given", cell) for cell in told.givens),
        *(("rule", rule) for rule in told.rules),
    ]
    assert members
    # Houses stay in, so a member may be spared by a house that the conflict leaves out: not in these.
    for member in members:
        assert _holds(puzzle, told, member), member
