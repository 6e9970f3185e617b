"""What counting circles say for themselves holds: every filling of some circles, by plain enumeration."""

import random
from collections import Counter
from itertools import product

import pytest

from saywhy.grid import Grid
from saywhy.primitives import digits_of
from saywhy.rules.counting_circles import CountingCircles

SIZE = 6
#: Circles of a 6x6 grid: two in row 1, two in column 4, and others that see none of these.
CIRCLES = ("r1c1", "r1c4", "r2c6", "r4c2", "r5c4", "r6c3")


def fillings(known: dict[int, int], apart: set[tuple[int, int]]) -> list[dict[int, int]]:
    """Give every way to fill the circles in which each digit counts itself and some pairs differ."""
    cells = list(known)
    found = []
    for digits in product(*(digits_of(known[cell]) for cell in cells)):
        counts = Counter(digits)
        held = dict(zip(cells, digits, strict=True))
        if all(counts[d] == d for d in digits) and all(held[a] != held[b] for a, b in apart):
            found.append(held)
    return found


@pytest.mark.parametrize("seed", range(300))
def test_a_thought_leaves_every_filling_and_a_failing_one_has_none(seed: int) -> None:
    """A thought never strikes out a digit of a filling, and nothing is said to fail that can be filled."""
    rng = random.Random(seed)
    grid = Grid.standard(SIZE)
    cells = tuple(sorted(grid.cell(name) for name in CIRCLES[: rng.randint(3, 6)]))
    clue = CountingCircles(grid, cells)
    known = dict.fromkeys(cells, 0)
    for cell in cells:
        digits = rng.sample(range(1, SIZE + 1), rng.choice((1, 1, 2, 3, 4, 6)))
        known[cell] = sum(1 << (digit - 1) for digit in digits)
    pairs = [(a, b) for i, a in enumerate(cells) for b in cells[i + 1 :]]
    apart = {(a, b) for a, b in pairs if grid.place(a)[0] == grid.place(b)[0] or rng.random() < 0.2}
    free = fillings(known, set())
    for thought in clue.thoughts(known, {}):
        for held in free:
            assert all(thought.left[cell] >> (digit - 1) & 1 for cell, digit in held.items()), thought.said
    said = clue.fails_apart(known, lambda a, b: (min(a, b), max(a, b)) in apart)
    if said is not None:
        assert not fillings(known, apart), said


def test_circles_have_something_to_say() -> None:
    """The check above is not empty."""
    grid = Grid.standard(SIZE)
    cells = tuple(grid.cell(name) for name in CIRCLES)
    clue = CountingCircles(grid, cells)
    full = (1 << SIZE) - 1
    known = dict.fromkeys(cells, full)
    twice = {**known, cells[0]: 1, cells[1]: 1}
    assert clue.fails_apart(twice, int.__gt__) == ("two circles would be 1",)
    assert clue.fails_apart({**known, cells[0]: 16}, int.__ne__) is not None
    three = {**dict.fromkeys(cells, full & ~4), **dict.fromkeys(cells[:3], full), cells[0]: 4}
    assert any("one circle is 3" in str(thought.said) for thought in clue.thoughts(three, {}))
