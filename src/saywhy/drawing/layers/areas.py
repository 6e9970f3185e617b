"""Areas: surfaces by texture, borders just inside the cells, and their small labels."""

from __future__ import annotations

from collections.abc import Container, Sequence
from itertools import pairwise

from saywhy.drawing.collect import Drawn
from saywhy.drawing.fills import draw_fill
from saywhy.drawing.geometry import Frame, outlines
from saywhy.drawing.pen import Pen, polyline, smooth
from saywhy.drawing.text import STRONG
from saywhy.drawing.textures import body, draw_ornament
from saywhy.shapes import Area, Line, Texture, Weight

#: How far inside the cells the border of the first rule runs; each further rule with borders runs further in.
INSET = 0.075
FURTHER = 0.06
LINE = 0.028
LABEL = 0.155
#: Smallest height of figures, in page units.
SMALLEST = 6.4

#: A corner of a cell: -1 or 1 down, -1 or 1 to the right.
Place = tuple[int, int]
PLACES: tuple[Place, ...] = ((-1, -1), (-1, 1), (1, -1), (1, 1))


def draw_fills(pen: Pen, frame: Frame, areas: Sequence[tuple[Drawn, Area]]) -> None:
    """Draw the surfaces."""
    for item, area in areas:
        if area.fill is not None:
            with pen.group("clue area", **item.data):
                draw_fill(pen, frame, area.cells, area.fill, area.ink)


def draw_borders(pen: Pen, frame: Frame, areas: Sequence[tuple[Drawn, Area]]) -> None:
    """Draw the borders."""
    insets: dict[str, float] = {}
    for item, area in areas:
        if area.outline is not None:
            insets.setdefault(item.rule, INSET + FURTHER * len(insets))
    for item, area in areas:
        if area.outline is not None:
            with pen.group("clue area", **item.data):
                _border(pen, frame, area, insets[item.rule])


def draw_labels(
    pen: Pen, frame: Frame, areas: Sequence[tuple[Drawn, Area]], lines: Sequence[Line] = ()
) -> None:
    """
    Draw the labels, over all lines.

    A cage's label stands in the upper left corner of its first cell; the label of an area without border or
    surface, which belongs to a line, in a corner that no line runs through.
    """
    ways: dict[int, set[tuple[int, int]]] = {}
    for line in lines:
        for a, b in (*pairwise(line.cells), *pairwise(line.cells[::-1])):
            (row, column), (to_row, to_column) = divmod(a, frame.columns), divmod(b, frame.columns)
            ways.setdefault(a, set()).add((to_row - row, to_column - column))
    ends: dict[tuple[int, Place], float] = {}
    for item, area in areas:
        if area.label:
            free = area.outline is None and area.fill is None
            first = min(area.cells)
            place = _free_corner(ways.get(first, set())) if free else PLACES[0]
            with pen.group("clue area", **item.data):
                _label(pen, frame, area.label, (first, place), ends)


def _free_corner(ways: Container[tuple[int, int]]) -> Place:
    return next((place for place in PLACES if place not in ways), PLACES[0])


def _border(pen: Pen, frame: Frame, area: Area, inset: float) -> None:
    unit, ink = frame.unit, f"ink-{area.ink}"
    for loop in outlines(area.cells, frame.columns, inset):
        points = [frame.at(*at) for at in loop]
        width = LINE * unit
        match area.outline:
            case Texture.SOLID:
                pen.path(smooth(points, 0.06 * unit), stroke=ink, width=width, name="border")
            case Texture.DOUBLE:
                pen.path(smooth(points, 0.06 * unit), stroke=ink, width=3 * width, name="border")
                pen.path(smooth(points, 0.06 * unit), stroke="paper", width=width, name="gap")
            case Texture.DASHED:
                dash = f"{0.085 * unit:.2f} {0.055 * unit:.2f}"
                pen.path(
                    polyline(points, closed=True),
                    stroke=ink,
                    width=width,
                    name="border",
                    stroke_dasharray=dash,
                )
            case Texture.DOTTED:
                dash = f"0 {0.075 * unit:.2f}"
                pen.path(
                    polyline(points, closed=True),
                    stroke=ink,
                    width=1.35 * width,
                    name="border",
                    stroke_dasharray=dash,
                    stroke_linecap="round",
                )
            case texture if texture is not None:
                made = body(texture, Weight.FINE, area.ink, 0.62 * unit)
                walk = [*points, points[0]]
                if made.filling is not None:
                    pen.path(polyline(points, closed=True), stroke=ink, width=2 * made.half, name="band")
                    inner = 2 * (made.half - made.thick)
                    pen.path(polyline(points, closed=True), stroke="paper", width=inner, name="filling")
                draw_ornament(pen, walk, texture, made, area.ink)


def _label(
    pen: Pen, frame: Frame, words: str, at: tuple[int, Place], ends: dict[tuple[int, Place], float]
) -> None:
    """Write a label in a corner of a cell, after those that already stand there."""
    unit, (cell, (down, right)) = frame.unit, at
    x, y = frame.corner(cell)
    height = max(LABEL * unit * frame.small, SMALLEST)
    size = height / STRONG.figure
    width = STRONG.width(words, size)
    begin = ends.get(at, x + 0.085 * unit if right < 0 else x + 0.915 * unit - width)
    middle = y + 0.06 * unit + height / 2 if down < 0 else y + 0.94 * unit - height / 2
    gap = 0.035 * unit
    left, end = begin - gap, begin + width + gap
    top, bottom = middle - height / 2 - gap, middle + height / 2 + gap
    corners = [(left, top), (end, top), (end, bottom), (left, bottom)]
    pen.path(polyline(corners, closed=True), fill="paper", name="plate")
    pen.text((begin, middle), words, STRONG, size, anchor="start", name="label")
    ends[at] = end + 0.05 * unit
