"""Steps that an easier look shows by the time that they are told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.reasoning.easier import easier_tiers, lightened
from saywhy.reasoning.effort import FLOORS, IDEAS, weighed
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.houses import only_places
from saywhy.reasoning.order import in_order
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import EVERY, Find, Reason, Step
from saywhy.reasoning.sweep import Sweeper
from saywhy.reasoning.thought import stands
from saywhy.reasoning.trace import Trace
from tests.reasoning.test_paths import CASES, walk

START = walk(CASES[0]).start
FRAME = START.frame
SMALL = Position.opening(Frame(Puzzle(Grid.standard(4), (0,) * 16)))
ROW = SMALL.frame.houses[0][1]


def at(name: str) -> int:
    return SMALL.frame.grid.cell(name)


def placed(**digits: int) -> list[Step]:
    """Give steps that place digits by cell in no time."""
    nothing = Reason(frozenset(), {})
    return [Step("rule", nothing, {at(name): digit}, effort=0.1) for name, digit in digits.items()]


def test_every_idea_knows_how_many_tiers_of_looks_are_easier() -> None:
    easiest = {"last digit", "only place", "only digit", "rule", "clue", "locked digit"}
    assert {idea for idea in IDEAS if easier_tiers(idea) == 0} == easiest
    assert len(FLOORS) == len(Sweeper(FRAME).looks)
    tiers = [easier_tiers(idea) for idea in sorted(IDEAS, key=lambda idea: IDEAS[idea])]
    assert tiers == sorted(tiers)
    assert easier_tiers("pair") == 1
    assert easier_tiers("jellyfish") == 4


def test_a_step_that_an_easier_look_shows_is_told_as_that() -> None:
    easy = weighed(FRAME, next(only_places(START)).build({}))
    hard = replace(easy, idea="clue and two houses", effort=9.0)
    assert lightened(Sweeper(FRAME).looks, START, [hard]) == [easy]
    assert lightened(Sweeper(FRAME).looks, START, [replace(hard, effort=0.5)])[0].effort == 0.5


def test_a_house_with_one_cell_left_by_now_is_told_as_its_last_digit() -> None:
    early = Step(
        "only place",
        Reason(frozenset({ROW}), {at(f"r1c{c}"): 0b0111 for c in (1, 2, 3)}),
        {at("r1c4"): 4},
        house=0,
        digits=0b1000,
        effort=3.0,
    )
    *_, last = lightened([], SMALL, [*placed(r1c1=1, r1c2=2, r1c3=3), early])
    assert last.idea == "last digit"
    assert last.reason.facts == {at(f"r1c{d}"): 1 << (d - 1) for d in (1, 2, 3)}


def test_a_digit_that_its_cell_shows_by_now_is_placed_ahead_of_what_is_left_of_its_step() -> None:
    reason = Reason(frozenset({ROW}), {at("r1c1"): 0b0001})
    both = Step("clue and house", reason, {at("r1c2"): 2}, {at("r3c3"): 0b0001}, effort=4.0)
    *_, plain, rest = lightened([], SMALL, [*placed(r1c1=1, r2c1=3, r4c2=4), both])
    assert (plain.idea, plain.places, plain.removes) == ("only digit", {at("r1c2"): 2}, {})
    assert (rest.idea, rest.places, rest.removes) == ("clue and house", {}, both.removes)


def test_a_step_that_takes_less_effort_than_its_cell_alone_stays() -> None:
    easy = Step("rule", Reason(frozenset({ROW}), {at("r1c1"): 0b0001}), {at("r1c2"): 2}, effort=1.5)
    assert lightened([], SMALL, [*placed(r1c1=1, r2c1=3, r4c2=4), easy])[-1] == easy


def test_a_digit_is_not_told_by_looks_that_only_narrow_its_cell() -> None:
    ((cell, digit),) = next(only_places(START)).places.items()
    others = FRAME.full & ~(1 << (digit - 1))

    def narrows(_here: Position, _about: int = EVERY) -> Iterator[Find]:
        step = Step("clue", Reason(frozenset(), {}), removes={cell: others}, effort=1.0)
        yield Find({}, {cell: others}, lambda _wanted: step)

    placing = Step("pair", Reason(frozenset(), {}), {cell: digit}, effort=2.5)
    assert lightened([[narrows]], START, [placing]) == [placing]
    marking = replace(placing, places={}, removes={cell: others})
    assert lightened([[narrows]], START, [marking])[0].idea == "clue"


@pytest.mark.parametrize("case", CASES[:8], ids=str)
def test_lighter_steps_take_no_more_effort_and_rest_on_what_is_told(case: tuple[str, int]) -> None:
    frame, start = walk(case).frame, walk(case).start
    sweeper = Sweeper(frame)
    heavy = in_order(start, Trace(frame, sweeper.sweep(start)).steps(), sweeper.stories.again)
    light = lightened(sweeper.looks, start, heavy)
    assert sum(step.effort for step in light) <= sum(step.effort for step in heavy)
    here = start.copy()
    for step in light:
        assert stands(step, here.domains())
        here.apply(step)
    assert here.complete
