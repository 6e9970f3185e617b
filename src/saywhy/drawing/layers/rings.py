"""Rings around one digit, and pills around several; never filled."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.drawing.caps import RING
from saywhy.drawing.collect import Drawn
from saywhy.drawing.geometry import Frame, outlines
from saywhy.drawing.pen import Pen, ring, smooth
from saywhy.shapes import Ring

EDGE = 0.042
CASING = 0.09
#: Length of a dash and of the gap after it.
DASH = (0.11, 0.07)


def draw_casings(pen: Pen, frame: Frame, rings: Sequence[tuple[Drawn, Ring]]) -> None:
    """Keep the paper free along the rings, so that what they cross runs under them."""
    for _, held in rings:
        pen.path(_outline(frame, held), stroke="paper", width=CASING * frame.unit, name="casing")


def draw_edges(pen: Pen, frame: Frame, rings: Sequence[tuple[Drawn, Ring]]) -> None:
    """Draw the rings."""
    unit = frame.unit
    for item, held in rings:
        dashes = {"stroke_dasharray": " ".join(f"{part * unit:.2f}" for part in DASH)} if held.dashed else {}
        with pen.group("clue ring", **item.data):
            width = EDGE * unit
            pen.path(_outline(frame, held), stroke=f"ink-{held.ink}", width=width, name="edge", **dashes)


def _outline(frame: Frame, held: Ring) -> str:
    unit = frame.unit
    if len(held.cells) == 1:
        return ring(frame.centre(held.cells[0]), RING * unit)
    loops = outlines(held.cells, frame.columns, 0.5 - RING)
    return "".join(smooth([frame.at(*at) for at in loop], RING * unit) for loop in loops)
