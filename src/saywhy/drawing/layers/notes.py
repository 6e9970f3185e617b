"""The digits that a cell may still hold, in small figures along its lower edge."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from math import ceil

from saywhy.drawing.geometry import Frame
from saywhy.drawing.pen import Pen
from saywhy.drawing.text import PLAIN
from saywhy.grid import Grid

HEIGHT = 0.15
#: At most this many in a row: of one digit, and of up to two.
ACROSS = 5
ACROSS_TWO = 4
#: Width of a full row, in cell widths.
SPREAD = 0.75
#: Smallest step from row to row, in heights of the figures.
LEADING = 1.38


def draw(
    pen: Pen, frame: Frame, grid: Grid, notes: Mapping[int, Iterable[int]], filled: Collection[int]
) -> None:
    """
    Draw the notes of every cell that holds no digit.

    Args:
        pen: The pen.
        frame: The grid on the page.
        grid: The grid.
        notes: Digits by cell, in any order.
        filled: Cells that hold a digit.
    """
    unit = frame.unit
    across = ACROSS if grid.size < 10 else ACROSS_TWO
    height = HEIGHT * unit * (1 if grid.size < 10 else 0.86)
    for cell in sorted(set(notes) - set(filled)):
        digits = sorted(set(notes[cell]))
        if not digits:
            continue
        lines = ceil(len(digits) / across)
        # The last row is full; what is left over stands above it.
        rows = [
            digits[max(0, len(digits) - across * (k + 1)) : len(digits) - across * k] for k in range(lines)
        ]
        x, y = frame.centre(cell)
        for place, row in enumerate(rows):
            middle = y + unit / 2 - 0.125 * unit - height / 2 - place * LEADING * height
            step = SPREAD * unit / across
            for order, digit in enumerate(row):
                pen.text(
                    (x + (order - (len(row) - 1) / 2) * step, middle),
                    str(digit),
                    PLAIN,
                    height / PLAIN.figure,
                    fill="note",
                    halo="paper",
                    halo_width=0.03 * unit,
                    name="note",
                    data_cell=grid.name(cell),
                )
