"""Each rule's own definition and its independent model mean the same."""

from __future__ import annotations

import pytest

from saywhy.puzzle import Clue
from saywhy.rules import clue_rules, grid_rules
from saywhy.second_opinion import build, enumerate_fillings
from saywhy.second_opinion.registry import clue_models, grid_models
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
