"""What a rule says for itself never rules out a digit that a filling has."""

from __future__ import annotations

import random

import pytest

from saywhy.engine import prove
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.rule import ClueRule
from saywhy.rules import clue_rules, placed
from tests.second_opinion.makers import true_clue

SPEAKING = sorted(name for name, rule in clue_rules().items() if rule.thoughts is not ClueRule.thoughts)


@pytest.mark.parametrize("size", [6, 9])
@pytest.mark.parametrize("name", SPEAKING)
def test_a_thought_leaves_the_digits_that_stand(name: str, size: int) -> None:
    clues = said = 0
    for seed in range(40):
        chance = random.Random(f"{name} {size} {seed}")
        grid = Grid.standard(size)
        base = Puzzle(grid, (0,) * size * size)
        solution = prove(base, seed=seed + 1).solution
        assert solution is not None
        made = true_clue(name, grid, solution, chance)
        if made is None:
            continue  # not every rule goes with every size
        (clue,) = placed(Puzzle(grid, base.givens, clues=(made,))).clues
        clues += 1
        for _ in range(12):
            share = chance.choice([0.1, 0.3, 0.6, 0.9])
            known = {
                cell: 1 << (solution[cell] - 1)
                | sum(1 << place for place in range(size) if chance.random() < share)
                for cell in clue.scope
            }
            asked = chance.sample(sorted(clue.scope), chance.randint(1, min(3, len(clue.scope))))
            gone = {cell: known[cell] & ~(1 << (solution[cell] - 1)) for cell in asked}
            for thought in clue.thoughts(known, {cell: mask for cell, mask in gone.items() if mask}):
                said += 1
                for cell, left in thought.left.items():
                    assert left >> (solution[cell] - 1) & 1, (
                        f"seed {seed}: {thought.said} at {grid.name(cell)}"
                    )
    assert said or not clues, "no thought came up"
