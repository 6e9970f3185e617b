"""
Small signs behind a cell's digit: disc, square, and spots that are lower or higher than around them.

Discs and squares are ruled with fine lines, so that they are not taken for the bulb of a line.
"""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame, Point
from saywhy.drawing.pen import Pen, number, polyline, ring
from saywhy.shapes import Sign

HALF = 0.33
EDGE = 0.024
RULING = 0.013
RULES = 9


def draw(pen: Pen, frame: Frame, signs: Sequence[tuple[Drawn, Sign]]) -> None:
    """Draw all signs."""
    for item, sign in signs:
        with pen.group("clue sign", **item.data):
            if sign.kind in ("disc", "square"):
                _draw_ruled(pen, frame, sign)
            else:
                _draw_wedges(pen, frame, sign)


def _draw_ruled(pen: Pen, frame: Frame, sign: Sign) -> None:
    unit, (x, y) = frame.unit, frame.centre(sign.cell)
    disc = sign.kind == "disc"
    half = HALF * unit * (1 if disc else 0.9)
    corners = [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
    colour, edge = f"ink-{sign.ink}", EDGE * unit
    data = ring((x, y), half) if disc else polyline(corners, closed=True)
    pen.path(data, fill=f"tint-{sign.ink}", stroke=colour, width=edge, name=sign.kind)
    rules = ""
    for k in range(1, RULES):
        down = (2 * k / RULES - 1) * half
        reach = (half * half - down * down) ** 0.5 if disc else half
        rules += f"M{number(x - reach)} {number(y + down)}h{number(2 * reach)}"
    pen.path(rules, stroke=colour, width=RULING * unit, name="ruling")


def _draw_wedges(pen: Pen, frame: Frame, sign: Sign) -> None:
    ways = ((0, -1), (1, 0), (0, 1), (-1, 0))
    at, inwards = frame.centre(sign.cell), sign.kind == "down"
    data = "".join(polyline(_wedge(at, way, frame.unit, inwards=inwards), closed=True) for way in ways)
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
