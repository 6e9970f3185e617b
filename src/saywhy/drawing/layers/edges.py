"""Marks on the border of two cells: dots, letters, numbers and wedges."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame, Point
from saywhy.drawing.pen import Pen, polyline, ring
from saywhy.drawing.text import STRONG
from saywhy.shapes import Edge

DOT = 0.125
DOT_WITH_TEXT = 0.165
LINE = 0.03


def draw(pen: Pen, frame: Frame, edges: Sequence[tuple[Drawn, Edge]]) -> None:
    """Draw all marks on borders."""
    for item, edge in edges:
        a, b = frame.centre(edge.a), frame.centre(edge.b)
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        with pen.group("clue edge", **item.data):
            if edge.kind in ("open", "filled"):
                _dot(pen, middle, edge, frame.unit)
            elif edge.kind == "less":
                _wedge(pen, a, b, frame.unit)
            else:
                plate(pen, middle, edge.text, frame.unit, framed=not edge.text.isalpha())


def _dot(pen: Pen, at: Point, edge: Edge, unit: float) -> None:
    radius = (DOT_WITH_TEXT if edge.text else DOT) * unit
    pen.path(ring(at, radius + (LINE / 2 + 0.022) * unit), fill="paper", name="casing")
    pen.path(ring(at, radius), fill=f"dot-{edge.kind}", stroke="dot-edge", width=LINE * unit, name=edge.kind)
    if edge.text:
        other = "dot-open" if edge.kind == "filled" else "dot-filled"
        height = (0.17 if len(edge.text) == 1 else 0.13) * unit
        pen.text(at, edge.text, STRONG, height / STRONG.figure, fill=other, name="edge-text")


def plate(pen: Pen, at: Point, text: str, unit: float, *, framed: bool) -> None:
    """Write a short text on a small plate of paper, with a thin frame if it is a number."""
    height = (0.175 if framed else 0.27) * unit
    size = height / STRONG.figure
    half = max(STRONG.width(text, size) / 2 + 0.05 * unit, 0.12 * unit)
    tall = height / 2 + (0.055 if framed else 0.035) * unit
    (x, y) = at
    corners = [(x - half, y - tall), (x + half, y - tall), (x + half, y + tall), (x - half, y + tall)]
    frame = {"stroke": "ink", "width": 0.022 * unit} if framed else {}
    pen.path(polyline(corners, closed=True), fill="paper", name="plate", **frame)  # type: ignore[arg-type]
    pen.text(at, text, STRONG, size, name="edge-text")


def _wedge(pen: Pen, a: Point, b: Point, unit: float) -> None:
    length = hypot(b[0] - a[0], b[1] - a[1])
    right, down = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    x, y = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    deep, half = 0.085 * unit, 0.145 * unit
    points = [
        (x + deep * right - half * down, y + deep * down + half * right),
        (x - deep * right, y - deep * down),
        (x + deep * right + half * down, y + deep * down - half * right),
    ]
    for colour, width, name in (("paper", 0.13, "casing"), ("ink", 0.048, "less")):
        pen.path(
            polyline(points),
            stroke=colour,
            width=width * unit,
            name=name,
            stroke_linejoin="miter",
            stroke_linecap="round",
        )
