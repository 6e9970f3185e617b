"""What-ifs: stories whose every turn is certified and whose last cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from saywhy.reasoning.clues import ClueFinder
from saywhy.reasoning.explain import explain
from saywhy.reasoning.looks import Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step
from saywhy.reasoning.whatif import SORTS, Sort, Stories
from saywhy.second_opinion import certify_path
from tests.reasoning.positions import opening, puzzle, toml

#: A hard published classic, from memory: looks alone do not solve it.
HARD = "100007090030020008009600500005300900010080002600004000300000010040000007007000300"


#: A classic of a seeded generator, one solution: digits locked in boxes make its stories short.
LOCKED = "003700000008001000270060000000300700830020400405006002000000240090400800000002019"


def stories(position: Position, sort: Sort) -> list[Step]:
    """Give the what-if of a sort in a position, if there is one."""
    held = Stories(ClueFinder(Looks(position.frame)))
    return [find.build({}) for find in held.finds(position, sort)]


def test_a_puzzle_that_looks_do_not_solve_is_told_with_what_ifs_and_every_certificate_holds() -> None:
    held = puzzle(HARD)
    path = explain(held)
    tried = [step.step for step in path.steps if step.step.story]
    assert path.complete
    assert tried
    for step in tried:
        assert step.suppose is not None
        cell, mask = step.suppose
        assert step.removes == {cell: mask}
        assert [inner.breaks for inner in step.story] == [False] * (len(step.story) - 1) + [True]
        assert step.reason.sources == frozenset(s for inner in step.story for s in inner.reason.sources)
        assert cell not in step.reason.facts
        assert step.inner_steps >= len(step.story)
    report = certify_path(held, path.as_json(""))
    assert report.sound, report.faults


def test_no_what_if_is_found_where_no_supposition_fails() -> None:
    assert all(
        stories(opening(puzzle("." * 81)), replace(sort, widest=9, longest=99)) == [] for sort in SORTS
    )


def test_a_locked_digit_may_be_a_step_of_a_story() -> None:
    held = puzzle(LOCKED)
    path = explain(held)
    told = [step for step in path.steps if any(inner.idea == "locked digit" for inner in step.step.story)]
    assert told
    assert all(" lies in " in step.told.written for step in told)
    report = certify_path(held, path.as_json(""))
    assert report.sound, report.faults


@pytest.mark.parametrize("sort", SORTS)
def test_a_story_is_no_longer_than_its_sort_allows(sort: Sort) -> None:
    told = 0
    for text in (HARD, LOCKED):
        position = opening(puzzle(text))
        for story in stories(position, sort):
            assert story.suppose is not None
            assert story.inner_steps <= sort.longest
            assert position.domain(story.suppose[0]).bit_count() <= sort.widest
            told += 1
    assert told


def test_a_story_in_an_extra_region_names_its_clue_whatever_the_order_of_its_cells() -> None:
    cells = "r5c5 r4c5 r4c4 r5c4 r6c4 r6c5 r6c6 r5c6 r4c6"
    extra = f'[[clue]]\nrule = "extra-region"\ncells = "{cells}"\n'
    position = opening(toml(9, extra=extra))
    held = Stories(ClueFinder(Looks(position.frame)))
    assert sum(
        source.kind == "clue"
        for index in held._house.values()
        for source in [position.frame.houses[index][1]]
    )


@pytest.mark.parametrize("sort", SORTS)
def test_the_same_position_gives_the_same_story(sort: Sort) -> None:
    position = opening(puzzle(HARD))
    assert stories(position, sort) == stories(position.copy(), sort)
