"""Outlines of areas and walks along lines."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from saywhy.drawing.geometry import Frame, Point, crossings, legs, outlines, rounded, shortened


def area(loop: list[Point]) -> float:
    """Give the signed area within a loop of (row, column); positive if it runs clockwise on the page."""
    ring = zip(loop, [*loop[1:], loop[0]], strict=True)
    return sum(c * next_r - next_c * r for (r, c), (next_r, next_c) in ring) / 2


def test_one_cell_has_a_square_border() -> None:
    assert sorted(outlines([0], 9)[0]) == [(0, 0), (0, 1), (1, 0), (1, 1)]


def test_the_border_runs_inside_the_cells() -> None:
    (loop,) = outlines([0, 1, 9], 9, 0.1)
    assert sorted(loop) == [(0.1, 0.1), (0.1, 1.9), (0.9, 0.9), (0.9, 1.9), (1.9, 0.1), (1.9, 0.9)]


def test_a_ring_of_cells_has_an_outer_and_an_inner_border() -> None:
    around = [0, 1, 2, 9, 11, 18, 19, 20]
    outer, inner = outlines(around, 9, 0.1)
    assert area(outer) == pytest.approx(2.8**2)
    assert area(inner) == pytest.approx(-(1.2**2))


def test_cells_that_meet_at_a_corner_have_borders_of_their_own() -> None:
    loops = outlines([0, 10], 9, 0.1)
    assert [area(loop) for loop in loops] == [pytest.approx(0.64)] * 2


def test_the_grid_does_not_wrap() -> None:
    assert len(outlines([8, 9], 9)) == 2


@given(st.sets(st.integers(0, 63), min_size=1))
def test_the_borders_enclose_as_many_cells_as_there_are(cells: set[int]) -> None:
    assert sum(area(loop) for loop in outlines(cells, 8)) == pytest.approx(len(cells))


@given(st.sets(st.integers(0, 63), min_size=1))
def test_borders_further_in_enclose_less(cells: set[int]) -> None:
    whole = sum(area(loop) for loop in outlines(cells, 8))
    assert sum(area(loop) for loop in outlines(cells, 8, 0.2)) < whole


def test_a_frame_gives_centres_and_corners() -> None:
    frame = Frame(9, 9, 10, 5, 7)
    assert frame.centre(10) == (20, 22)
    assert frame.corner(10) == (15, 17)
    assert (frame.width, frame.height) == (90, 90)


def test_a_walk_is_cut_at_both_ends() -> None:
    assert shortened([(0, 0), (10, 0), (20, 0)], 3, 12) == [(3, 0), (8, 0)]
    assert len(shortened([(0, 0), (10, 0)], 8, 8)) == 1


def test_points_that_coincide_make_no_leg() -> None:
    assert [leg.length for leg in legs([(0, 0), (0, 0), (3, 4)])] == [5]


def test_a_line_that_crosses_itself_is_found_where_it_does() -> None:
    ((leg, way),) = crossings([(0, 0), (10, 10), (10, 0), (0, 10)])
    assert leg.at(way) == pytest.approx((5, 5))


def test_a_line_that_only_turns_crosses_nothing() -> None:
    assert crossings([(0, 0), (10, 0), (10, 10), (0, 10), (0, 0)]) == []


def test_corners_are_rounded_no_further_than_half_an_edge() -> None:
    turns = rounded([(0, 0), (10, 0), (10, 4), (0, 4)], 3)
    assert turns[0] == ((0, 2), (0, 0), (2, 0))
