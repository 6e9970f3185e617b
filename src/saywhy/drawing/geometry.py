"""Where things lie on the page: cells, outlines of areas, and walks along lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

Point = tuple[float, float]


@dataclass(frozen=True)
class Frame:
    """
    A grid laid on the page.

    Attributes:
        columns: Cells across; cell indices run row by row.
        rows: Cells down.
        unit: Width of a cell in page units.
        left: Left edge of the grid.
        top: Upper edge of the grid.
    """

    columns: int
    rows: int
    unit: float
    left: float = 0
    top: float = 0

    @property
    def small(self) -> float:
        """How much larger small figures are than usual: on grids above 9, whose cells are small."""
        return 1 + 0.035 * max(0, self.columns - 9)

    @property
    def width(self) -> float:
        """Width of the grid."""
        return self.columns * self.unit

    @property
    def height(self) -> float:
        """Height of the grid."""
        return self.rows * self.unit

    def at(self, row: float, column: float) -> Point:
        """Give the point at rows and columns from the upper left corner; the first cell ends at (1, 1)."""
        return self.left + column * self.unit, self.top + row * self.unit

    def centre(self, cell: int) -> Point:
        """Give the centre of a cell."""
        row, column = divmod(cell, self.columns)
        return self.at(row + 0.5, column + 0.5)

    def corner(self, cell: int) -> Point:
        """Give the upper left corner of a cell."""
        row, column = divmod(cell, self.columns)
        return self.at(row, column)


def outlines(cells: Iterable[int], columns: int, inset: float = 0) -> list[list[Point]]:
    """
    Trace the border of a set of cells.

    Args:
        cells: Cell indices.
        columns: Cells across the grid.
        inset: How far inside the cells' edges the border runs, below one half.

    Returns:
        Closed loops of corner points as (row, column), the set on the right hand; cells that meet only at
        a corner are parted.
    """
    held = set(cells)
    # Each directed edge has the set on its right: along the top to the right, down the right side ...
    leaving: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for cell in sorted(held):
        row, column = divmod(cell, columns)
        if cell - columns not in held:
            leaving.setdefault((row, column), []).append((0, 1))
        if column == columns - 1 or cell + 1 not in held:
            leaving.setdefault((row, column + 1), []).append((1, 0))
        if cell + columns not in held:
            leaving.setdefault((row + 1, column + 1), []).append((0, -1))
        if column == 0 or cell - 1 not in held:
            leaving.setdefault((row + 1, column), []).append((-1, 0))
    loops = []
    while leaving:
        start = min(leaving)
        here, going = start, leaving[start][0]
        turns: list[tuple[tuple[int, int], tuple[int, int], tuple[int, int]]] = []
        while True:
            leaving[here].remove(going)
            if not leaving[here]:
                del leaving[here]
            there = (here[0] + going[0], here[1] + going[1])
            right = (going[1], -going[0])
            onward = [way for way in leaving.get(there, ()) if way != (-going[0], -going[1])]
            if not onward:
                turns.append((there, going, _closing(turns, going)))
                break
            # Where two ways lead on, the right turn stays with the same cell.
            way = right if right in onward else onward[0]
            turns.append((there, going, way))
            here, going = there, way
        loops.append(_inset(turns, inset))
    return loops


def _closing(
    turns: Sequence[tuple[tuple[int, int], tuple[int, int], tuple[int, int]]], going: tuple[int, int]
) -> tuple[int, int]:
    return turns[0][1] if turns else going


def _inset(
    turns: Sequence[tuple[tuple[int, int], tuple[int, int], tuple[int, int]]], inset: float
) -> list[Point]:
    points = []
    for (row, column), came, goes in turns:
        if came == goes:
            continue
        # The inside is on the right of both edges.
        down = came[1] + goes[1]
        right = -(came[0] + goes[0])
        points.append((row + inset * down, column + inset * right))
    return points


@dataclass(frozen=True)
class Leg:
    """
    One straight piece of a walk.

    Attributes:
        start: First point.
        end: Last point.
        length: Its length.
        along: Unit vector of the direction.
        aside: Unit vector to its left, seen on the page.
    """

    start: Point
    end: Point
    length: float
    along: Point
    aside: Point

    def at(self, way: float, off: float = 0) -> Point:
        """Give the point some way along the leg and some way off it."""
        return (
            self.start[0] + way * self.along[0] + off * self.aside[0],
            self.start[1] + way * self.along[1] + off * self.aside[1],
        )


def legs(points: Sequence[Point]) -> list[Leg]:
    """Give the straight pieces between points; points that coincide make none."""
    found = []
    for (x, y), (to_x, to_y) in pairwise(points):
        length = hypot(to_x - x, to_y - y)
        if length > 1e-9:
            along = ((to_x - x) / length, (to_y - y) / length)
            found.append(Leg((x, y), (to_x, to_y), length, along, (along[1], -along[0])))
    return found


def crossings(points: Sequence[Point]) -> list[tuple[Leg, float]]:
    """Give the legs of a walk that cross an earlier leg between their ends, and how far along they do."""
    walk = legs(points)
    found = []
    for place, leg in enumerate(walk):
        ways = [way for other in walk[:place] if (way := _crossing(leg, other)) is not None]
        found += [(leg, way) for way in ways]
    return found


def _crossing(one: Leg, other: Leg) -> float | None:
    slope = one.along[0] * other.aside[0] + one.along[1] * other.aside[1]
    if abs(slope) < 1e-9:
        return None
    gap = (other.start[0] - one.start[0], other.start[1] - one.start[1])
    way = (gap[0] * other.aside[0] + gap[1] * other.aside[1]) / slope
    at = one.at(way)
    off = (at[0] - other.start[0]) * other.along[0] + (at[1] - other.start[1]) * other.along[1]
    slack = 1e-6 * one.length
    inside = slack < way < one.length - slack and slack < off < other.length - slack
    return way if inside else None


def shortened(points: Sequence[Point], at_start: float, at_end: float) -> list[Point]:
    """Cut a walk at both ends; where nothing would remain, its middle remains as one point."""

    def cut(walk: Sequence[Point], by: float) -> list[Point]:
        kept = list(walk)
        while by > 0 and len(kept) > 1:
            leg = legs(kept[:2])
            if not leg or leg[0].length <= by:
                by -= leg[0].length if leg else 0
                kept.pop(0)
                continue
            kept[0] = leg[0].at(by)
            return kept
        return kept

    return cut(cut(points, at_start)[::-1], at_end)[::-1]


def rounded(loop: Sequence[Point], radius: float) -> list[tuple[Point, Point, Point]]:
    """
    Round the corners of a closed loop.

    Returns:
        For each corner: where the curve begins, the corner, where the curve ends; the radius shrinks where an
        edge is too short for it.
    """
    found = []
    count = len(loop)
    for place, corner in enumerate(loop):
        (before,) = legs([loop[place - 1], corner])
        (after,) = legs([corner, loop[(place + 1) % count]])
        reach = min(radius, before.length / 2, after.length / 2)
        found.append((before.at(before.length - reach), corner, after.at(reach)))
    return found
