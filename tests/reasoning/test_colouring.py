"""Colours followed through clues of two cells, settled by a house that has no room for one kind."""

from __future__ import annotations

import pytest

from saywhy.primitives import mask
from saywhy.puzzle import Clue
from saywhy.reasoning.colouring import MOST, Colours, coloured, traits
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import PathStep, Step, Told
from saywhy.second_opinion import certify
from tests.reasoning.boards import EMPTY, at, shown
from tests.second_opinion.samples import clue, puzzle

ODD, EVEN = mask([1, 3, 5, 7, 9]), mask([2, 4, 6, 8])
LOW, HIGH = mask([1, 2, 3, 4]), mask([6, 7, 8, 9])
#: Dots along row 1 but for one gap, which a way round by row 2 bridges: nine cells in two colours.
DOTS = [
    *(clue("white-dot", 9, f"r1c{c} r1c{c + 1}") for c in (1, 2, 3, 5, 6, 7, 8)),
    clue("x", 9, "r1c4 r2c4"),
    clue("white-dot", 9, "r2c4 r2c5"),
    clue("x", 9, "r2c5 r1c5"),
]
#: Three whispers that hang together and have four cells of one colour in row 5.
WHISPERS = [
    clue("whisper", 9, "r5c1 r4c2 r5c3"),
    clue("whisper", 9, "r5c3 r6c4 r5c5"),
    clue("whisper", 9, "r5c5 r4c6 r5c7 r6c8"),
]


def frame(*clues: Clue) -> Frame:
    return Frame(puzzle(9, *clues))


def steps(position: Position, wanted: dict[int, int] | None = None) -> list[Step]:
    return [find.build(wanted or {}) for find in Colours(position.frame).finds(position)]


def test_traits_leave_a_middle_digit_out_of_low_and_high() -> None:
    assert [trait.kinds for trait in traits(9)] == [(ODD, EVEN), (LOW, HIGH)]
    assert traits(4)[1].kinds == (0b0011, 0b1100)


def test_cells_are_coloured_along_dots_sums_and_whispers() -> None:
    (dots,) = coloured(frame(*DOTS))
    assert dots.trait.names == ("odd", "even")
    name = EMPTY.grid.name
    first = dots.colour[0]
    assert {name(c) for c, colour in dots.colour.items() if colour == first} == {
        "r1c1", "r1c3", "r1c5", "r1c7", "r1c9", "r2c5",
    }  # fmt: skip
    (lines,) = coloured(frame(*WHISPERS))
    assert lines.trait.names == ("low", "high")
    assert len({lines.colour[EMPTY.grid.cell(n)] for n in ("r5c1", "r5c3", "r5c5", "r5c7")}) == 1


@pytest.mark.parametrize(
    "clues",
    [
        [clue("black-dot", 9, "r1c1 r1c2"), clue("black-dot", 9, "r1c2 r1c3")],
        [clue("white-dot", 9, "r1c1 r1c2")],
        [clue("killer-cage", 9, "r1c1-r1c3", value=10)],
    ],
    ids=["halves say nothing of odd and even", "two cells are no chain", "three cells in one sum"],
)
def test_what_joins_no_kinds_is_not_coloured(clues: list[Clue]) -> None:
    assert coloured(frame(*clues)) == ()


def test_five_cells_alike_in_a_row_are_odd_and_their_neighbours_even() -> None:
    held = frame(*DOTS)
    here = Position.opening(held)
    assert {found for found in shown(Colours(held).finds(here), held) if found[1].startswith("r1")} == {
        ("gone", f"r1c{c}", digit)
        for c in range(1, 10)
        for digit in ((2, 4, 6, 8) if c % 2 else (1, 3, 5, 7, 9))
    }
    (step,) = steps(here)
    assert step.idea == "colouring"
    assert len(step.removes) <= MOST
    assert step.reason.facts == {}
    assert {source.name for source in step.reason.of_kind("house")} == {"row 1"}
    assert len(step.reason.of_kind("clue")) == len(DOTS)


def test_a_known_cell_beside_four_alike_takes_the_room() -> None:
    held = frame(*WHISPERS)
    assert not list(Colours(held).finds(Position.opening(held)))
    here = at(held, r5c9="123")
    (step,) = steps(here)
    assert step.digits == LOW
    assert step.reason.facts == {held.grid.cell("r5c9"): mask([1, 2, 3, 4])}
    target = held.grid.cell("r6c8")
    (step,) = steps(here, {target: HIGH})
    assert step.removes == {target: HIGH}


@pytest.mark.parametrize(("clues", "left"), [(DOTS, {}), (WHISPERS, {"r5c9": "123"})])
def test_the_certificates_hold_by_another_solver(clues: list[Clue], left: dict[str, str]) -> None:
    held = frame(*clues)
    for step in steps(at(held, **left)):
        told = PathStep(1, 1, step, Told("", "", "", ())).as_json(held.grid)
        assert certify(held.puzzle, told).holds
