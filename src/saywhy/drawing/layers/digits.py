"""Givens in bold roman; digits that a solver placed in plain sans: the two differ in shape and in ink."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from saywhy.drawing.geometry import Frame
from saywhy.drawing.pen import Pen
from saywhy.drawing.text import BOLD, PLAIN, Face
from saywhy.puzzle import Puzzle

#: Height of the figures in cell widths: up to size 9; above it; and numbers of two figures.
HEIGHT = 0.47
HEIGHT_LARGE = 0.42
HEIGHT_TWO = 0.35


def draw(  # noqa: PLR0913, PLR0917
    pen: Pen,
    frame: Frame,
    puzzle: Puzzle,
    placed: Mapping[int, int],
    halos: Mapping[int, float],
    washed: Collection[int] = (),
) -> None:
    """
    Draw all digits.

    Args:
        pen: The pen.
        frame: The grid on the page.
        puzzle: Its givens are drawn.
        placed: Digit by cell; where there is a given, the given stays.
        halos: Paper kept around a digit by cell, in cell widths, where something lies beneath it.
        washed: Cells in a wash, whose colour the halo has there.
    """
    usual = HEIGHT if puzzle.grid.size < 10 else HEIGHT_LARGE
    for cell, digit, face, ink, name in _all(puzzle, placed):
        height = (usual if digit < 10 else HEIGHT_TWO) * frame.unit
        pen.text(
            frame.centre(cell),
            str(digit),
            face,
            height / face.figure,
            fill=ink,
            halo=("look" if cell in washed else "paper") if cell in halos else None,
            halo_width=halos.get(cell, 0.0) * frame.unit,
            name=name,
            data_cell=puzzle.grid.name(cell),
        )


def _all(puzzle: Puzzle, placed: Mapping[int, int]) -> Iterator[tuple[int, int, Face, str, str]]:
    for cell in puzzle.grid.cells:
        if puzzle.givens[cell]:
            yield cell, puzzle.givens[cell], BOLD, "ink", "given"
        elif placed.get(cell):
            yield cell, placed[cell], PLAIN, "placed", "placed"
