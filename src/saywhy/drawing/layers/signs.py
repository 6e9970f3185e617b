"""Small signs behind a cell's digit: disc, square, and spots that are lower or higher than around them."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame, Point
from saywhy.drawing.pen import Pen, polyline, ring
from saywhy.shapes import Sign

HALF = 0.32
EDGE = 0.026


def draw(pen: Pen, frame: Frame, signs: Sequence[tuple[Drawn, Sign]]) -> None:
    """Draw all signs."""
    unit = frame.unit
    for item, sign in signs:
        x, y = frame.centre(sign.cell)
        half = HALF * unit
        style = {"fill": f"tint-{sign.ink}", "stroke": f"ink-{sign.ink}"}
        with pen.group("clue sign", **item.data):
            if sign.kind == "disc":
                pen.path(ring((x, y), half), width=EDGE * unit, name="disc", **style)
            elif sign.kind == "square":
                half *= 0.92
                corners = [
                    (x - half, y - half),
                    (x + half, y - half),
                    (x + half, y + half),
                    (x - half, y + half),
                ]
                pen.path(polyline(corners, closed=True), width=EDGE * unit, name="square", **style)
            else:
                data = "".join(
                    polyline(_wedge((x, y), way, unit, inwards=sign.kind == "down"), closed=True)
                    for way in ((0, -1), (1, 0), (0, 1), (-1, 0))
                )
                pen.path(data, fill=f"ink-{sign.ink}", name=sign.kind)


def _wedge(at: Point, way: tuple[int, int], unit: float, *, inwards: bool) -> list[Point]:
    """Give a small triangle near one side of the cell, pointing to the centre or away from it."""
    tip, foot = (0.29, 0.40) if inwards else (0.40, 0.29)
    (x, y), (right, down) = at, way
    half = 0.11
    return [
        (x + tip * right * unit, y + tip * down * unit),
        (x + (foot * right + half * down) * unit, y + (foot * down + half * right) * unit),
        (x + (foot * right - half * down) * unit, y + (foot * down - half * right) * unit),
    ]
