"""Looks kept by the native core answer as if each were asked anew."""

from __future__ import annotations

import random

import pytest

from saywhy.engine import _native
from saywhy.engine.model import Model
from saywhy.primitives import AllDifferent, Linear
from tests.engine.test_shrink import CELLS, FULL, SIZE, random_model
from tests.reasoning.naive import cells_of

NODES = 100_000


def _gone(model: Model, ids: list[int], domains: list[int]) -> dict[int, int]:
    """Give what a look shows to be gone, asked anew."""
    after, finished = model.shows(ids, domains, NODES)
    assert finished
    return {cell: held & ~after[cell] for cell, held in enumerate(domains) if held & ~after[cell]}


@pytest.mark.parametrize("seed", range(60))
def test_kept_answers_are_those_of_looks_asked_anew(seed: int) -> None:
    chance = random.Random(seed)
    primitives = random_model(chance)
    model = Model(SIZE, CELLS, primitives)
    lookout = _native.Lookout(model.native, NODES)
    alone = [lookout.add([number], []) for number in range(len(primitives))]
    pairs = [(a, b) for a in range(len(primitives)) for b in range(a)]
    joint = [lookout.add([a, b], [alone[b]]) for a, b in pairs]
    domains = [FULL] * CELLS
    before: list[tuple[list[int], list[tuple[int, list[tuple[int, int]]]]]] = []
    for turn in range(24):
        if turn % 6 == 0:
            domains = [FULL] * CELLS
        cell = chance.randrange(CELLS)
        domains[cell] &= chance.randint(1, FULL) | domains[cell] & -domains[cell]
        expected = []
        for place, ids in enumerate([*([number] for number in range(len(primitives))), *map(list, pairs)]):
            cells = {c for number in ids for c in cells_of(primitives[number])}
            gone = {}
            if any(domains[c].bit_count() > 1 for c in cells):
                gone = _gone(model, ids, domains)
            if len(ids) == 2 and gone:
                inside = cells_of(primitives[ids[1]])
                taken = {}
                if any(domains[c].bit_count() > 1 for c in inside):
                    taken = _gone(model, [ids[1]], domains)
                gone = {c: mask & ~taken.get(c, 0) for c, mask in gone.items()}
            left = [(c, mask) for c, mask in gone.items() if mask]
            if left:
                expected.append((place, left))
        assert lookout.shown(domains, [*alone, *joint]) == expected
        assert lookout.shown(domains, [*alone, *joint]) == expected, "asked a second time"
        before.append((list(domains), expected))
    for held, expected in before[::-1]:
        assert lookout.shown(held, [*alone, *joint]) == expected, "asked when the newest are in mind"


def test_more_positions_than_a_look_keeps_answers_of_show_the_same_again() -> None:
    chance = random.Random(1)
    primitives = random_model(chance)
    model = Model(SIZE, CELLS, primitives)
    lookout = _native.Lookout(model.native, NODES)
    looks = [lookout.add([number], []) for number in range(len(primitives))]
    before = []
    for _ in range(200):
        domains = [chance.randint(1, FULL) for _ in range(CELLS)]
        before.append((domains, lookout.shown(domains, looks)))
    for domains, shown in before:
        again = _native.Lookout(model.native, NODES)
        fresh = [again.add([number], []) for number in range(len(primitives))]
        assert lookout.shown(domains, looks) == shown == again.shown(domains, fresh)


def test_a_look_that_is_settled_shows_nothing_and_one_that_changes_is_asked_again() -> None:
    model = Model(SIZE, CELLS, [AllDifferent((0, 1)), Linear((1, 1), (0, 1), 3)])
    lookout = _native.Lookout(model.native, NODES)
    look = lookout.add([0, 1], [])
    assert lookout.shown([0b1, 0b10, *[FULL] * (CELLS - 2)], [look]) == []
    assert lookout.shown([0b11, 0b11, *[FULL] * (CELLS - 2)], [look]) == []
    assert lookout.shown([0b1, 0b11, *[FULL] * (CELLS - 2)], [look]) == [(0, [(1, 0b1)])]


def test_bad_arguments_raise() -> None:
    model = Model(SIZE, CELLS, [AllDifferent((0, 1, 2))])
    lookout = _native.Lookout(model.native, NODES)
    with pytest.raises(ValueError, match="primitive"):
        lookout.add([1], [])
    with pytest.raises(ValueError, match="apart"):
        lookout.add([0], [0])
    look = lookout.add([0], [])
    with pytest.raises(ValueError, match="look"):
        lookout.shown([FULL] * CELLS, [look + 1])
    with pytest.raises(ValueError, match="domains"):
        lookout.shown([FULL], [look])
