"""A frame knows what a digit strikes out at sight, and turns domains into sets of candidates and back."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from saywhy.engine.constraints import Source
from saywhy.primitives import sum_of
from saywhy.reasoning.frame import Frame, bits
from tests.reasoning.boards import EMPTY, cell
from tests.second_opinion.samples import clue, puzzle


def killed(frame: Frame, name: str, digit: int) -> set[tuple[str, int]]:
    kills = frame.kills[frame.grid.cell(name) * frame.n + digit - 1]
    return {(frame.grid.name(number // frame.n), number % frame.n + 1) for number in bits(kills)}


def test_bits_are_the_places_of_ones_ascending() -> None:
    assert list(bits(0b101001)) == [0, 3, 5]
    assert list(bits(0)) == []


def test_a_digit_strikes_itself_out_of_the_twenty_cells_that_share_a_house_and_nothing_else() -> None:
    frame = Frame(EMPTY)
    where = cell("r5c5")
    seen = {c for house, _ in frame.houses if where in house.cells for c in house.cells} - {where}
    assert len(seen) == 20
    assert killed(frame, "r5c5", 7) == {(frame.grid.name(c), 7) for c in seen}
    assert frame.sees[where] == seen


def test_anti_knight_adds_the_cells_a_knights_move_away_and_nothing_else() -> None:
    plain, knight = Frame(EMPTY), Frame(replace(EMPTY, rules=("anti-knight",)))
    added = killed(knight, "r1c1", 4) - killed(plain, "r1c1", 4)
    assert added == set()  # r2c3 and r3c2 are in the same box
    added = killed(knight, "r3c3", 4) - killed(plain, "r3c3", 4)
    assert added == {(name, 4) for name in ("r1c4", "r2c5", "r4c1", "r4c5", "r5c2", "r5c4")}


def test_non_consecutive_strikes_near_digits_out_of_neighbours_but_is_no_sight_of_sameness() -> None:
    plain, near = Frame(EMPTY), Frame(replace(EMPTY, rules=("non-consecutive",)))
    added = killed(near, "r1c1", 4) - killed(plain, "r1c1", 4)
    assert added == {("r1c2", 3), ("r1c2", 5), ("r2c1", 3), ("r2c1", 5)}
    assert killed(near, "r1c1", 1) - killed(plain, "r1c1", 1) == {("r1c2", 2), ("r2c1", 2)}
    assert near.sees == plain.sees


def test_a_cage_strikes_its_own_digit_out_of_cells_in_no_common_house() -> None:
    board = replace(EMPTY, clues=(clue("killer-cage", 9, "r3c3 r3c4 r4c4", 12),))
    added = killed(Frame(board), "r3c3", 5) - killed(Frame(EMPTY), "r3c3", 5)
    assert added == {("r4c4", 5)}


def test_striking_out_is_mutual() -> None:
    frame = Frame(puzzle(6, rules=("anti-king", "non-consecutive")))
    for candidate, kills in enumerate(frame.kills):
        assert all(frame.kills[other] >> candidate & 1 for other in bits(kills))
        assert not kills >> candidate & 1


@pytest.mark.parametrize("size", [4, 6, 9, 16])
def test_domains_come_back_from_a_set_of_candidates(size: int) -> None:
    frame, chance = (
        Frame(replace(EMPTY, grid=EMPTY.grid.standard(size), givens=(0,) * size**2)),
        random.Random(size),
    )
    domains = [chance.randrange(1 << size) for _ in frame.grid.cells]
    held = frame.candidates(domains)
    assert frame.domains(held) == domains
    assert [frame.domain(held, c) for c in frame.grid.cells] == domains
    assert held.bit_count() == sum(map(int.bit_count, domains))


def test_diagonals_are_houses_that_name_their_rule() -> None:
    plain, frame = Frame(EMPTY), Frame(replace(EMPTY, rules=("diagonals",)))
    assert len(plain.houses) == 27
    further = frame.houses[27:]
    assert [source.name for _, source in further] == ["diagonals", "diagonals"]
    assert {house.cells for house, _ in further} == {tuple(range(0, 81, 10)), tuple(range(8, 73, 8))}


def test_a_derived_primitive_is_added_once_and_is_not_stated() -> None:
    frame = Frame(EMPTY)
    stated = len(frame.stated)
    source = Source("house", 0, "row 1")
    one = frame.derive(sum_of((0, 1), 9), [source])
    assert frame.derive(sum_of((0, 1), 9), [source]) is one
    assert frame.derive(sum_of((0, 1), 8), [source]) is not one
    assert len(frame.stated) == stated
    assert frame.of(source) == [frame.held[0]]


def test_distance_is_the_greater_of_rows_and_columns() -> None:
    frame = Frame(EMPTY)
    assert frame.distance(cell("r1c1"), cell("r4c2")) == 3
    assert frame.distance(cell("r4c2"), cell("r4c2")) == 0
