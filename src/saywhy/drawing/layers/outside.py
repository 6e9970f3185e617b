"""Texts outside the grid, on all four sides and at its corners, with pointers along diagonals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame, Point
from saywhy.drawing.pen import Pen, polyline, ring, smooth
from saywhy.drawing.text import STRONG
from saywhy.shapes import Outside

#: Distance of the first text's centre from the grid, and from one text to the next behind it.
FIRST = 0.47
NEXT = 0.78
HEIGHT = 0.235


@dataclass(frozen=True)
class Slot:
    """
    One text with its place.

    Attributes:
        item: Whose it is.
        shape: What it says.
        depth: 0 beside the grid, 1 behind that ...
    """

    item: Drawn
    shape: Outside
    depth: int


def slots(outside: Sequence[tuple[Drawn, Outside]], columns: int) -> list[Slot]:
    """Give each text a place of its own; straight ones come nearest to the grid."""
    taken: set[tuple[int, int]] = set()
    found = []
    for item, shape in sorted(outside, key=lambda held: abs(held[1].down) + abs(held[1].right)):
        row, column = divmod(shape.cell, columns)
        depth = 0
        while (here := (row - (depth + 1) * shape.down, column - (depth + 1) * shape.right)) in taken:
            depth += 1
        taken.add(here)
        found.append(Slot(item, shape, depth))
    return found


def margins(held: Sequence[Slot]) -> tuple[float, float, float, float]:
    """Give the room needed above, on the right, below and on the left, in cell widths."""
    above = right = below = left = 0.0
    for slot in held:
        room = FIRST + slot.depth * NEXT + 0.36
        above = max(above, room if slot.shape.down > 0 else 0)
        below = max(below, room if slot.shape.down < 0 else 0)
        left = max(left, room if slot.shape.right > 0 else 0)
        right = max(right, room if slot.shape.right < 0 else 0)
    return above, right, below, left


def draw(pen: Pen, frame: Frame, held: Sequence[Slot]) -> None:
    """Draw all texts outside the grid."""
    for slot in held:
        with pen.group("clue outside", **slot.item.data):
            _draw(pen, frame, slot)


def _draw(pen: Pen, frame: Frame, slot: Slot) -> None:
    unit, shape = frame.unit, slot.shape
    x, y = frame.centre(slot.shape.cell)
    # The border point of the first cell from which the clue looks in.
    edge = (x - shape.right * unit / 2, y - shape.down * unit / 2)
    off = (FIRST + slot.depth * NEXT) * unit
    at = (edge[0] - shape.right * off, edge[1] - shape.down * off)
    height = HEIGHT * unit
    size = height / STRONG.figure
    width = STRONG.width(shape.text, size)
    if width > 0.62 * unit:
        size *= 0.62 * unit / width
        width = 0.62 * unit
    _plate(pen, at, shape.kind, width / 2, size * STRONG.figure / 2, unit)
    pen.text(at, shape.text, STRONG, size, name="outside-text")
    if shape.pointer or (shape.down and shape.right):
        _pointer(pen, at, edge, max(width, height) / 2, unit)


def _plate(pen: Pen, at: Point, kind: str, half: float, tall: float, unit: float) -> None:
    (x, y), gap, line = at, 0.075 * unit, 0.024 * unit
    wide, high = half + gap, tall + gap
    corners = [(x - wide, y - high), (x + wide, y - high), (x + wide, y + high), (x - wide, y + high)]
    match kind:
        case "boxed":
            pen.path(polyline(corners, closed=True), fill="paper", stroke="ink", width=line, name="boxed")
        case "double":
            pen.path(
                polyline(corners, closed=True), fill="paper", stroke="ink", width=3.4 * line, name="double"
            )
            pen.path(polyline(corners, closed=True), stroke="paper", width=1.3 * line, name="double")
        case "round":
            reach = max(wide, high)
            data = ring(at, reach) if half < 0.2 * unit else smooth(corners, high)
            pen.path(data, fill="paper", stroke="ink", width=line, name="round")
        case "bracket":
            inner, lip = wide - 0.02 * unit, 0.07 * unit
            for side in (-1, 1):
                points = [
                    (x + side * (inner - lip), y - high),
                    (x + side * inner, y - high),
                    (x + side * inner, y + high),
                    (x + side * (inner - lip), y + high),
                ]
                pen.path(polyline(points), stroke="ink", width=1.2 * line, name="bracket")
        case "underlined":
            base = y + tall + 0.055 * unit
            pen.path(
                polyline([(x - wide + gap / 2, base), (x + wide - gap / 2, base)]),
                stroke="ink",
                width=1.4 * line,
                name="underlined",
            )
        case _:
            pass


def _pointer(pen: Pen, at: Point, edge: Point, clear: float, unit: float) -> None:
    """Draw a small arrow from beside the text to just before the grid."""
    away = hypot(edge[0] - at[0], edge[1] - at[1])
    right, down = (edge[0] - at[0]) / away, (edge[1] - at[1]) / away
    diagonal = abs(right * down) > 0.1
    begin = min(clear * (sqrt(2) if diagonal else 1) * 0.86 + 0.09 * unit, away - 0.2 * unit)
    end = away - 0.075 * unit

    def point(way: float, aside: float = 0) -> Point:
        return at[0] + way * right - aside * down, at[1] + way * down + aside * right

    head = 0.11 * unit
    pen.path(polyline([point(begin), point(end - head)]), stroke="ink", width=0.028 * unit, name="shaft")
    wing = 0.066 * unit
    pen.path(
        polyline([point(end), point(end - head, wing), point(end - head, -wing)], closed=True),
        fill="ink",
        name="pointer",
    )
