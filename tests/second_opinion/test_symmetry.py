"""A puzzle turned, mirrored, or counted from the other end has as many solutions: a free second test."""

from __future__ import annotations

import random

import pytest

from saywhy.engine import Budget, count, prove
from saywhy.files import write
from saywhy.puzzle import Clue, Puzzle
from saywhy.rules import clue_rules
from saywhy.second_opinion import search
from tests.second_opinion.mixes import SECONDS, random_mix
from tests.second_opinion.samples import CLUES, puzzle
from tests.second_opinion.symmetry import MOVES, moved, reflected

LIMIT = 500


def _same(one: Puzzle, other: Puzzle) -> None:
    assert count(one, LIMIT).solutions == count(other, LIMIT).solutions, f"{write(one)}\n{write(other)}"


@pytest.mark.parametrize("case", [case for case in CLUES if case[0] == 4], ids=lambda case: case[1].rule)
def test_a_clue_on_an_empty_grid_has_as_many_solutions_from_every_side(case: tuple[int, Clue]) -> None:
    one = puzzle(4, case[1])
    for name in MOVES:
        _same(one, moved(one, name))
    other = reflected(one)
    if other is not None:
        _same(one, other)


@pytest.mark.parametrize("seed", range(500, 530))
def test_a_random_mix_has_as_many_solutions_from_every_side(seed: int) -> None:
    one, _ = random_mix(seed)
    for name in MOVES:
        _same(one, moved(one, name))
    other = reflected(one)
    if other is not None:
        _same(one, other)


@pytest.mark.parametrize("seed", range(500, 515))
def test_the_second_opinion_does_not_depend_on_the_side_either(seed: int) -> None:
    one, _ = random_mix(seed)
    other = moved(one, random.Random(seed).choice(sorted(MOVES)))
    ours, theirs = prove(one, Budget(seconds=SECONDS)), search(other, 2, SECONDS)
    if ours.verdict != "undecided" and theirs.finished:
        assert ours.verdict == {0: "none", 1: "unique"}.get(len(theirs.solutions), "many"), write(one)


def test_moving_back_gives_the_same_puzzle() -> None:
    one, _ = random_mix(501)
    again = moved(moved(moved(one, "quarter turn"), "quarter turn"), "half turn")
    assert again.givens == one.givens
    assert {clue.rule for clue in again.clues} == {clue.rule for clue in one.clues}


def test_most_rules_can_be_counted_from_the_other_end() -> None:
    twins = {clue.rule for size, clue in CLUES if reflected(puzzle(size, clue)) is not None}
    assert twins >= {"killer-cage", "thermometer", "renban", "quadruple", "odd", "x", "v", "modular-line"}
    assert not twins & {"black-dot", "arrow", "x-sum", "skyscraper", "counting-circles"}
    assert twins < set(clue_rules())
