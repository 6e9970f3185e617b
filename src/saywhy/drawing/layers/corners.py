"""Plates with digits where four cells meet."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame
from saywhy.drawing.pen import Pen, ring
from saywhy.drawing.text import STRONG
from saywhy.shapes import Corner

RADIUS = 0.25
#: Smallest height of figures, in page units.
SMALLEST = 5.2
LINE = 0.026


def draw(pen: Pen, frame: Frame, corners: Sequence[tuple[Drawn, Corner]]) -> None:
    """Draw all plates on corners; more than two digits stand in two rows."""
    unit = frame.unit
    for item, corner in corners:
        at = frame.corner(max(corner.cells))
        parts = corner.text.split() if " " in corner.text else list(corner.text)
        per_row = len(parts) if len(parts) <= 2 else (len(parts) + 1) // 2
        rows = [parts[k : k + per_row] for k in range(0, len(parts), per_row)]
        with pen.group("clue corner", **item.data):
            radius = RADIUS * unit * min(frame.small, 1.2)
            pen.path(ring(at, radius), fill="paper", stroke="ink", width=LINE * unit, name="plate")
            lines = [" ".join(row) for row in rows]
            height = max((0.19 if len(rows) == 1 else 0.16) * unit * frame.small, SMALLEST)
            size = height / STRONG.figure
            widest = max((STRONG.width(line, size) for line in lines), default=0)
            room = 1.62 * radius if len(rows) == 1 else 1.36 * radius
            if widest > room:
                size, height = size * room / widest, height * room / widest
            for place, line in enumerate(lines):
                down = (place - (len(lines) - 1) / 2) * (height + 0.035 * unit)
                pen.text((at[0], at[1] + down), line, STRONG, size, name="corner-text")
