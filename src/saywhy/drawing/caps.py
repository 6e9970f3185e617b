"""How lines end: bulbs, tips, rings, diamonds and the rest."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from saywhy.drawing.geometry import Leg, Point, legs
from saywhy.drawing.pen import Pen, polyline, ring
from saywhy.drawing.textures import Body
from saywhy.shapes import Cap

#: Radius of the rings that hold a digit, and sizes of the other caps, in cell widths.
RING = 0.37
BULB = 0.33
DIAMOND = 0.43
SMALL = 0.17
BAR = 0.26
#: Arrow heads end this far before the centre, so that a digit there does not hide them.
BACK = 0.1
TIP = 0.24
FORK = 0.17


@dataclass(frozen=True)
class End:
    """
    One end of a line, in page units.

    Attributes:
        last: The leg that comes to it.
        body: The measures of the line.
        ink: Its ink.
        unit: Width of a cell.
    """

    last: Leg
    body: Body
    ink: int
    unit: float

    @property
    def at(self) -> Point:
        """The end itself, the centre of its cell."""
        return self.last.end

    @property
    def colour(self) -> str:
        """The token of its ink."""
        return f"ink-{self.ink}"

    @property
    def thick(self) -> float:
        """Thickness of strokes."""
        return max(self.body.thick, 0.036 * self.unit)

    @property
    def small(self) -> float:
        """Half the size of small caps."""
        return max(SMALL * self.unit, self.body.half + 0.045 * self.unit)


def ends(walk: Sequence[Point], body: Body, ink: int, unit: float) -> tuple[End, End] | None:
    """Give the two ends of a walk; None where it has no length."""
    there, back = legs(walk), legs(walk[::-1])
    return (End(back[-1], body, ink, unit), End(there[-1], body, ink, unit)) if there else None


def cap_trim(cap: Cap, body: Body, unit: float) -> float:
    """Give by how much this cap shortens the line, in page units."""
    if cap is Cap.BAR:
        return body.half - body.thick
    return {Cap.CIRCLE: RING, Cap.DIAMOND: DIAMOND, Cap.TIP: BACK + 0.1, Cap.FORK: BACK}.get(cap, 0) * unit


def draw_under(pen: Pen, cap: Cap, end: End) -> None:
    """Draw the part of a cap that the line's filling runs into: the outline of a bulb."""
    if cap is Cap.BULB:
        width = 0.05 * end.unit
        pen.path(ring(end.at, BULB * end.unit), fill=end.colour, stroke="paper", width=width, name="casing")
        pen.path(ring(end.at, BULB * end.unit), fill=end.colour, name="bulb")


def draw_over(pen: Pen, cap: Cap, end: End) -> None:
    """Draw the part of a cap that lies over the line."""
    if cap in _CAPS:
        _CAPS[cap](pen, end)


def _bulb(pen: Pen, end: End) -> None:
    filling = end.body.filling or f"tint-{end.ink}"
    pen.path(ring(end.at, BULB * end.unit - end.body.thick), fill=filling, name="bulb-filling")


def _circle(pen: Pen, end: End) -> None:
    pen.path(ring(end.at, RING * end.unit), stroke=end.colour, width=1.15 * end.thick, name="circle")


def _diamond(pen: Pen, end: End) -> None:
    (x, y), reach = end.at, DIAMOND * end.unit
    corners = [(x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y)]
    pen.path(polyline(corners, closed=True), stroke=end.colour, width=1.15 * end.thick, name="diamond")


def _round(pen: Pen, end: End) -> None:
    pen.path(ring(end.at, end.small), fill=end.colour, name="round")


def _open_round(pen: Pen, end: End) -> None:
    data = ring(end.at, end.small)
    pen.path(data, fill="paper", stroke=end.colour, width=end.thick, name="open-round")


def _square(pen: Pen, end: End) -> None:
    pen.path(_box(end), fill=end.colour, name="square")


def _open_square(pen: Pen, end: End) -> None:
    pen.path(_box(end), fill="paper", stroke=end.colour, width=end.thick, name="open-square")


def _box(end: End) -> str:
    (x, y), half = end.at, 0.9 * end.small
    corners = [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
    return polyline(corners, closed=True)


def _tip(pen: Pen, end: End) -> None:
    points = _head(end, TIP * end.unit, max(0.15 * end.unit, end.body.half + 0.07 * end.unit))
    width = 0.02 * end.unit
    pen.path(
        polyline(points, closed=True),
        fill=end.colour,
        stroke=end.colour,
        width=width,
        name="tip",
        stroke_linejoin="round",
    )


def _fork(pen: Pen, end: End) -> None:
    points = _head(end, FORK * end.unit, max(0.17 * end.unit, end.body.half + 0.07 * end.unit))
    style = {"stroke_linejoin": "round", "stroke_linecap": "round"}
    pen.path(polyline(points), stroke=end.colour, width=1.4 * end.thick, name="fork", **style)


def _bar(pen: Pen, end: End) -> None:
    half = max(BAR * end.unit, end.body.half + 0.08 * end.unit)
    points = [end.last.at(end.last.length, -half), end.last.at(end.last.length, half)]
    pen.path(polyline(points), stroke=end.colour, width=1.8 * end.thick, name="bar", stroke_linecap="round")


def _head(end: End, deep: float, half: float) -> list[Point]:
    tip = end.last.length - BACK * end.unit
    return [end.last.at(tip - deep, -half), end.last.at(tip), end.last.at(tip - deep, half)]


_CAPS: dict[Cap, Callable[[Pen, End], None]] = {
    Cap.BULB: _bulb,
    Cap.CIRCLE: _circle,
    Cap.DIAMOND: _diamond,
    Cap.ROUND: _round,
    Cap.OPEN_ROUND: _open_round,
    Cap.SQUARE: _square,
    Cap.OPEN_SQUARE: _open_square,
    Cap.TIP: _tip,
    Cap.FORK: _fork,
    Cap.BAR: _bar,
}
