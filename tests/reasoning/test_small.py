"""A small reason can spare nothing: checked by enumeration on small models."""

from __future__ import annotations

import random

import pytest

from saywhy.primitives import Primitive
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.looks import Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.small import small_reason
from tests.reasoning.boards import variant
from tests.reasoning.naive import possible


def _follows(primitives: list[Primitive], domains: list[int], target: int, denied: int) -> bool:
    asked = list(domains)
    asked[target] = denied
    return not possible(primitives, asked)


@pytest.mark.parametrize("seed", range(8))
def test_without_any_one_premise_the_conclusion_no_longer_follows(seed: int) -> None:
    frame = Frame(variant(seed))
    looks, chance = Looks(frame), random.Random(seed)
    solution = _solution(seed)
    checked = 0
    for _ in range(40):
        here = Position.opening(frame)
        for where in chance.sample(frame.grid.cells, 10):
            if not here.placed[where]:
                here.remove({where: (frame.full & ~(1 << (solution[where] - 1))) & chance.randrange(64)})
        look = chance.choice([*looks.family("clue"), *looks.family("clue and house")])
        domains = here.domains()
        after, finished = frame.model.shows(look.ids, domains)
        open_cells = [c for c in look.cells if domains[c] & ~after[c] and not here.placed[c]]
        if not finished or not open_cells or len(look.cells) > 9:
            continue
        target = chance.choice(open_cells)
        denied = domains[target] & ~after[target]
        small = small_reason(here, look, target, denied)
        primitives = [held.primitive for held in small.helds]
        assert _follows(primitives, small.domains, target, denied), f"seed {seed}"
        for place in range(len(primitives)):
            fewer = primitives[:place] + primitives[place + 1 :]
            spoken = {c for p in small.helds[:place] + small.helds[place + 1 :] for c in p.cells}
            assert target not in spoken or not _follows(fewer, small.domains, target, denied), f"seed {seed}"
        for where in {c for held in small.helds for c in held.cells} - {target}:
            missing = frame.full & ~small.domains[where]
            whole = [missing] if here.placed[where] else [1 << p for p in range(frame.n) if missing >> p & 1]
            for digits in whole:
                if digits:
                    more = list(small.domains)
                    more[where] |= digits
                    assert not _follows(primitives, more, target, denied), f"seed {seed}: {where}"
        checked += 1
    assert checked >= 3


def _solution(seed: int) -> tuple[int, ...]:
    from saywhy.engine import prove

    solution = prove(variant(seed)).solution
    assert solution is not None
    return solution


def test_the_reason_names_what_its_premises_are() -> None:
    frame = Frame(variant(1))
    looks, here = Looks(frame), Position.opening(Frame(variant(1)))
    here = Position.opening(frame)
    for look in looks.family("clue"):
        domains = here.domains()
        after, _ = frame.model.shows(look.ids, domains)
        for target in look.cells:
            gone = domains[target] & ~after[target]
            if gone and not here.placed[target]:
                small = small_reason(here, look, target, gone)
                assert {s for held in small.helds for s in held.sources} <= small.reason.sources
                assert all(not here.domains()[c] & ~mask for c, mask in small.reason.facts.items()), (
                    "a fact that is not so"
                )
