"""On random mixes of rules, the engine, the definitions and the second opinion agree."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from saywhy.files import read, write
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.rules import clue_rules
from tests.second_opinion.makers import MAKERS
from tests.second_opinion.mixes import REGRESSIONS, disagreement, random_mix, shrunk, still_wrong

KEPT = sorted(REGRESSIONS.glob("mix-*.toml"))


def test_every_clue_rule_can_come_up_in_a_mix() -> None:
    assert set(MAKERS) == set(clue_rules())


@pytest.mark.parametrize("seed", range(40))
def test_a_random_mix_has_one_verdict(seed: int) -> None:
    puzzle, solution = random_mix(seed)
    what = disagreement(puzzle, solution)
    assert what is None, f"seed {seed}: {what}\n{write(puzzle)}"


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.stem)
def test_what_once_was_a_disagreement_is_none(path: Path) -> None:
    (puzzle,) = read(path)
    assert not still_wrong(puzzle), puzzle.title


def test_shrinking_leaves_only_what_a_failure_needs() -> None:
    grid = Grid.standard(4)
    clues = tuple(Clue("killer-cage", (cell, cell + 1), value=4) for cell in (0, 4, 8))
    puzzle = Puzzle(grid, (0, 0, 1, *(0,) * 13), ("anti-knight",), (), clues)

    def wrong(found: Puzzle) -> bool:
        return clues[1] in found.clues and found.givens[2] == 1

    small = shrunk(puzzle, wrong)
    assert small == replace(puzzle, rules=(), clues=(clues[1],))
