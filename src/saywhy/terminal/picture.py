"""A picture of a puzzle's board, as it begins or at a step of its path."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, cast

from saywhy.errors import NotAllowedError, Problem
from saywhy.marks import Mark, Role
from saywhy.puzzle import Puzzle

if TYPE_CHECKING:
    from saywhy.drawing import ThemeName

#: Width of a PNG in pixels: sharp on a full high-definition frame.
WIDTH_PX = 1600
KINDS = (".svg", ".png")


def write_picture(puzzle: Puzzle, out: Path, *, dark: bool = False, step: int | None = None) -> None:
    """
    Write a picture of the board.

    Args:
        puzzle: The puzzle.
        out: Where to; its ending, one of ``KINDS``, says which kind.
        dark: Light lines on a dark ground.
        step: Number of the step of the path to show, from 1, with the digits that are there by then; None
            for the board as it begins, which spoils nothing.

    Raises:
        NotAllowedError: There is no such step, or the picture cannot be written.
    """
    from saywhy.drawing import board_png, board_svg

    theme: ThemeName = "dark" if dark else "light"
    if step is None:
        svg = board_svg(puzzle, theme=theme)
    else:
        digits, marks = _at_step(puzzle, step)
        svg = board_svg(puzzle, theme=theme, marks=marks, digits=digits)
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        if out.suffix.lower() == ".svg":
            out.write_text(svg, encoding="utf-8")
        else:
            out.write_bytes(board_png(svg, WIDTH_PX))
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        problem = Problem(f"the picture cannot be written: {reason}", "Name another file or folder")
        raise NotAllowedError(problem, str(out)) from error


def _at_step(puzzle: Puzzle, number: int) -> tuple[dict[int, int], list[Mark]]:
    """Give the digits placed up to a step, this one included, and what its sentence points at."""
    from saywhy.reasoning import explain

    path = explain(puzzle)
    if number > len(path.steps):
        what = f"there is no step {number}: the path has {len(path.steps)} steps"
        if path.verdict != "unique":
            what = f"there is no path: the puzzle's verdict is {path.verdict}"
        raise NotAllowedError(Problem(what, "Name a step that explain shows, or none", "step"))
    steps = path.steps[:number]
    digits = {cell: digit for told in steps for cell, digit in told.step.places.items()}
    return digits, [Mark(lit.group, lit.cells, cast(Role, lit.role)) for lit in steps[-1].told.marks]
