"""Wings strike out what every case of the middle cell strikes out, and nothing else."""

from __future__ import annotations

from saywhy.primitives import mask
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position
from saywhy.reasoning.wings import wings
from tests.reasoning.boards import EMPTY, at, cell, shown
from tests.second_opinion.samples import puzzle


def test_an_xy_wing_clears_what_both_tips_see() -> None:
    frame = Frame(EMPTY)
    here = at(frame, r1c1="12", r1c7="13", r3c2="23")
    assert shown(wings(here), frame) == {
        ("gone", name, 3) for name in ("r1c2", "r1c3", "r3c7", "r3c8", "r3c9")
    }
    step = next(iter(wings(here))).build({})
    assert (step.idea, step.focus, step.digits) == ("XY-wing", cell("r1c1"), mask([3]))
    assert step.reason.facts == {0: mask([1, 2]), cell("r1c7"): mask([1, 3]), cell("r3c2"): mask([2, 3])}


def test_an_xyz_wing_clears_only_what_the_middle_sees_too() -> None:
    frame = Frame(EMPTY)
    here = at(frame, r1c1="123", r1c7="13", r3c2="23")
    assert shown(wings(here), frame) == {("gone", name, 3) for name in ("r1c2", "r1c3")}
    assert next(iter(wings(here))).build({}).idea == "XYZ-wing"


def test_tips_that_share_no_digit_or_do_not_see_the_middle_make_no_wing() -> None:
    frame = Frame(EMPTY)
    assert not list(wings(at(frame, r1c1="12", r1c7="13", r3c2="24")))
    assert not list(wings(at(frame, r1c1="12", r5c7="13", r3c2="23")))
    assert not list(wings(at(frame, r1c1="12", r1c7="13", r1c9="13")))
    assert not list(wings(Position(frame)))


def test_a_knight_carries_a_wing() -> None:
    frame = Frame(puzzle(9, givens="." * 81, rules=["anti-knight"]))
    here = at(frame, r5c5="12", r3c4="13", r7c6="23")
    assert ("gone", "r5c5", 3) not in shown(wings(here), frame)
    found = {name for _, name, _ in shown(wings(here), frame)}
    assert found == {
        name
        for name in (frame.grid.name(c) for c in frame.grid.cells)
        if name not in ("r3c4", "r7c6", "r5c5")
        and all(frame.kills[cell(tip) * 9 + 2] >> (cell(name) * 9 + 2) & 1 for tip in ("r3c4", "r7c6"))
    }
    assert found
    rules = {source.name for find in wings(here) for source in find.build({}).reason.of_kind("rule")}
    assert rules == {"anti-knight"}
