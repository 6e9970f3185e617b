"""Steps that are one thought are joined, and told as one where that is shorter and says as much."""

from __future__ import annotations

from dataclasses import replace

import pytest

from saywhy.engine.constraints import Source
from saywhy.reasoning.explain import explain, told
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.path import Walker
from saywhy.reasoning.step import Reason, Step
from saywhy.reasoning.thought import MORE, MOST_CELLS, joined, stands
from tests.reasoning.boards import variant

FRAME = Frame(variant(1))
CLUE = Source("clue", 0, "clue 0")
ROW = Source("house", 0, "row 1")


def _step(facts: dict[int, int], removes: dict[int, int], **more: object) -> Step:
    return replace(
        Step("clue", Reason(frozenset({CLUE}), facts), removes=removes),
        **more,  # type: ignore[arg-type]
    )


def test_two_steps_on_the_same_clue_are_one_with_all_premises_and_all_that_they_show() -> None:
    first = _step({3: 0b11}, {0: 0b100}, effort=2.0)
    reason = Reason(frozenset({CLUE, ROW}), {3: 0b111, 4: 0b1})
    second = replace(_step({}, {1: 0b1}, effort=2.5), reason=reason)
    one = joined(FRAME, first, second)
    assert one is not None
    assert one.reason == Reason(frozenset({CLUE, ROW}), {3: 0b11, 4: 0b1})
    assert one.removes == {0: 0b100, 1: 0b1}
    assert one.parts == (first, second)
    third = joined(FRAME, one, _step({3: 0b11}, {}, places={0: 2}))
    assert third is not None
    assert (third.places, third.removes) == ({0: 2}, {1: 0b1})
    assert third.parts[:2] == (first, second)


def test_what_is_not_one_thought_stays_apart() -> None:
    first = _step({3: 0b11}, {0: 0b100})
    assert joined(FRAME, first, replace(first, idea="pair")) is None
    other = Reason(frozenset({Source("clue", 1, "clue 1")}), {3: 0b11})
    assert joined(FRAME, first, replace(first, reason=other)) is None
    many = dict.fromkeys(range(10, 10 + MOST_CELLS), 1)
    assert joined(FRAME, first, _step({3: 0b11}, many)) is None
    here, there = dict.fromkeys(range(10, 12 + MORE), 1), dict.fromkeys(range(20, 22 + MORE), 1)
    assert joined(FRAME, _step(here, {0: 0b1}), _step(there, {1: 0b1})) is None


def test_a_step_stands_where_its_facts_are_known() -> None:
    step = _step({0: 0b11}, {1: 0b1})
    assert stands(step, [0b10, 0b111])
    assert not stands(step, [0b110, 0b111])


@pytest.mark.parametrize("seed", range(4))
def test_joining_shortens_the_talk_and_loses_no_conclusion(seed: int) -> None:
    puzzle = variant(seed)
    walk = Walker(Frame(puzzle)).walk()
    apart = [part for step in walk.steps for part in (step.parts or (step,))]
    spread = replace(walk, steps=tuple(apart), openings=(1,) * len(apart))
    long, short = told(spread), explain(puzzle)
    assert len(short.steps) <= len(long.steps)
    assert sum(len(text.split()) for text in short.beats) <= sum(len(text.split()) for text in long.beats)

    def shown(steps: tuple[Step, ...]) -> dict[int, int]:
        gone: dict[int, int] = {}
        for step in steps:
            for cell, mask in step.struck(FRAME.full).items():
                gone[cell] = gone.get(cell, 0) | mask
        return gone

    assert shown(tuple(step.step for step in short.steps)) == shown(tuple(step.step for step in long.steps))
