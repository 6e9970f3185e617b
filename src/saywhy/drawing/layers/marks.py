"""
The lit groups of a reasoning step, told apart without colour.

*Look* is a pale wash within a thin line, *because* is hatched within long dashes, *result* is a strong frame.
Where a role has several groups, each carries its letter on a small tab.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from saywhy.drawing.fills import fallen
from saywhy.drawing.geometry import Frame, outlines
from saywhy.drawing.pen import Pen, polyline, smooth
from saywhy.drawing.text import STRONG
from saywhy.marks import Mark

INSET = {"look": 0.04, "because": 0.04, "result": 0.055}
EDGE = {"look": "look-edge", "because": "because", "result": "result"}
TAB = 0.25


def washed(marks: Sequence[Mark]) -> frozenset[int]:
    """Give the cells that lie in a wash."""
    return frozenset(cell for mark in marks if mark.role == "look" for cell in mark.cells)


def draw_washes(pen: Pen, frame: Frame, marks: Sequence[Mark]) -> None:
    """Draw what lies under everything else: washes and hatches."""
    for mark in marks:
        with pen.group(f"mark {mark.role}", group=mark.group):
            if mark.role == "look":
                data = "".join(
                    polyline([frame.at(*at) for at in loop], closed=True)
                    for loop in outlines(mark.cells, frame.columns)
                )
                pen.path(data, fill="look", name="wash", fill_rule="evenodd")
            elif mark.role == "because":
                data = "".join(fallen(*frame.corner(cell), frame.unit, 7) for cell in sorted(set(mark.cells)))
                pen.path(
                    data, stroke="because", width=max(0.018 * frame.unit, 0.8), name="hatch", opacity=0.55
                )


def draw_frames(pen: Pen, frame: Frame, marks: Sequence[Mark]) -> None:
    """Draw what lies over the lines: borders, frames and tabs."""
    groups = Counter(role for role, _ in {(mark.role, mark.group) for mark in marks})
    taken: Counter[int] = Counter()
    for mark in marks:
        with pen.group(f"mark {mark.role}", group=mark.group):
            for loop in outlines(mark.cells, frame.columns, INSET[mark.role]):
                _border(pen, mark, smooth([frame.at(*at) for at in loop], 0.07 * frame.unit), frame.unit)
    for mark in marks:
        if groups[mark.role] > 1 and mark.cells:
            with pen.group(f"mark {mark.role}", group=mark.group):
                _tab(pen, frame, mark, taken)


def _border(pen: Pen, mark: Mark, data: str, unit: float) -> None:
    colour = EDGE[mark.role]
    if mark.role == "look":
        pen.path(data, stroke=colour, width=0.028 * unit, name="border")
    elif mark.role == "because":
        dash = f"{0.22 * unit:.2f} {0.08 * unit:.2f}"
        pen.path(data, stroke="paper", width=0.07 * unit, name="casing")
        pen.path(data, stroke=colour, width=0.038 * unit, name="border", stroke_dasharray=dash)
    else:
        pen.path(data, stroke="paper", width=0.12 * unit, name="casing")
        pen.path(data, stroke=colour, width=0.075 * unit, name="border")


def _tab(pen: Pen, frame: Frame, mark: Mark, taken: Counter[int]) -> None:
    """Draw the group's letter in the upper right corner of its first row's last cell, clear of other tabs."""
    unit = frame.unit
    row = min(mark.cells) // frame.columns
    cell = max(cell for cell in mark.cells if cell // frame.columns == row)
    x, y = frame.corner(cell)
    side = TAB * unit
    right = x + unit - 0.03 * unit - taken[cell] * (side + 0.03 * unit)
    taken[cell] += 1
    top = y + 0.03 * unit
    corners = [(right - side, top), (right, top), (right, top + side), (right - side, top + side)]
    pen.path(smooth(corners, 0.05 * unit), fill=EDGE[mark.role], name="tab")
    middle = (right - side / 2, top + side / 2 - 0.004 * unit)
    # Lower-case letters stand a little lower than figures: the middle of their own height is at the point.
    pen.text(middle, mark.group[:2], STRONG, 0.215 * unit, fill="paper", name="tab-letter")
