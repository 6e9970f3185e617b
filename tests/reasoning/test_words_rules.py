"""What lines of three kinds and numbered rooms say for themselves holds, by plain enumeration."""

import random
from itertools import product

import pytest

from saywhy.grid import Grid
from saywhy.primitives import digits_of
from saywhy.rule import ClueRule
from saywhy.rules.entropic_line import EntropicLine
from saywhy.rules.modular_line import ModularLine
from saywhy.rules.numbered_room import NumberedRoom

GRID = Grid.standard(9)
Apart = set[tuple[int, int]]


def clues(rng: random.Random) -> ClueRule:
    """Give one of the clues at random: a line of three to five cells, or a row from its end."""
    line = tuple(GRID.cell(f"r1c{column}") for column in range(1, rng.randint(4, 6)))
    if rng.random() < 0.5:
        return rng.choice((EntropicLine, ModularLine))(GRID, line)
    return NumberedRoom(GRID, tuple(GRID.cell(f"r1c{column}") for column in range(1, 10)), rng.randint(1, 9))


def fillings(clue: ClueRule, known: dict[int, int], apart: Apart) -> list[dict[int, int]]:
    """Give every filling of the clue's cells that it allows and in which some pairs differ."""
    cells = clue.scope
    found = []
    for digits in product(*(digits_of(known[cell]) for cell in cells)):
        held = dict(zip(cells, digits, strict=True))
        grid = [held.get(cell, 0) for cell in range(81)]
        if all(held[a] != held[b] for a, b in apart) and clue.holds(grid):
            found.append(held)
    return found


def masks(clue: ClueRule, rng: random.Random) -> dict[int, int]:
    """Give the cells a few digits each, so that all fillings can be listed."""
    most = (3, 4, 6) if len(clue.scope) < 6 else (1, 1, 2, 3)
    return {
        cell: sum(1 << (digit - 1) for digit in rng.sample(range(1, 10), rng.choice(most)))
        for cell in clue.scope
    }


@pytest.mark.parametrize("seed", range(400))
def test_what_a_rule_says_holds(seed: int) -> None:
    """A thought strikes out no digit of a filling in which the cells of a row differ; no end is false."""
    rng = random.Random(seed)
    clue = clues(rng)
    known = masks(clue, rng)
    cells = clue.scope
    pairs = {(a, b) for i, a in enumerate(cells) for b in cells[i + 1 :]}
    apart = pairs if rng.random() < 0.5 else set()
    for thought in clue.thoughts(known, {}):
        for held in fillings(clue, known, pairs):
            for cell, left in thought.left.items():
                assert left >> (held[cell] - 1) & 1, thought.said
    if (said := clue.fails(known)) is not None:
        assert not fillings(clue, known, set()), said
    said = clue.fails_apart(known, lambda a, b: (min(a, b), max(a, b)) in apart)
    if said is not None:
        assert not fillings(clue, known, apart), said


def test_they_do_say_something() -> None:
    """The check above is not empty."""
    said = 0
    for seed in range(400):
        rng = random.Random(seed)
        clue = clues(rng)
        said += clue.fails(masks(clue, rng)) is not None
    assert said > 40
