"""A board in three plates laid over one another: what is printed is drawn once for many states of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from saywhy.drawing import laying
from saywhy.drawing.board import PAD, cell_unit
from saywhy.drawing.collect import collect, of_kind
from saywhy.drawing.geometry import Frame
from saywhy.drawing.halos import NARROW, halos
from saywhy.drawing.layers import digits as digits_layer
from saywhy.drawing.layers import grid_lines, outside
from saywhy.drawing.layers import marks as marks_layer
from saywhy.drawing.pen import Pen
from saywhy.drawing.theme import ThemeName
from saywhy.drawing.theme import theme as theme_named
from saywhy.marks import Mark
from saywhy.puzzle import Puzzle
from saywhy.shapes import Outside


class Plates:
    """
    The plates of one puzzle, without heading and key.

    Attributes:
        size: Width and height of each plate, page units; as ``board_svg`` has them.
        printed: The plate in the middle, an SVG: surfaces, grid, lines and what stands outside.
    """

    def __init__(self, puzzle: Puzzle, theme: ThemeName = "light") -> None:
        drawn = collect(puzzle)
        n, unit = puzzle.grid.size, cell_unit(puzzle.grid.size)
        slots = outside.slots(of_kind(drawn, Outside), n)
        above, right, below, left = outside.margins(slots, n)
        self.size = (
            ceil((n + left + right) * unit + 2 * PAD),
            ceil(PAD + (n + above + below) * unit + PAD),
        )
        self._puzzle = puzzle
        self._theme = theme_named(theme)
        self._frame = Frame(n, n, unit, PAD + left * unit, PAD + above * unit)
        self._halos = halos(drawn, puzzle.grid)
        pen = Pen(self._theme)
        laying.draw_under(pen, self._frame, drawn)
        grid_lines.draw_fine(pen, self._frame)
        grid_lines.draw_strong(pen, self._frame, puzzle.grid)
        laying.draw_over(pen, self._frame, drawn)
        outside.draw(pen, self._frame, slots)
        self.printed = self._svg(pen)

    def under(self, marks: Sequence[Mark]) -> str:
        """Give the plate that lies lowest: the sheet and the washes of the marks."""
        pen = Pen(self._theme)
        wide, tall = self.size
        pen.path(f"M0 0h{wide}v{tall}h-{wide}Z", fill="paper")
        marks_layer.draw_washes(pen, self._frame, marks)
        return self._svg(pen)

    def over(self, marks: Sequence[Mark], digits: Mapping[int, int]) -> str:
        """Give the plate that lies on top: the frames of the marks, and all digits."""
        pen = Pen(self._theme)
        marks_layer.draw_frames(pen, self._frame, marks)
        hatched = {cell for mark in marks if mark.role == "because" for cell in mark.cells}
        under = dict.fromkeys(hatched, NARROW) | self._halos
        washed = marks_layer.washed(marks)
        digits_layer.draw(pen, self._frame, self._puzzle, digits, under, washed)
        return self._svg(pen)

    def _svg(self, pen: Pen) -> str:
        wide, tall = self.size
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {tall}" '
            f'width="{wide}" height="{tall}">\n{pen.svg()}</svg>\n'
        )
