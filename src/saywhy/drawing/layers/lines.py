"""
Lines through cells, and the rings around their digits.

Broad lines go down first and fine ones last; each keeps paper free around it, so a crossing reads as over
and under. A line that runs along a line already drawn is moved aside. Rings come last and are not filled:
whatever passes beneath stays visible; a line of the ring's own clue ends at it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import hypot

from saywhy.drawing import caps, textures
from saywhy.drawing.caps import RING
from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame, Point, crossings, legs, shortened
from saywhy.drawing.layers import rings
from saywhy.drawing.pen import Pen
from saywhy.shapes import Line, Ring

#: How far a line moves aside for one that it runs along.
ASIDE = 0.17


def draw(
    pen: Pen,
    frame: Frame,
    lines: Sequence[tuple[Drawn, Line]],
    held_rings: Sequence[tuple[Drawn, Ring]],
) -> None:
    """
    Draw all lines and rings.

    Args:
        pen: The pen.
        frame: The grid on the page.
        lines: The lines, with their clues.
        held_rings: The rings, with their clues: a line ends at a ring of its own clue.
    """
    pills = {(item.clue, item.rule, cell): held.cells for item, held in held_rings for cell in held.cells}
    shifts = _shifts([line for _, line in lines], frame)
    attached: list[int] = []
    order = sorted(range(len(lines)), key=lambda k: (-_breadth(lines[k][1]), k))

    def draw_one(place: int) -> None:
        item, line = lines[place]
        with pen.group("clue line", **item.data):
            _draw(pen, frame, line, ends(place), shifts[place])

    def ends(place: int) -> list[Sequence[int]]:
        item, line = lines[place]
        return [pills.get((item.clue, item.rule, cell), ()) for cell in (line.cells[0], line.cells[-1])]

    # Lines that end at a ring go over the paper kept free around rings, so that they touch them.
    for place in order:
        if any(ends(place)):
            attached.append(place)
        else:
            draw_one(place)
    rings.draw_casings(pen, frame, held_rings)
    for place in attached:
        draw_one(place)
    rings.draw_edges(pen, frame, held_rings)


def _breadth(line: Line) -> float:
    return textures.body(line.texture, line.weight, line.ink, 1).half


def _draw(pen: Pen, frame: Frame, line: Line, pills: Sequence[Sequence[int]], shift: Point) -> None:
    unit = frame.unit
    points = [frame.centre(cell) for cell in line.cells]
    points = [(x + shift[0] * unit, y + shift[1] * unit) for x, y in points]
    made = textures.body(line.texture, line.weight, line.ink, unit)
    capped = (line.start, line.end)
    trims = [
        _way_out(walk, [frame.centre(cell) for cell in pill], unit) + made.half - rings.EDGE * unit / 2
        if pill
        else caps.cap_trim(cap, made, unit)
        for pill, cap, walk in zip(pills, capped, (points, points[::-1]), strict=True)
    ]
    shown = shortened(points, *trims)
    ends = caps.ends(points, made, line.ink, unit)
    both = list(zip(capped, ends, strict=True)) if ends else []
    textures.draw_casing(pen, shown, made, unit)
    textures.draw_outline(pen, shown, made, line.ink)
    for cap, end in both:
        caps.draw_under(pen, cap, end)
    textures.draw_filling(pen, shown, made)
    textures.draw_ornament(pen, shown, line.texture, made, line.ink)
    for leg, way in crossings(shown):
        textures.draw_bridge(pen, leg, way, line, made, unit)
    for cap, end in both:
        caps.draw_over(pen, cap, end)


def _way_out(walk: Sequence[Point], pill: Sequence[Point], unit: float) -> float:
    """Give how far a walk goes until it leaves a ring or pill that it begins in."""
    pieces, way = legs(walk[:2]), 0.0
    while pieces and way < pieces[0].length and _distance(pieces[0].at(way), pill) < RING * unit:
        way += 0.01 * unit
    return way


def _distance(at: Point, pill: Sequence[Point]) -> float:
    """Give the distance of a point from a walk, or from its one point."""
    found = [hypot(at[0] - x, at[1] - y) for x, y in pill]
    for leg in legs(pill):
        way = (at[0] - leg.start[0]) * leg.along[0] + (at[1] - leg.start[1]) * leg.along[1]
        if 0 < way < leg.length:
            found.append(abs((at[0] - leg.start[0]) * leg.aside[0] + (at[1] - leg.start[1]) * leg.aside[1]))
    return min(found)


def _steps(line: Line) -> Iterable[tuple[int, int]]:
    return ((min(pair), max(pair)) for pair in pairwise(line.cells))


def _shifts(lines: Sequence[Line], frame: Frame) -> list[Point]:
    """Give for each line how far it moves, in cell widths, so that no two run on the same track."""
    used: Counter[tuple[int, int]] = Counter()
    shifts: list[Point] = []
    for line in lines:
        shared = [step for step in _steps(line) if used[step]]
        used.update(set(_steps(line)))
        if not shared:
            shifts.append((0, 0))
            continue
        times = max(used[step] for step in shared) - 1
        way = ASIDE * ((times + 1) // 2) * (1 if times % 2 else -1)
        # Aside of the way that most of the shared steps take.
        a, b = Counter(shared).most_common(1)[0][0]
        (row, column), (to_row, to_column) = divmod(a, frame.columns), divmod(b, frame.columns)
        down, right = to_row - row, to_column - column
        length = (down * down + right * right) ** 0.5
        shifts.append((-way * down / length, way * right / length))
    return shifts
