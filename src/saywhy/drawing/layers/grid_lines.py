"""The grid: fine rules between cells, strong ones between regions, and the frame."""

from __future__ import annotations

from itertools import groupby

from saywhy.drawing.geometry import Frame
from saywhy.drawing.pen import Pen, number
from saywhy.grid import Grid

FINE = 0.016
STRONG = 0.05
FRAME = 0.07


def draw_fine(pen: Pen, frame: Frame) -> None:
    """Draw the fine rules inside the frame."""
    across = "".join(
        f"M{number(frame.left)} {number(frame.at(row, 0)[1])}h{number(frame.width)}"
        for row in range(1, frame.rows)
    )
    down = "".join(
        f"M{number(frame.at(0, column)[0])} {number(frame.top)}v{number(frame.height)}"
        for column in range(1, frame.columns)
    )
    pen.path(across + down, stroke="rule", width=max(FINE * frame.unit, 0.9), name="fine")


def draw_strong(pen: Pen, frame: Frame, grid: Grid) -> None:
    """Draw the borders of regions and the frame."""
    pen.path(_borders(frame, grid), stroke="ink", width=STRONG * frame.unit, name="regions")
    edge = FRAME * frame.unit
    x, y = frame.left, frame.top
    pen.path(
        f"M{number(x)} {number(y)}h{number(frame.width)}v{number(frame.height)}h-{number(frame.width)}Z",
        stroke="ink",
        width=edge,
        stroke_linejoin="miter",
        name="frame",
    )


def _borders(frame: Frame, grid: Grid) -> str:
    if grid.regions is None:
        return ""
    n, regions, half = grid.size, grid.regions, STRONG * frame.unit / 2
    parts = []
    for line in range(1, n):
        across = [regions[(line - 1) * n + k] != regions[line * n + k] for k in range(n)]
        down = [regions[k * n + line - 1] != regions[k * n + line] for k in range(n)]
        for begin, length in _runs(across):
            x, y = frame.at(line, begin)
            parts.append(f"M{number(x - half)} {number(y)}h{number(length * frame.unit + 2 * half)}")
        for begin, length in _runs(down):
            x, y = frame.at(begin, line)
            parts.append(f"M{number(x)} {number(y - half)}v{number(length * frame.unit + 2 * half)}")
    return "".join(parts)


def _runs(flags: list[bool]) -> list[tuple[int, int]]:
    """Give first place and length of each run of True."""
    runs, place = [], 0
    for flag, held in groupby(flags):
        length = len(list(held))
        if flag:
            runs.append((place, length))
        place += length
    return runs
