"""What-ifs and trials that a path can do without are not told."""

from __future__ import annotations

from functools import cache

import pytest

from saywhy.reasoning import needless
from saywhy.reasoning.explain import told
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.path import Walk, Walker
from saywhy.reasoning.step import Step
from saywhy.second_opinion import certify_path
from tests.reasoning.boards import classic, variant

#: The second variant has a renban as long as a row, which is no house.
BOARDS = [*map(classic, range(6)), *map(variant, range(2))]
SEEDS = range(len(BOARDS))


def bare(seed: int) -> Walk:
    """Walk a board with only places for its looks, so that what-ifs and trials are needed."""
    walker = Walker(Frame(BOARDS[seed]))
    walker.sweeper.looks = [walker.sweeper.looks[0][:1]]
    return walker.walk()


@cache
def lean(seed: int) -> Walk:
    return bare(seed)


def effort(walk: Walk) -> float:
    return sum(step.effort for step in walk.steps)


def searched(walk: Walk) -> list[Step]:
    return [step for step in walk.steps if step.story or step.idea == "trial"]


def test_some_are_spared_and_the_path_is_never_dearer_for_it(monkeypatch: pytest.MonkeyPatch) -> None:
    spared = [lean(seed) for seed in SEEDS]
    monkeypatch.setattr(needless, "TRIES", 0)
    full = [bare(seed) for seed in SEEDS]
    assert all(effort(one) <= effort(other) for one, other in zip(spared, full, strict=True))
    assert sum(len(searched(one)) for one in spared) < sum(len(searched(one)) for one in full)


def test_nothing_is_tried_without_once_time_is_up(monkeypatch: pytest.MonkeyPatch) -> None:
    walker = Walker(Frame(BOARDS[1]))
    walker.sweeper.looks = [walker.sweeper.looks[0][:1]]
    monkeypatch.setattr("saywhy.reasoning.path.perf_counter", lambda: 0.0)  # the walk seems long begun
    late = walker.walk(0.5)
    assert late.complete
    monkeypatch.undo()
    monkeypatch.setattr(needless, "TRIES", 0)
    assert late.steps == bare(1).steps


@pytest.mark.parametrize("seed", SEEDS)
def test_a_leaner_path_is_whole_and_proved_again(seed: int) -> None:
    path = told(lean(seed))
    assert path.complete
    assert certify_path(BOARDS[seed], path.as_json("lean")).sound


@pytest.mark.parametrize("seed", SEEDS)
def test_no_story_grows_by_it(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = {step.suppose: step for step in lean(seed).steps if step.story}
    monkeypatch.setattr(needless, "TRIES", 0)
    before = {step.suppose: step for step in bare(seed).steps if step.story}
    assert kept.keys() <= before.keys()
    assert all(story.inner_steps <= max(3, before[about].inner_steps) for about, story in kept.items())
