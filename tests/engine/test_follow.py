"""Suppositions followed natively meet the contradictions that a naive twin meets, and tell them in full."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Any

import pytest

from saywhy.engine import Model, _native
from saywhy.primitives import AllDifferent, Primitive
from tests.engine.test_shrink import CELLS, FULL, SIZE, random_model
from tests.reasoning.naive import cells_of, supported

PLACE, ALONE, LINE, EMPTY, HOMELESS, BROKEN, NESTED, LOCKED = range(8)


def _sight(primitives: Sequence[Primitive]) -> list[set[int]]:
    seen: list[set[int]] = [set() for _ in range(CELLS)]
    for primitive in primitives:
        if isinstance(primitive, AllDifferent):
            for cell in primitive.cells:
                seen[cell] |= set(primitive.cells) - {cell}
    return seen


def _of_one(primitive: Primitive, seen: list[set[int]], domains: list[int]) -> list[int]:
    """Give what one primitive leaves, its cells that see each other being different."""
    cells = cells_of(primitive)
    pairs = [AllDifferent((a, b)) for a in cells for b in cells if a < b and b in seen[a]]
    return supported([primitive, *pairs], domains)


def rest(  # noqa: PLR0912 - the whole twin in one place
    primitives: Sequence[Primitive], domains: Sequence[int]
) -> list[int] | None:
    """Follow single primitives until nothing more is shown; None where something cannot be."""
    seen, here = _sight(primitives), list(domains)
    while True:
        before = list(here)
        for cell, mask in enumerate(here):
            if mask.bit_count() == 1:
                for other in seen[cell]:
                    here[other] &= ~mask
        for primitive in primitives:
            if not all(here):
                return None
            if not isinstance(primitive, AllDifferent):
                here = _of_one(primitive, seen, here)
            elif len(primitive.cells) == SIZE:
                for place in range(SIZE):
                    homes = [cell for cell in primitive.cells if here[cell] >> place & 1]
                    if not homes:
                        return None
                    if len(homes) == 1:
                        here[homes[0]] = 1 << place
                    for cell in set.intersection(*(seen[home] for home in homes)):
                        here[cell] &= ~(1 << place)
        if not all(here):
            return None
        if here == before:
            return here


def _cases() -> list[tuple[int, list[Primitive], list[int]]]:
    found = []
    for seed in range(250):
        chance = random.Random(seed)
        primitives = random_model(chance)
        if chance.random() < 0.6:
            primitives.append(AllDifferent(tuple(chance.sample(range(CELLS), SIZE))))
        domains = [chance.choice([FULL, FULL, chance.randint(1, FULL)]) for _ in range(CELLS)]
        still = rest(primitives, domains)
        if still is not None:
            found.append((seed, primitives, still))
    return found


CASES = _cases()


def whole(primitives: list[Primitive]) -> list[int]:
    """Give the places of the houses: all-different over as many cells as there are digits."""
    return [
        place
        for place, primitive in enumerate(primitives)
        if isinstance(primitive, AllDifferent) and len(primitive.cells) == SIZE
    ]


def _stories(
    primitives: list[Primitive], domains: list[int], depth: int = 0, waves: int = -1
) -> list[tuple[int, int, list[Any]]]:
    """Give (cell, digit, turns) for every supposition that fails."""
    follower = _native.Follower(Model(SIZE, CELLS, primitives).native, len(primitives), whole(primitives))
    told = [
        (cell, 1 << place, follower.follow(domains, cell, 1 << place, depth, waves))
        for cell in range(CELLS)
        for place in range(SIZE)
        if domains[cell] >> place & 1 and domains[cell].bit_count() > 1
    ]
    return [(cell, digit, turns) for cell, digit, turns in told if turns is not None]


def test_the_suppositions_that_fail_are_those_that_fail_by_single_primitives() -> None:
    failing = 0
    for seed, primitives, domains in CASES:
        told = {(cell, digit) for cell, digit, *_ in _stories(primitives, domains)}
        for cell in range(CELLS):
            for place in range(SIZE):
                if domains[cell] >> place & 1 and domains[cell].bit_count() > 1:
                    supposed = [*domains]
                    supposed[cell] = 1 << place
                    fails = rest(primitives, supposed) is None
                    failing += fails
                    assert ((cell, 1 << place) in told) == fails, f"seed {seed}: {place + 1} in cell {cell}"
    assert failing > 100


def _replay(primitives: list[Primitive], domains: list[int], turns: list[Any], seed: int) -> None:
    """Take the turns that are told, and no others, and see that each holds and that the last one breaks."""
    seen, here = _sight(primitives), [*domains]
    standing = {cell for cell, mask in enumerate(here) if mask.bit_count() == 1}

    def look() -> None:
        for cell in standing:
            for other in seen[cell]:
                here[other] &= ~here[cell]

    for kind, primitive, cell, digits, removed, inner in turns:
        look()
        if kind == PLACE:
            assert here[cell] == digits, f"seed {seed}"
            standing.add(cell)
        elif kind == ALONE:
            others = [c for c in cells_of(primitives[primitive]) if here[c] & digits]
            assert others == [cell], f"seed {seed}"
            here[cell] = digits
            standing.add(cell)
        elif kind == LINE:
            after = _of_one(primitives[primitive], seen, here)
            for where, mask in removed:
                assert not after[where] & mask, f"seed {seed}"
                here[where] &= ~mask
        elif kind == LOCKED:
            homes = [c for c in cells_of(primitives[primitive]) if here[c] & digits]
            for where, mask in removed:
                assert mask == digits, f"seed {seed}"
                assert all(where in seen[home] for home in homes), f"seed {seed}"
                here[where] &= ~mask
        elif kind == NESTED:
            supposed = [*here]
            supposed[cell] &= digits
            _replay(primitives, supposed, inner, seed)
            here[cell] &= ~digits
        elif kind == EMPTY:
            assert not here[cell], f"seed {seed}"
        elif kind == HOMELESS:
            assert not any(here[c] & digits for c in cells_of(primitives[primitive])), f"seed {seed}"
        else:
            assert kind == BROKEN
            assert not all(_of_one(primitives[primitive], seen, here)), f"seed {seed}"
    assert turns[-1][0] in (EMPTY, HOMELESS, BROKEN)
    assert all(turn[0] not in (EMPTY, HOMELESS, BROKEN) for turn in turns[:-1])


@pytest.mark.parametrize("depth", [0, 1])
def test_a_story_told_alone_ends_in_its_contradiction(depth: int) -> None:
    nested = 0
    for seed, primitives, domains in CASES:
        for cell, digit, turns in _stories(primitives, domains, depth):
            supposed = [*domains]
            supposed[cell] = digit
            _replay(primitives, supposed, turns, seed)
            nested += any(turn[0] == NESTED for turn in turns)
    assert depth == 0 or nested


def _length(turns: list[Any]) -> int:
    """Count the steps that turns make: a digit that a line leaves alone in a cell is no step of its own."""
    lined = {cell for turn in turns if turn[0] == LINE for cell, _ in turn[4]}
    return sum(_length(turn[5]) + (turn[0] != PLACE or turn[2] not in lined) for turn in turns)


@pytest.mark.parametrize("depth", [0, 1])
def test_the_cheapest_story_strikes_out_most_for_its_length(depth: int) -> None:
    told = 0
    for seed, primitives, domains in CASES:
        follower = _native.Follower(Model(SIZE, CELLS, primitives).native, len(primitives), whole(primitives))
        for longest, widest in ((1, SIZE), (2, 2), (8, 3)):
            # A story of so many steps takes no more waves.
            rivals = [
                ((4 + _length(turns)) / follower.gain(domains, cell, digit), cell, digit, turns)
                for cell, digit, turns in _stories(primitives, domains, depth, -1 if depth else longest)
                if _length(turns) <= longest and domains[cell].bit_count() <= widest
            ]
            best = min(rivals, key=lambda rival: rival[:3])[1:] if rivals else None
            assert follower.cheapest(domains, depth, 1000, longest, widest) == best, f"seed {seed}"
            told += best is not None
    assert told > 20


def test_gain_counts_what_goes_in_all() -> None:
    checked = 0
    for seed, primitives, domains in CASES:
        model = Model(SIZE, CELLS, primitives)
        follower = _native.Follower(model.native, len(primitives), whole(primitives))
        for cell in range(CELLS):
            if domains[cell].bit_count() < 2:
                continue
            digit = domains[cell] & -domains[cell]
            struck = [*domains]
            struck[cell] &= ~digit
            after = rest(primitives, struck)
            if after is not None:
                gone = sum(mask.bit_count() for mask in domains) - sum(mask.bit_count() for mask in after)
                assert follower.gain(domains, cell, digit) == gone, f"seed {seed}: cell {cell}"
                checked += 1
    assert checked > 100


def test_so_many_stories_are_weighed_and_no_more() -> None:
    differ = 0
    for _, primitives, domains in CASES:
        held = _stories(primitives, domains)
        if len(held) > 2:
            follower = _native.Follower(
                Model(SIZE, CELLS, primitives).native, len(primitives), whole(primitives)
            )
            cells = sorted({cell for cell, _, _ in held}, key=lambda cell: domains[cell].bit_count())
            first = next(story for story in held if story[0] == cells[0])
            assert follower.cheapest(domains, 0, 1, 99, SIZE) == first
            differ += follower.cheapest(domains, 0, 1000, 99, SIZE) != first
    assert differ


def test_only_the_houses_named_are_followed_as_houses() -> None:
    row = [AllDifferent(tuple(range(SIZE)))]
    model = Model(SIZE, CELLS, row)
    domains = [FULL & ~1] * (SIZE - 2) + [FULL] * (CELLS - SIZE + 2)
    last = SIZE - 1
    # With a 2 here, the other cell is the only place left for the 1; by sight alone nothing follows.
    assert _native.Follower(model.native, 1, [0]).gain(domains, last, 1) > 1
    assert _native.Follower(model.native, 1, []).gain(domains, last, 1) == 1


def test_bad_arguments_raise() -> None:
    model = Model(SIZE, CELLS, [AllDifferent((0, 1, 2))])
    follower = _native.Follower(model.native, 1, [])
    with pytest.raises(ValueError, match="domains"):
        follower.cheapest([FULL], 0, 1, 8, SIZE)
    with pytest.raises(ValueError, match="domains"):
        follower.follow([FULL], 0, 1, 0)
    with pytest.raises(ValueError, match="domains"):
        follower.gain([FULL], 0, 1)
    for cell in (-1, CELLS):
        with pytest.raises(ValueError, match="cell"):
            follower.gain([FULL] * CELLS, cell, 1)
    with pytest.raises(TypeError):
        follower.cheapest([-1] * CELLS, 0, 1, 8, SIZE)
    for cell, digit in ((-1, 1), (CELLS, 1), (0, 0), (0, 3)):
        with pytest.raises(ValueError, match=r"cell|digit"):
            follower.follow([FULL] * CELLS, cell, digit, 0)
    assert _native.Follower(model.native, 99, [0, 99]).cheapest([FULL] * CELLS, 0, 1, 8, SIZE) is None
