"""What-ifs: stories whose every turn is certified and whose last cannot be."""

from __future__ import annotations

import pytest

from saywhy.reasoning.clues import ClueFinder
from saywhy.reasoning.explain import explain
from saywhy.reasoning.looks import Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.whatif import Stories
from saywhy.second_opinion import certify_path
from tests.reasoning.positions import opening, puzzle, toml

#: A hard published classic, from memory: looks alone do not solve it.
HARD = "100007090030020008009600500005300900010080002600004000300000010040000007007000300"


def stories(position: Position, depth: int = 0) -> list[object]:
    """Give the what-ifs of a position."""
    held = Stories(ClueFinder(Looks(position.frame)))
    return [find.build({}) for find in held.finds(position, depth)]


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
    assert stories(opening(puzzle("." * 81))) == []


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


@pytest.mark.parametrize("depth", [0, 1])
def test_the_same_position_gives_the_same_story(depth: int) -> None:
    position = opening(puzzle(HARD))
    assert stories(position, depth) == stories(position.copy(), depth)
