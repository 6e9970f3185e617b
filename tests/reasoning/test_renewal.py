"""Steps gone through where they are told: nothing that is seen by then is concluded or recalled."""

from __future__ import annotations

import pytest

from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position
from saywhy.reasoning.renewal import renewed, spare, trimmed
from saywhy.reasoning.step import Reason, Step
from tests.reasoning.test_paths import CASES, walk

GRID = Grid.standard(4)
FRAME = Frame(Puzzle(GRID, (0,) * 16))
START = Position.opening(FRAME)
ROW = FRAME.houses[0][1]
NO_REASON = Reason(frozenset(), {})


def cell(name: str) -> int:
    return GRID.names(GRID.cells).index(name)


def places(name: str, digit: int, *, effort: float = 1.0) -> Step:
    return Step("clue", NO_REASON, {cell(name): digit}, effort=effort)


def removes(name: str, mask: int, *, effort: float = 1.0) -> Step:
    return Step("clue", NO_REASON, removes={cell(name): mask}, effort=effort)


def test_a_step_says_nothing_new_where_a_placed_digit_shows_as_much() -> None:
    steps = [places("r1c1", 1), removes("r1c3", 0b0001), removes("r1c4", 0b0011)]
    found = renewed(START, steps, seen_first=True)
    assert found[0].places
    assert not found[1].removes
    assert found[2].removes == {cell("r1c4"): 0b0011}  # the 2 is news, and the thought is kept whole


def test_what_is_seen_by_now_is_pointed_at_and_not_recalled() -> None:
    steps = [
        removes("r1c4", 0b0011),
        places("r1c1", 1),
        places("r2c3", 4),
        Step(
            "only digit",
            Reason(frozenset(), {cell("r1c4"): 0b1100, cell("r2c3"): 0b1000}),
            {cell("r1c4"): 3},
            digits=0b0100,
        ),
    ]
    *_, pointed = renewed(START, steps, seen_first=True)
    assert pointed.reason.facts == {cell("r1c1"): 0b0001, cell("r1c4"): 0b1101, cell("r2c3"): 0b1000}
    assert ROW in pointed.reason.sources
    # Where the mark is recalled for its 2 anyhow, its 1 comes for nothing.
    *_, short = renewed(START, steps, seen_first=False)
    assert short.reason.facts == {cell("r1c4"): 0b1100, cell("r2c3"): 0b1000}


def test_a_pair_of_which_one_digit_stands_by_now_is_a_digit_placed() -> None:
    pair = Step(
        "pair",
        Reason(frozenset({ROW}), {cell("r1c1"): 0b0011, cell("r1c2"): 0b0011}),
        removes={cell("r1c3"): 0b0011, cell("r1c4"): 0b0011},
        house=0,
        digits=0b0011,
    )
    steps = [removes("r1c1", 0b1100), removes("r1c2", 0b1100), places("r1c2", 2), pair]
    *_, left = renewed(START, steps, seen_first=True)
    assert (left.idea, left.places) == ("only digit", {cell("r1c1"): 1})
    *_, whole = renewed(START, [*steps[:2], pair], seen_first=True)
    assert whole == pair


def test_of_a_hidden_triple_with_a_digit_placed_by_now_a_hidden_pair_is_left() -> None:
    triple = Step(
        "hidden triple",
        Reason(frozenset({ROW}), {cell("r1c4"): 0b1000}),
        removes={cell("r1c1"): 0b1000, cell("r1c2"): 0b1000, cell("r1c3"): 0b1000},
        house=0,
        digits=0b0111,
    )
    *_, left = renewed(START, [removes("r1c4", 0b0111), places("r1c3", 3), triple], seen_first=True)
    assert (left.idea, left.digits) == ("hidden pair", 0b0011)
    assert left.removes.keys() == {cell("r1c1"), cell("r1c2")}


def test_what_no_later_step_relies_on_is_left_out() -> None:
    steps = [removes("r1c4", 0b0001), removes("r2c4", 0b0001)]
    steps.append(Step("clue", Reason(frozenset(), {cell("r1c4"): 0b1110}), {cell("r1c4"): 4}))
    first, second, _ = trimmed(FRAME, steps)
    assert first.removes
    assert not second.removes


def test_a_step_is_spare_where_a_later_one_gives_its_mark_in_time() -> None:
    one, more = removes("r1c4", 0b0001, effort=2.0), removes("r1c4", 0b0011)
    user = Step("clue", Reason(frozenset(), {cell("r1c4"): 0b1100}), {cell("r2c4"): 4})
    early = Step("clue", Reason(frozenset(), {cell("r1c4"): 0b1110}), {cell("r3c4"): 4})
    assert spare(FRAME, [one, more, user]) == 0
    assert spare(FRAME, [one, early, more, user]) is None


@pytest.mark.parametrize("case", CASES, ids=str)
def test_no_step_of_a_path_concludes_or_recalls_only_what_is_seen(case: tuple[str, int]) -> None:
    found = walk(case)
    here, n, full = found.start.copy(), found.frame.n, found.frame.full
    for step in found.steps:
        assert step.places or any(mask & here.domain(at) for at, mask in step.removes.items())
        for at, mask in step.reason.facts.items():
            if here.placed[at]:
                assert mask == 1 << (here.placed[at] - 1)
            else:
                assert full & ~mask & ~(here.seen >> (at * n)), f"seed {case}: {found.frame.grid.name(at)}"
        here.apply(step)
