"""Evidence prefers what stands on the board to what was written down, and takes no more than it needs."""

from __future__ import annotations

import random

import pytest

from saywhy.engine import _native
from saywhy.engine.constraints import Source
from saywhy.primitives import digits_of, mask
from saywhy.reasoning.evidence import COSTS, Evidence
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


def _plainly(position: Position, needs: int, called: set[Source]) -> dict[int, set[tuple[str, str]]]:
    """Choose as ``Evidence`` promises, step by step: by cell, how it is called on and along what."""
    frame, n = position.frame, position.frame.n
    ways: dict[tuple[str, str, int, int], set[int]] = {}
    for candidate in bits(needs):
        where, place = divmod(candidate, n)
        if standing := position.placed[where]:
            if standing != place + 1:
                ways.setdefault(("filled", "", -1, where), set()).add(candidate)
        elif not position.marks >> candidate & 1:
            ways.setdefault(("mark", "", -1, where), set()).add(candidate)
        for other, helds in frame.related[where]:
            for held in helds if position.placed[other] else ():
                if frame.struck(held, other, position.placed[other]) >> place & 1:
                    (source,) = held.sources
                    ways.setdefault(("seen", source.kind, source.number, other), set()).add(candidate)
    filled, seen, again, mark = COSTS
    left = set(bits(needs))
    known = {(source.kind, source.number) for source in called}
    chosen: dict[int, set[tuple[str, str]]] = {}
    while left:
        costs = {
            way: {"filled": filled, "mark": mark, "seen": again if way[1:3] in known else seen}[way[0]]
            / len(shown & left)
            for way, shown in sorted(ways.items())
            if shown & left
        }
        best = min(costs, key=costs.__getitem__)
        left -= ways[best]
        known.add(best[1:3])
        chosen.setdefault(best[3], set()).add((best[0], f"{best[1]} {best[2]}"))
    return chosen


@pytest.mark.parametrize("rules", [(), ("anti-knight",), ("non-consecutive",), ("diagonals", "anti-king")])
def test_what_is_chosen_is_the_greedy_choice(rules: tuple[str, ...]) -> None:
    for seed in range(20):
        chance = random.Random(f"{rules}{seed}")
        frame = Frame(puzzle(9, rules=rules))
        here = Position(frame)
        for where in chance.sample(frame.grid.cells, 24):
            if here.domain(where):
                here.place(where, chance.choice(digits_of(here.domain(where))))
        for where in frame.grid.cells:
            if not here.placed[where]:
                here.remove({where: chance.randrange(1 << 9) & chance.randrange(1 << 9)})
        called = set(chance.sample(sorted(frame.along), 3))
        evidence = Evidence(here, called)
        for where in chance.sample(frame.grid.cells, 6):
            standing = here.placed[where]
            gone = frame.full & ~(1 << (standing - 1) if standing else here.domain(where))
            evidence.need(where, gone & chance.randrange(1 << 9))
        chosen = _plainly(here, evidence.needs, called)
        reason = evidence.reason()
        assert reason.facts.keys() == chosen.keys(), f"seed {seed}"
        along = {place for ways in chosen.values() for kind, place in ways if kind == "seen"}
        assert {f"{s.kind} {s.number}" for s in reason.sources} == along | {
            f"{s.kind} {s.number}" for s in called
        }


def test_the_native_choice_refuses_what_is_not_on_the_board() -> None:
    cover = _native.Cover(9, 81)
    with pytest.raises(ValueError, match="no cell 81"):
        cover.add_different(0, [0, 81])
    with pytest.raises(ValueError, match="along"):
        cover.add_different(-1, [0, 1])
    with pytest.raises(ValueError, match="table"):
        cover.add_pair(0, 0, 1, [1])
    with pytest.raises(ValueError, match="placed"):
        cover.choose([], [0], [], COSTS)
    with pytest.raises(ValueError, match="placed"):
        cover.choose([], [10] * 81, [], COSTS)
    with pytest.raises(ValueError, match="no cell 99"):
        cover.choose([(99, 1, 0)], [0] * 81, [], COSTS)
    assert cover.choose([(0, 1, 0)], [0] * 81, [], COSTS) == []
