"""
How a line is inked: ten textures in three weights, each told from the others without colour.

Ornaments are laid out leg by leg (from one cell's centre to the next) and stay clear of the centres, where
digits stand. All are plain paths: no patterns, clips or ids, so any viewer and printer shows them alike and
several boards can share a page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from saywhy.drawing.geometry import Leg, Point, legs
from saywhy.drawing.pen import Pen, polyline, ring
from saywhy.shapes import Line, Texture, Weight

#: Half the breadth of a line's body and the thickness of its strokes, in cell widths.
_HALF = {Weight.FINE: 0.06, Weight.MEDIUM: 0.09, Weight.BROAD: 0.15}
_THICK = {Weight.FINE: 0.028, Weight.MEDIUM: 0.034, Weight.BROAD: 0.038}
#: Breadth of a line that is one stroke.
_STROKE = {Weight.FINE: 0.05, Weight.MEDIUM: 0.10, Weight.BROAD: 0.20}
#: Paper kept free on both sides of a line.
CASING = 0.035

_BANDS = {Texture.HATCHED, Texture.LADDER, Texture.CHECKED}


@dataclass(frozen=True)
class Body:
    """
    The measures of one line, in page units.

    Attributes:
        half: Half its whole breadth.
        thick: Thickness of its strokes.
        filling: Token inside its outline; None for a line without outline.
    """

    half: float
    thick: float
    filling: str | None


def body(texture: Texture, weight: Weight, ink: int, unit: float) -> Body:
    """Give the measures of a line."""
    thick = _THICK[weight] * unit
    if texture is Texture.SOLID and weight is Weight.BROAD:
        return Body(_HALF[weight] * unit, thick, f"tint-{ink}")
    if texture is Texture.DOUBLE:
        return Body(0.85 * _HALF[weight] * unit, 1.3 * thick, "paper")
    if texture in (Texture.SOLID, Texture.DASHED):
        return Body(_STROKE[weight] * unit / 2, thick, None)
    return Body(_HALF[weight] * unit, thick, "paper" if texture in _BANDS else None)


def draw_casing(pen: Pen, points: Sequence[Point], made: Body, unit: float) -> None:
    """Keep the paper free around a line, so that what it crosses runs under it."""
    width = 2 * (made.half + CASING * unit)
    _stroke(pen, points, "paper", width, "casing")


def draw_outline(pen: Pen, points: Sequence[Point], made: Body, ink: int) -> None:
    """Draw the outer stroke of a band; nothing for other lines."""
    if made.filling is not None:
        _stroke(pen, points, f"ink-{ink}", 2 * made.half, "band")


def draw_filling(pen: Pen, points: Sequence[Point], made: Body) -> None:
    """Draw the inside of a band; nothing for other lines."""
    if made.filling is not None:
        _stroke(pen, points, made.filling, 2 * (made.half - made.thick), "filling")


def draw_ornament(pen: Pen, points: Sequence[Point], texture: Texture, made: Body, ink: int) -> None:
    """Draw what makes the texture: the stroke itself, or what fills and crosses it."""
    colour = f"ink-{ink}"
    half, thick = made.half, made.thick
    walk = legs(points)
    match texture:
        case Texture.SOLID if made.filling is None:
            _stroke(pen, points, colour, 2 * half, "solid")
        case Texture.DASHED:
            dashes = _dashes(walk, half)
            pen.path(dashes, stroke=colour, width=2 * half, name="dashed", stroke_linejoin="round")
        case Texture.DOTTED:
            dots = "".join(ring(at, 0.62 * half) for leg in walk for at in _beads(leg, 2.1 * half))
            pen.path(dots, fill=colour, name="dotted")
        case Texture.BEADED:
            _stroke(pen, points, colour, thick, "string")
            beads = "".join(ring(at, 0.54 * half) for leg in walk for at in _beads(leg, 1.7 * half))
            pen.path(beads, fill=f"tint-{ink}", stroke=colour, width=thick, name="beads")
        case Texture.HATCHED:
            inner = half - thick
            ticks = "".join(_ticks(leg, 1.25 * half, inner, inner) for leg in walk)
            pen.path(ticks, stroke=colour, width=thick, name="hatch")
        case Texture.LADDER:
            ticks = "".join(_ticks(leg, 1.7 * half, half - thick, 0) for leg in walk)
            pen.path(ticks, stroke=colour, width=thick, name="rungs")
        case Texture.ZIGZAG:
            _stroke(pen, [at for leg in walk for at in _zigzag(leg, half)], colour, 1.25 * thick, "zigzag")
        case Texture.CHECKED:
            blocks = "".join(_blocks(leg, 1.9 * half, half - thick / 2) for leg in walk)
            pen.path(blocks, fill=colour, name="checks")
        case Texture.BARRED:
            _stroke(pen, points, colour, thick, "core")
            ticks = "".join(_ticks(leg, 1.9 * half, half, 0) for leg in walk)
            pen.path(ticks, stroke=colour, width=1.3 * thick, name="bars")
        case _:
            pass


def draw_bridge(pen: Pen, leg: Leg, way: float, line: Line, made: Body, unit: float) -> None:  # noqa: PLR0913, PLR0917
    """Lay a leg once more over its own line, which it crosses some way along."""
    reach = min(1.5 * (made.half + CASING * unit), way, leg.length - way)
    data = polyline([leg.at(way - reach), leg.at(way + reach)])
    pen.path(data, stroke="paper", width=2 * (made.half + CASING * unit), name="casing")
    if made.filling is not None:
        pen.path(data, stroke=f"ink-{line.ink}", width=2 * made.half, name="band")
        pen.path(data, stroke=made.filling, width=2 * (made.half - made.thick), name="filling")
    draw_ornament(pen, [leg.start, leg.end], line.texture, made, line.ink)


def _stroke(pen: Pen, points: Sequence[Point], colour: str, width: float, name: str) -> None:
    pen.path(
        polyline(points),
        stroke=colour,
        width=width,
        name=name,
        stroke_linejoin="round",
        stroke_linecap="round",
    )


def _places(leg: Leg, pitch: float) -> list[float]:
    """Share a leg evenly, nothing at its ends."""
    count = max(1, round(leg.length / pitch))
    return [(k + 0.5) * leg.length / count for k in range(count)]


def _beads(leg: Leg, pitch: float) -> list[Point]:
    return [leg.at(way) for way in _places(leg, pitch)]


def _dashes(walk: Sequence[Leg], half: float) -> str:
    """Give dashes that bend around the corners and begin and end the line."""
    data, here = "", [walk[0].start] if walk else []
    for leg in walk:
        count = max(1, round(leg.length / max(4.2 * half, leg.length / 4)))
        step = leg.length / count
        for k in range(count):
            data += polyline([*here, leg.at((k + 0.29) * step)])
            here = [leg.at((k + 0.71) * step)]
        here.append(leg.end)
    return data + polyline(here)


def _ticks(leg: Leg, pitch: float, reach: float, slant: float) -> str:
    return "".join(
        polyline([leg.at(way - slant / 2, -reach), leg.at(way + slant / 2, reach)])
        for way in _places(leg, pitch)
    )


def _blocks(leg: Leg, pitch: float, reach: float) -> str:
    count = max(1, round(leg.length / pitch))
    step = leg.length / count
    return "".join(
        polyline(
            [
                leg.at(way - step / 4, -reach),
                leg.at(way + step / 4, -reach),
                leg.at(way + step / 4, reach),
                leg.at(way - step / 4, reach),
            ],
            closed=True,
        )
        for way in _places(leg, pitch)
    )


def _zigzag(leg: Leg, reach: float) -> list[Point]:
    count = max(1, round(leg.length / (2.6 * reach)))
    step = leg.length / count
    points = [leg.start]
    for k in range(count):
        points += [leg.at((k + 0.25) * step, reach), leg.at((k + 0.75) * step, -reach)]
    return [*points, leg.end]
