"""Evidence prefers what stands on the board to what was written down, and takes no more than it needs."""

from __future__ import annotations

import random

from saywhy.engine.constraints import Source
from saywhy.primitives import mask
from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.frame import Frame, bits
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Reason
from tests.reasoning.boards import EMPTY, at, cell, classic
from tests.second_opinion.samples import puzzle


def _names(reason: Reason) -> list[str]:
    return sorted(source.name for source in reason.sources)


def test_a_digit_seen_comes_before_a_mark_that_says_the_same() -> None:
    frame = Frame(puzzle(9, givens="5" + "." * 80))
    here = at(frame, r1c9="12346789")
    evidence = Evidence(here)
    evidence.need(cell("r1c9"), mask([5]))
    reason = evidence.reason()
    assert reason.facts == {cell("r1c1"): mask([5])}
    assert _names(reason) == ["row 1"]


def test_a_mark_tells_only_the_digits_that_are_needed() -> None:
    here = at(Frame(EMPTY), r1c9="789")
    evidence = Evidence(here)
    evidence.need(cell("r1c9"), mask([2, 3]))
    reason = evidence.reason()
    assert reason.facts == {cell("r1c9"): mask([1, 4, 5, 6, 7, 8, 9])}
    assert not reason.sources


def test_one_digit_along_a_house_in_mind_serves_many_needs_better_than_many_marks() -> None:
    frame = Frame(puzzle(9, givens="." * 36 + "5" + "." * 44))
    here = at(frame, r5c2="12346789", r5c3="12346789", r5c4="12346789")
    row = frame.houses[4][1]
    evidence = Evidence(here, [row])
    for name in ("r5c2", "r5c3", "r5c4"):
        evidence.need(cell(name), mask([5]))
    reason = evidence.reason()
    assert reason.facts == {cell("r5c1"): mask([5])}
    assert reason.sources == {row}


def test_a_cell_with_another_digit_needs_nothing_but_that_digit() -> None:
    here = Position.opening(Frame(puzzle(9, givens="57" + "." * 79)))
    evidence = Evidence(here)
    evidence.need(cell("r1c2"), mask([5]))
    assert evidence.reason() == Reason(frozenset(), {cell("r1c2"): mask([7])})


def test_what_is_relied_on_already_shows_needs_of_its_own_cell() -> None:
    here = Position.opening(Frame(puzzle(9, givens="57" + "." * 79)))
    evidence = Evidence(here, [Source("house", 0, "row 1")])
    evidence.rely(cell("r1c2"))
    evidence.need(cell("r1c2"), mask([1, 2, 3]))
    assert evidence.reason().facts == {cell("r1c2"): mask([7])}


def test_random_needs_are_all_shown_by_true_facts_and_the_sources_named() -> None:
    for seed in range(12):
        chance = random.Random(seed)
        frame = Frame(classic(seed))
        here = Position.opening(frame)
        for where in chance.sample(frame.grid.cells, 30):
            if not here.placed[where]:
                here.remove({where: 1 << chance.randrange(9)})
        evidence = Evidence(here)
        where = chance.choice([c for c in frame.grid.cells if not here.placed[c]])
        needed = frame.full & ~here.domain(where)
        evidence.need(where, needed)
        reason = evidence.reason()
        shown = frame.full & ~reason.facts.get(where, frame.full)
        for other, held in reason.facts.items():
            if other == where:
                assert not frame.full & ~held & frame.domain(here.marks, where), f"seed {seed}"
                continue
            assert held == 1 << (here.placed[other] - 1), f"seed {seed}"
            assert any(
                other in house.cells and where in house.cells and source in reason.sources
                for house, source in frame.houses
            ), f"seed {seed}"
            shown |= held
        assert shown & needed == needed, f"seed {seed}: {list(bits(needed & ~shown))}"
        assert len(reason.facts) <= needed.bit_count()
