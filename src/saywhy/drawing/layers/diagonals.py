"""The main diagonals: a fine broken line from corner to corner, under all clues."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame
from saywhy.drawing.pen import Pen, polyline
from saywhy.shapes import Diagonal


def draw(pen: Pen, frame: Frame, diagonals: Sequence[tuple[Drawn, Diagonal]]) -> None:
    """Draw the diagonals; the dashes are symmetrical about the corners of cells."""
    unit = frame.unit
    for item, diagonal in diagonals:
        rows = (0, frame.rows) if diagonal.falling else (frame.rows, 0)
        points = [frame.at(rows[0], 0), frame.at(rows[1], frame.columns)]
        dash = unit * 2**0.5 / 4
        with pen.group("clue diagonal", **item.data):
            pen.path(
                polyline(points),
                stroke="soft",
                width=max(0.024 * unit, 0.9),
                name="diagonal",
                stroke_dasharray=f"{0.6 * dash:.2f} {0.4 * dash:.2f}",
                stroke_dashoffset=0.3 * dash,
            )
