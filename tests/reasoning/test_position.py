"""A position keeps written marks apart from what a listener sees on the board."""

from __future__ import annotations

from saywhy.engine.constraints import Source
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Reason, Step
from tests.reasoning.boards import EMPTY, cell
from tests.second_opinion.samples import puzzle


def test_a_placed_digit_goes_at_sight_and_is_not_written_down() -> None:
    frame = Frame(EMPTY)
    here = Position(frame)
    here.place(cell("r1c1"), 5)
    assert here.domain(cell("r1c9")) == frame.full & ~(1 << 4)
    assert frame.domain(here.marks, cell("r1c9")) == frame.full
    assert here.domain(cell("r1c1")) == 1 << 4
    assert frame.domain(here.marks, cell("r1c1")) == 1 << 4
    assert here.domain(cell("r5c5")) == frame.full  # nothing else


def test_a_removal_is_both_written_and_gone() -> None:
    frame = Frame(EMPTY)
    here = Position(frame)
    here.remove({cell("r2c2"): 0b110})
    assert here.domain(cell("r2c2")) == frame.domain(here.marks, cell("r2c2")) == frame.full & ~0b110
    assert sum(mask != frame.full for mask in here.domains()) == 1


def test_the_opening_has_the_givens_and_a_copy_is_independent() -> None:
    here = Position.opening(Frame(puzzle(4, givens="1... .... .... ...2")))
    other = here.copy()
    other.place(1, 3)
    assert here.placed == [1, *[0] * 14, 2]
    assert other.placed[1] == 3
    assert here.domain(1) == 0b1110


def test_taking_a_step_places_and_removes() -> None:
    here = Position(Frame(EMPTY))
    source = Source("house", 0, "row 1")
    here.apply(Step("only place", Reason(frozenset({source}), {}), {0: 3}, {40: 0b1}))
    assert here.placed[0] == 3
    assert not here.domain(1) & 0b100
    assert not here.domain(40) & 1


def test_a_position_is_broken_when_a_cell_has_nothing_left_and_complete_when_all_stand() -> None:
    frame = Frame(puzzle(4, givens="1234 3412 2143 432."))
    here = Position.opening(frame)
    assert not here.complete
    assert not here.broken
    other = here.copy()
    other.remove({15: 0b0001})
    assert other.broken
    here.place(15, 1)
    assert here.complete


def test_new_tells_only_what_is_still_open() -> None:
    here = Position(Frame(EMPTY))
    here.remove({0: 0b11})
    assert here.new(0b111 | 0b1 << 9) == {0: 0b100, 1: 0b1}
