"""How lines end: bulbs, tips, rings, diamonds and the rest."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.drawing.geometry import Leg, Point, legs
from saywhy.drawing.pen import Pen, polyline, ring
from saywhy.drawing.textures import Body
from saywhy.shapes import Cap

#: Radius of the rings that hold a digit, in cell widths.
RING = 0.37
BULB = 0.33
DIAMOND = 0.43
SMALL = 0.15


def cap_trim(cap: Cap) -> float:
    """Give how much shorter the line is for this cap, in cell widths."""
    return {Cap.CIRCLE: RING, Cap.DIAMOND: DIAMOND}.get(cap, 0)


def draw_cap(  # noqa: PLR0913
    pen: Pen, cap: Cap, walk: Sequence[Point], made: Body, ink: int, unit: float, *, below: bool
) -> None:
    """
    Draw the cap at the last point of a walk.

    Args:
        pen: The pen.
        cap: Which cap.
        walk: The line's points; the last one is the cell's centre.
        made: The measures of the line.
        ink: Its ink.
        unit: Width of a cell.
        below: Whether the part under the line's filling is drawn, or the part over it.
    """
    pieces = legs(walk)
    if cap is Cap.NONE or not pieces:
        return
    colour, at, last = f"ink-{ink}", walk[-1], pieces[-1]
    thick = max(made.thick, 0.036 * unit)
    if cap is Cap.BULB:
        if below:
            pen.path(ring(at, BULB * unit), fill=colour, stroke="paper", width=0.05 * unit, name="bulb")
            pen.path(ring(at, BULB * unit), fill=colour, name="bulb")
        filling = made.filling or f"tint-{ink}"
        pen.path(ring(at, BULB * unit - made.thick), fill=filling, name="bulb-filling")
        return
    if below:
        return
    match cap:
        case Cap.CIRCLE:
            pen.path(ring(at, RING * unit), stroke=colour, width=1.15 * thick, name="circle")
        case Cap.DIAMOND:
            corners = _diamond(at, DIAMOND * unit)
            pen.path(polyline(corners, closed=True), stroke=colour, width=1.15 * thick, name="diamond")
        case Cap.ROUND:
            pen.path(ring(at, _small(made, unit)), fill=colour, name="round")
        case Cap.OPEN_ROUND:
            pen.path(
                ring(at, _small(made, unit)), fill="paper", stroke=colour, width=thick, name="open-round"
            )
        case Cap.SQUARE | Cap.OPEN_SQUARE:
            data = polyline(_square(last, _small(made, unit)), closed=True)
            if cap is Cap.SQUARE:
                pen.path(data, fill=colour, name="square")
            else:
                pen.path(data, fill="paper", stroke=colour, width=thick, name="open-square")
        case Cap.TIP:
            reach, half = 0.17 * unit, max(0.16 * unit, made.half + 0.06 * unit)
            points = _arrow(last, reach, half)
            pen.path(
                polyline(points, closed=True),
                fill=colour,
                stroke=colour,
                width=0.02 * unit,
                name="tip",
                stroke_linejoin="round",
            )
        case Cap.FORK:
            reach, half = 0.15 * unit, max(0.17 * unit, made.half + 0.07 * unit)
            pen.path(
                polyline(_arrow(last, reach, half)),
                stroke=colour,
                width=1.4 * thick,
                name="fork",
                stroke_linejoin="round",
                stroke_linecap="round",
            )
        case Cap.BAR:
            half = max(0.2 * unit, made.half + 0.08 * unit)
            ends = [last.at(last.length, -half), last.at(last.length, half)]
            pen.path(polyline(ends), stroke=colour, width=1.8 * thick, name="bar", stroke_linecap="round")
        case _:
            pass


def _small(made: Body, unit: float) -> float:
    return max(SMALL * unit, made.half + 0.045 * unit)


def _diamond(at: Point, reach: float) -> list[Point]:
    x, y = at
    return [(x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)]


def _square(last: Leg, reach: float) -> list[Point]:
    reach *= 0.9
    return [
        last.at(last.length + along, off)
        for along, off in ((-reach, -reach), (reach, -reach), (reach, reach), (-reach, reach))
    ]


def _arrow(last: Leg, reach: float, half: float) -> list[Point]:
    return [
        last.at(last.length - reach, -half),
        last.at(last.length + 0.75 * reach),
        last.at(last.length - reach, half),
    ]
