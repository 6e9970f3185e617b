"""Certificates without premises that the others have made needless."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from saywhy.reasoning.lean import lean
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import PathStep, Reason, Step, Told
from saywhy.reasoning.thought import CLUE_IDEAS
from saywhy.second_opinion import certify
from tests.reasoning.test_paths import CASES, board, walk


def at_clues() -> Iterator[tuple[tuple[str, int], Position, Step]]:
    """Give the steps at clues of seeded paths, each where it is told."""
    for case in CASES:
        here = walk(case).start.copy()
        for step in walk(case).steps:
            if step.idea in CLUE_IDEAS:
                yield case, here.copy(), step
            here.apply(step)


def test_a_fact_and_a_house_too_many_are_dropped_and_what_is_left_is_proved() -> None:
    met = dropped = 0
    for case, here, step in at_clues():
        frame = here.frame
        spare = next(c for c, digit in enumerate(here.placed) if digit and c not in step.reason.facts)
        facts = {**step.reason.facts, spare: 1 << (here.placed[spare] - 1)}
        sources = step.reason.sources | {frame.houses[0][1]}
        fat = replace(step, reason=Reason(sources, facts))
        thin = lean(frame, fat)
        assert thin.reason.sources <= sources
        assert lean(frame, thin).reason == thin.reason
        told = PathStep(1, 1, thin, Told("", "", "", ())).as_json(frame.grid)
        assert certify(board(case), told).holds, case
        # Now and then the fact too many makes others needless instead.
        dropped += spare not in thin.reason.facts
        met += 1
    assert met > 40
    assert dropped > 0.9 * met


def test_where_the_conclusion_does_not_follow_nothing_is_dropped() -> None:
    _, here, step = next(at_clues())
    bare = replace(step, reason=Reason(frozenset({here.frame.houses[0][1]}), step.reason.facts))
    assert lean(here.frame, bare) == bare


def test_a_look_that_needs_no_house_any_more_is_a_look_at_its_clue() -> None:
    for _, here, step in at_clues():
        if step.idea == "clue" and not step.reason.of_kind("house"):
            wide = replace(step, idea="clue and house")
            wide = replace(
                wide, reason=Reason(step.reason.sources | {here.frame.houses[0][1]}, step.reason.facts)
            )
            assert lean(here.frame, wide).idea == "clue"
            return
    raise AssertionError("no step at a clue alone was met")
