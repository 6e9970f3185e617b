"""Derived sums say what the houses and cages say together: true on every grid, innies and outies found."""

from __future__ import annotations

from functools import cache

from saywhy.engine import count, prove
from saywhy.grid import Grid
from saywhy.primitives import Linear
from saywhy.puzzle import Clue, Puzzle
from saywhy.reasoning.derived import CELLS, derived_sums
from saywhy.reasoning.frame import Frame, Held
from tests.second_opinion.plain import obeys, solutions
from tests.second_opinion.samples import clue, puzzle


def _said(frame: Frame, held: Held) -> tuple[frozenset[str], frozenset[str], int]:
    assert isinstance(held.primitive, Linear)
    weights = dict(zip(held.primitive.cells, held.primitive.coefficients, strict=True))
    plus = frozenset(frame.grid.name(c) for c, weight in weights.items() if weight > 0)
    minus = frozenset(frame.grid.name(c) for c, weight in weights.items() if weight < 0)
    return plus, minus, held.primitive.total


def test_one_innie_is_what_the_cages_of_its_box_leave() -> None:
    frame = Frame(puzzle(4, clue("killer-cage", 4, "r1c1 r1c2 r2c1", 7)))
    (held,) = [h for h in derived_sums(frame) if len(h.cells) == 1]
    assert _said(frame, held) == (frozenset({"r2c2"}), frozenset(), 3)
    assert {s.name for s in held.sources} == {"region 1", "clue 0"}


def test_outies_are_told_as_a_difference() -> None:
    frame = Frame(
        puzzle(4, clue("killer-cage", 4, "r1c1 r1c2", 4), clue("killer-cage", 4, "r2c1 r2c2 r2c3", 8))
    )
    said = {_said(frame, held) for held in derived_sums(frame) if {"region 1"} == _houses(held)}
    assert (frozenset(), frozenset({"r2c3"}), -2) in said


def _houses(held: Held) -> set[str]:
    return {s.name for s in held.sources if s.kind == "house"}


def test_two_rows_together_leave_one_innie() -> None:
    frame = Frame(
        puzzle(
            4,
            clue("killer-cage", 4, "r1c1 r2c1", 5),
            clue("killer-cage", 4, "r1c2 r2c2", 6),
            clue("killer-cage", 4, "r1c3 r2c3 r1c4", 6),
        )
    )
    said = {
        frozenset(_houses(held)): _said(frame, held) for held in derived_sums(frame) if len(held.cells) == 1
    }
    assert said[frozenset({"row 1", "row 2"})] == (frozenset({"r2c4"}), frozenset(), 3)


def test_without_sum_clues_there_is_nothing_to_derive() -> None:
    assert not list(derived_sums(Frame(puzzle(9, clue("white-dot", 9, "r1c1 r1c2")))))


@cache
def _grids(board: Puzzle) -> set[tuple[int, ...]]:
    return solutions(board)


def test_every_derived_sum_holds_on_every_grid_that_obeys_its_sources() -> None:
    grid = Grid.standard(4)
    solution = prove(Puzzle(grid, (0,) * 16), seed=3).solution
    assert solution is not None
    for cages in (((0, 1), (4, 8), (5, 6)), ((0, 4, 8), (1, 2), (6, 7, 3)), ((2, 3, 6), (9, 13), (12, 8, 4))):
        clues = tuple(Clue("killer-cage", cells, value=sum(solution[c] for c in cells)) for cells in cages)
        board = Puzzle(grid, (0,) * 16, clues=clues)
        every = _grids(board)
        assert len(every) == count(board, 1000).solutions
        helds = list(derived_sums(Frame(board)))
        assert helds
        for held in helds:
            assert 1 <= len(held.cells) <= CELLS
            assert all(obeys(held.primitive, filling) for filling in every)
            # Nothing more is drawn on than is named: the named cages and houses alone give the sum.
            named = {s.number for s in held.sources if s.kind == "clue"}
            fewer = Puzzle(grid, (0,) * 16, clues=tuple(c for n, c in enumerate(clues) if n in named))
            assert all(obeys(held.primitive, filling) for filling in _grids(fewer))
