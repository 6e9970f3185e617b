"""
Texts outside the grid, on all four sides and at its corners, with pointers along diagonals.

Diagonal clues stand nearest, so that no pointer crosses a text. Each rule of straight clues keeps one
distance from the grid on a side, so that its texts stand in a row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt

from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame, Point
from saywhy.drawing.pen import Pen, polyline, ring, smooth
from saywhy.drawing.text import STRONG
from saywhy.shapes import Outside

#: Distance of the nearest text's centre from the grid, and from one row of texts to the next, in cell widths.
FIRST = 0.48
NEXT = 0.74
HEIGHT = 0.235
LINE = 0.024
#: Room around a text's centre.
ROOM = 0.38
#: Two diagonals that meet on one place part by this much to each side, and are set smaller.
PARTED = 0.27
SMALLER = 0.8


@dataclass(frozen=True)
class Slot:
    """
    One text with its place.

    Attributes:
        item: Whose it is.
        shape: What it says.
        row: Where its centre is, in cell widths from the grid's upper left corner.
        column: The same.
        scale: Size against the usual one.
    """

    item: Drawn
    shape: Outside
    row: float
    column: float
    scale: float = 1


def slots(outside: Sequence[tuple[Drawn, Outside]], columns: int) -> list[Slot]:
    """Give each text a place of its own."""
    taken: set[tuple[int, int]] = set()
    found: list[Slot] = []
    places: dict[tuple[int, int], list[tuple[Drawn, Outside]]] = {}
    for item, shape in outside:
        if shape.down and shape.right:
            row, column = divmod(shape.cell, columns)
            places.setdefault((row - shape.down, column - shape.right), []).append((item, shape))
    for place, held in places.items():
        taken.add(place)
        found.extend(
            _diagonal(item, shape, columns, order, len(held)) for order, (item, shape) in enumerate(held)
        )
    rows: dict[tuple[int, int, str], list[tuple[Drawn, Outside]]] = {}
    for item, shape in outside:
        if not (shape.down and shape.right):
            rows.setdefault((shape.down, shape.right, item.rule), []).append((item, shape))
    for (down, right, _), held in rows.items():
        cells = [divmod(shape.cell, columns) for _, shape in held]
        depth = 1
        while any((row - depth * down, column - depth * right) in taken for row, column in cells):
            depth += 1
        for (item, shape), (row, column) in zip(held, cells, strict=True):
            here = depth
            while (row - here * down, column - here * right) in taken:
                here += 1
            taken.add((row - here * down, column - here * right))
            off = 0.5 + FIRST + (here - 1) * NEXT
            found.append(Slot(item, shape, row + 0.5 - down * off, column + 0.5 - right * off))
    return found


def _diagonal(item: Drawn, shape: Outside, columns: int, order: int, count: int) -> Slot:
    """Place a diagonal's text on its line; texts that meet part along the side of the grid."""
    row, column = _entry(shape, columns)
    at_row, at_column = row - shape.down * FIRST, column - shape.right * FIRST
    if count == 1:
        return Slot(item, shape, at_row, at_column)
    near = 0.5 - PARTED
    if order < 2 and not 0 <= at_row <= columns:
        return Slot(item, shape, at_row, column - shape.right * near, SMALLER)
    if order < 2:
        return Slot(item, shape, row - shape.down * near, at_column, SMALLER)
    further = FIRST + (order - 1) * NEXT
    return Slot(item, shape, row - shape.down * further, column - shape.right * further)


def _entry(shape: Outside, columns: int) -> tuple[float, float]:
    """Give the border point of the first cell from which the clue looks in, as (row, column)."""
    row, column = divmod(shape.cell, columns)
    return row + 0.5 - shape.down / 2, column + 0.5 - shape.right / 2


def margins(held: Sequence[Slot], size: int) -> tuple[float, float, float, float]:
    """Give the room needed above, on the right, below and on the left, in cell widths."""
    rows = [slot.row for slot in held] or [size / 2]
    columns = [slot.column for slot in held] or [size / 2]
    return (
        max(0.0, ROOM - min(rows)),
        max(0.0, max(columns) + ROOM - size),
        max(0.0, max(rows) + ROOM - size),
        max(0.0, ROOM - min(columns)),
    )


def draw(pen: Pen, frame: Frame, held: Sequence[Slot]) -> None:
    """Draw all texts outside the grid."""
    for slot in held:
        with pen.group("clue outside", **slot.item.data):
            _draw(pen, frame, slot)


def _draw(pen: Pen, frame: Frame, slot: Slot) -> None:
    unit, shape = frame.unit, slot.shape
    at = frame.at(slot.row, slot.column)
    height = HEIGHT * unit * slot.scale * frame.small
    size = height / STRONG.figure
    width = STRONG.width(shape.text, size)
    # A pointer that slants begins at a corner of its text, so a broad text leaves it room.
    room = (0.54 if shape.down and shape.right else 0.62) * unit
    if width > room:
        size, width = size * room / width, room
    _draw_plate(pen, at, shape.kind, (width / 2, size * STRONG.figure / 2), unit)
    pen.text(at, shape.text, STRONG, size, name="outside-text")
    if shape.pointer or (shape.down and shape.right):
        _draw_pointer(pen, at, frame.at(*_entry(shape, frame.columns)), max(width, height) / 2, unit)


def _draw_plate(pen: Pen, at: Point, kind: str, half: tuple[float, float], unit: float) -> None:
    (x, y), gap, line = at, 0.075 * unit, LINE * unit
    wide, high = half[0] + gap, half[1] + gap
    corners = [(x - wide, y - high), (x + wide, y - high), (x + wide, y + high), (x - wide, y + high)]
    match kind:
        case "boxed":
            pen.path(polyline(corners, closed=True), fill="paper", stroke="ink", width=line, name=kind)
        case "double":
            pen.path(polyline(corners, closed=True), fill="paper", stroke="ink", width=3.6 * line, name=kind)
            pen.path(polyline(corners, closed=True), stroke="paper", width=1.5 * line, name=kind)
        case "round":
            data = ring(at, max(wide, high)) if wide < 1.6 * high else smooth(corners, high)
            pen.path(data, fill="paper", stroke="ink", width=line, name=kind)
        case "bracket":
            for side in (-1, 1):
                lip = (x + side * (wide - 0.08 * unit), x + side * (wide - 0.01 * unit))
                points = [(lip[0], y - high), (lip[1], y - high), (lip[1], y + high), (lip[0], y + high)]
                pen.path(polyline(points), stroke="ink", width=1.2 * line, name=kind)
        case "underlined":
            base = y + half[1] + 0.06 * unit
            ends = [(x - half[0] - gap / 2, base), (x + half[0] + gap / 2, base)]
            pen.path(polyline(ends), stroke="ink", width=1.5 * line, name=kind)
        case _:
            pass


def _draw_pointer(pen: Pen, at: Point, entry: Point, clear: float, unit: float) -> None:
    """Draw a small arrow from beside the text to just before the grid."""
    away = hypot(entry[0] - at[0], entry[1] - at[1])
    right, down = (entry[0] - at[0]) / away, (entry[1] - at[1]) / away
    slanting = min(abs(right), abs(down)) > 0.1
    end = away - 0.075 * unit
    begin = min(clear * (0.84 * sqrt(2) if slanting else 1) + 0.06 * unit, end - 0.14 * unit)

    def point(way: float, aside: float = 0) -> Point:
        return at[0] + way * right - aside * down, at[1] + way * down + aside * right

    head, wing = 0.12 * unit, 0.068 * unit
    pen.path(polyline([point(begin), point(end - head)]), stroke="ink", width=0.03 * unit, name="shaft")
    pen.path(
        polyline([point(end), point(end - head, wing), point(end - head, -wing)], closed=True),
        fill="ink",
        name="pointer",
    )
