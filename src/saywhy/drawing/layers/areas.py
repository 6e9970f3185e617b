"""Areas: surfaces by texture, borders just inside the cells, and their small labels."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.drawing.collect import Drawn
from saywhy.drawing.fills import draw_fill
from saywhy.drawing.geometry import Frame, outlines
from saywhy.drawing.pen import Pen, polyline, smooth
from saywhy.drawing.text import STRONG
from saywhy.drawing.textures import body, draw_ornament
from saywhy.shapes import Area, Texture, Weight

#: How far inside the cells the border of the first rule runs; each further rule with borders runs further in.
INSET = 0.075
FURTHER = 0.06
LINE = 0.028
LABEL = 0.155


def draw_fills(pen: Pen, frame: Frame, areas: Sequence[tuple[Drawn, Area]]) -> None:
    """Draw the surfaces."""
    for item, area in areas:
        if area.fill is not None:
            with pen.group("clue area", **item.data):
                draw_fill(pen, frame, area.cells, area.fill, area.ink)


def draw_borders(pen: Pen, frame: Frame, areas: Sequence[tuple[Drawn, Area]]) -> None:
    """Draw borders and labels."""
    insets: dict[str, float] = {}
    for item, area in areas:
        if area.outline is not None:
            insets.setdefault(item.rule, INSET + FURTHER * len(insets))
    for item, area in areas:
        if area.outline is not None:
            with pen.group("clue area", **item.data):
                _border(pen, frame, area, insets[item.rule])
    ends: dict[int, float] = {}
    for item, area in areas:
        if area.label:
            with pen.group("clue area", **item.data):
                _label(pen, frame, area, ends)


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


def _label(pen: Pen, frame: Frame, area: Area, ends: dict[int, float]) -> None:
    """Write the label in the corner of the first cell, after those that already stand there."""
    unit, first = frame.unit, min(area.cells)
    x, y = frame.corner(first)
    height = LABEL * unit
    size = height / STRONG.figure
    width = STRONG.width(area.label, size)
    begin = ends.get(first, x + 0.085 * unit)
    top = y + 0.06 * unit
    end = begin + width + 0.05 * unit
    bottom = top + height + 0.045 * unit
    left = begin - 0.03 * unit
    corners = [(left, y + 0.03 * unit), (end, y + 0.03 * unit), (end, bottom), (left, bottom)]
    pen.path(polyline(corners, closed=True), fill="paper", name="plate")
    pen.text((begin, top + height / 2), area.label, STRONG, size, anchor="start", name="label")
    ends[first] = end + 0.05 * unit
