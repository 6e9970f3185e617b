"""One call that lays all shapes of a board, or of a sample in the key, in the order of the layers."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.drawing.collect import Drawn, of_kind
from saywhy.drawing.geometry import Frame
from saywhy.drawing.layers import areas, corners, diagonals, edges, lines, signs
from saywhy.drawing.pen import Pen
from saywhy.shapes import Area, Corner, Diagonal, Edge, Line, Ring, Sign


def draw_under(pen: Pen, frame: Frame, drawn: Sequence[Drawn]) -> None:
    """Draw what lies under the grid's rules: surfaces of areas."""
    with pen.group("layer areas"):
        areas.draw_fills(pen, frame, of_kind(drawn, Area))


def draw_over(pen: Pen, frame: Frame, drawn: Sequence[Drawn]) -> None:
    """Draw what lies over the grid's rules and under the digits."""
    with pen.group("layer diagonals"):
        diagonals.draw(pen, frame, of_kind(drawn, Diagonal))
    with pen.group("layer borders"):
        areas.draw_borders(pen, frame, of_kind(drawn, Area))
    with pen.group("layer signs"):
        signs.draw(pen, frame, of_kind(drawn, Sign))
    with pen.group("layer lines"):
        lines.draw(pen, frame, of_kind(drawn, Line), of_kind(drawn, Ring))
    with pen.group("layer labels"):
        areas.draw_labels(pen, frame, of_kind(drawn, Area), [line for _, line in of_kind(drawn, Line)])
    with pen.group("layer edges"):
        edges.draw(pen, frame, of_kind(drawn, Edge))
    with pen.group("layer corners"):
        corners.draw(pen, frame, of_kind(drawn, Corner))
