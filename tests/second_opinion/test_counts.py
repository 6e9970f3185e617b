"""Plain enumeration, the engine and CP-SAT count the same solutions of small puzzles of every rule."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from saywhy.engine import count, prove
from saywhy.puzzle import Clue, Puzzle
from saywhy.second_opinion import search, verdict
from tests.second_opinion import plain
from tests.second_opinion.published import Published, published
from tests.second_opinion.samples import ALL_GIVEN, CLUES, MAGIC, WIDE, puzzle

#: Grids above 4x4 get so many givens that at least this many, and not many more, fillings are left.
GRIDS = 60


def thinned(sample: Puzzle, seed: int) -> Puzzle:
    """
    Give a puzzle so many givens that few fillings are left, the cells of its clues being empty.

    The engine only helps to choose it: a solution to start from, and where to stop.
    """
    solution = prove(sample, seed=seed).solution
    assert solution is not None
    rng = random.Random(seed)
    own = sorted({cell for clue in sample.clues for cell in plain.cells_of(clue)})
    others = [cell for cell in sample.grid.cells if cell not in own]
    givens = list(solution)
    for cell in (*own, *rng.sample(others, len(others))):
        givens[cell] = 0
        left = count(replace(sample, rules=(), all_given=(), clues=(), givens=tuple(givens)), limit=GRIDS)
        if left.solutions == GRIDS and not any(givens[cell] for cell in own):
            break
    return replace(sample, givens=tuple(givens))


def check(sample: Puzzle) -> int:
    """Count the solutions of a puzzle in three ways, and give the number if they agree."""
    expected = plain.solutions(sample)
    found = search(sample, None)
    assert set(found.solutions) == expected
    assert found.finished
    counted = count(sample)
    assert (counted.solutions, counted.exact) == (len(expected), True)
    said = {0: "none", 1: "unique"}.get(len(expected), "many")
    proof = prove(sample)
    assert proof.verdict == said
    assert verdict(sample) == said
    assert {proof.solution, proof.other} - {None} <= expected
    return len(expected)


def _id(case: tuple[int, Clue]) -> str:
    return f"{case[1].rule}-{case[0]}"


@pytest.mark.parametrize("case", [*CLUES, MAGIC], ids=_id)
def test_a_puzzle_of_one_clue_has_the_same_solutions_counted_three_ways(case: tuple[int, Clue]) -> None:
    size, clue = case
    alone = puzzle(size, clue)
    if size == 4:
        check(alone)
    else:
        assert check(thinned(alone, 1))


@pytest.mark.parametrize("case", [case for case in CLUES if case[0] < 9], ids=_id)
def test_two_clues_of_one_rule_have_the_same_solutions_counted_three_ways(case: tuple[int, Clue]) -> None:
    size, clue = case
    turned = replace(
        clue,
        cells=tuple(size * size - 1 - cell for cell in clue.cells),
        groups=tuple(tuple(size * size - 1 - cell for cell in group) for group in clue.groups),
    )
    alone = puzzle(size, clue)
    one = alone if size == 4 else thinned(alone, 7)
    check(replace(one, clues=(clue, turned)))


@pytest.mark.parametrize(
    "sample", [*WIDE, *ALL_GIVEN], ids=lambda p: f"{p.grid.size}-{p.rules or p.all_given}"
)
def test_grid_wide_rules_have_the_same_solutions_counted_three_ways(sample: Puzzle) -> None:
    check(thinned(sample, 3) if sample.grid.size > 5 else sample)


@pytest.mark.parametrize(
    "one", [one for one in published() if one.over is None], ids=lambda one: one.name.replace(" ", "-")
)
def test_the_engine_gives_the_published_number_of_grids(one: Published) -> None:
    counted = count(one.puzzle)
    assert (counted.solutions, counted.exact) == (one.count, True)
