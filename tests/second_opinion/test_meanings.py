"""Each rule's own definition and its independent model mean the same."""

from __future__ import annotations

import pytest

from saywhy.engine import Budget, prove
from saywhy.puzzle import Clue, Puzzle
from saywhy.rules import clue_rules, grid_rules
from saywhy.second_opinion import build, enumerate_fillings
from saywhy.second_opinion.registry import clue_models, grid_models
from tests.rules.samples import samples
from tests.second_opinion import plain
from tests.second_opinion.samples import CLUES, WIDE, puzzle


def _id(case: tuple[int, Clue]) -> str:
    size, clue = case
    return f"{clue.rule}-{size}"


def test_every_rule_has_an_independent_model() -> None:
    assert set(clue_rules()) <= set(clue_models())
    assert set(grid_rules()) | {"all-given"} <= set(grid_models())


def test_every_rule_has_a_sample() -> None:
    assert {clue.rule for _, clue in CLUES} | {"magic-square"} >= set(clue_rules())
    assert {name for sample in WIDE for name in sample.rules} >= set(grid_rules())


@pytest.mark.parametrize("case", CLUES, ids=_id)
def test_a_clue_allows_the_same_fillings_of_its_cells_by_definition_compiled_and_by_its_model(
    case: tuple[int, Clue],
) -> None:
    """
    No house is posted, so digits may repeat where the clue itself lets them.

    A reason names the houses it uses; a compiled form that leant on a house would hide one.
    """
    size, clue = case
    alone = puzzle(size, clue)
    cells, expected = plain.fillings(alone, 0)
    assert plain.compiled_fillings(alone, 0) == expected
    found = enumerate_fillings(build(alone, houses=(), rules=(), clues=(0,)), cells)
    assert found.finished
    assert set(found.solutions) == expected


def _small(sample: Puzzle, clue: Clue) -> bool:
    """Say whether all fillings of a clue's cells can be listed."""
    fillings: int = sample.grid.size ** len(plain.cells_of(clue))
    return fillings <= 7_000


@pytest.mark.parametrize(
    ("sample", "index"),
    [
        pytest.param(sample, index, id=f"{clue.rule}-{sample.grid.size}")
        for _, sample in samples()
        for index, clue in enumerate(sample.clues)
        if _small(sample, clue)
    ],
)
def test_the_rules_own_samples_mean_the_same_to_the_model(sample: Puzzle, index: int) -> None:
    cells, expected = plain.fillings(sample, index)
    found = enumerate_fillings(build(sample, houses=(), rules=(), clues=(index,)), cells)
    assert found.finished
    assert set(found.solutions) == expected


@pytest.mark.parametrize(
    "sample", [pytest.param(sample, id=f"{name}-{sample.grid.size}") for name, sample in samples()]
)
def test_a_solution_of_a_rules_own_sample_is_one_to_the_model_too(sample: Puzzle) -> None:
    proof = prove(sample, Budget(seconds=10.0))
    assert proof.solution is not None
    for filling in (proof.solution, proof.other):
        if filling is not None:
            domains = {cell: (digit,) for cell, digit in enumerate(filling)}
            model = build(sample, givens=True, domains=domains)
            assert enumerate_fillings(model, sample.grid.cells).solutions == (filling,)
