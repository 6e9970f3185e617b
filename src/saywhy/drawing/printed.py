"""What is printed of a puzzle, for a live board: the grid with its corner at 0, 0, and the key in parts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from saywhy.drawing import laying
from saywhy.drawing.collect import collect, of_kind
from saywhy.drawing.geometry import Frame
from saywhy.drawing.halos import halos
from saywhy.drawing.key import ground_rule, key_entries
from saywhy.drawing.layers import digits, grid_lines, outside
from saywhy.drawing.layers.key import SAMPLE, TALLEST, draw_sample
from saywhy.drawing.pen import Pen, number
from saywhy.drawing.samples import Sample
from saywhy.drawing.theme import theme
from saywhy.puzzle import Puzzle
from saywhy.shapes import Outside

#: Width of a cell in page units.
UNIT = 64.0
#: Room above and below the mark of a rule in the key, page units.
CLEAR = 4.0


@dataclass(frozen=True)
class PrintedKey:
    """
    One rule of the key.

    Attributes:
        rule: Its name in files.
        title: Its name for people.
        text: One or two short sentences.
        svg: Its mark, a complete SVG.
    """

    rule: str
    title: str
    text: str
    svg: str


@dataclass(frozen=True)
class Printed:
    """
    The printed part of a live board.

    Attributes:
        svg: A complete SVG without sheet, heading and key; the grid's upper left corner is at 0, 0, and
            colours carry their tokens (``theme_css``).
        unit: Width of a cell in its units.
        margins: Room for texts above, on the right, below and on the left of the grid, in cell widths.
        halos: Paper that a digit keeps around itself, one a cell, in cell widths; 0: nothing lies beneath.
        ground: The rule of the empty grid, one sentence.
        key: The rules.
    """

    svg: str
    unit: float
    margins: tuple[float, float, float, float]
    halos: tuple[float, ...]
    ground: str
    key: tuple[PrintedKey, ...]

    def facts(self, puzzle: Puzzle) -> dict[str, Any]:
        """Give what ``board/api.js`` is told of the board in a page of one file, its picture apart."""
        above, right, below, left = self.margins
        return {
            "size": puzzle.grid.size,
            "box": puzzle.grid.box,
            "givens": puzzle.givens,
            "halos": self.halos,
            "unit": self.unit,
            "margins": {"above": above, "right": right, "below": below, "left": left},
        }

    def aspect(self, size: int) -> str:
        """Give the style rule that says how wide the board is for its height."""
        above, right, below, left = self.margins
        return f":root{{--board-aspect:{(size + left + right) / (size + above + below):.4f}}}\n"


def printed(puzzle: Puzzle) -> Printed:
    """
    Draw what is printed of a puzzle.

    Raises:
        RuleError: A rule is not allowed on its grid.
    """
    drawn = collect(puzzle)
    size = puzzle.grid.size
    texts = outside.slots(of_kind(drawn, Outside), size)
    margins = outside.margins(texts, size)
    frame = Frame(size, size, UNIT)
    under = halos(drawn, puzzle.grid)
    pen = Pen(theme("light"))
    laying.draw_under(pen, frame, drawn)
    with pen.group("layer grid"):
        grid_lines.draw_fine(pen, frame)
        grid_lines.draw_strong(pen, frame, puzzle.grid)
    laying.draw_over(pen, frame, drawn)
    with pen.group("layer outside"):
        outside.draw(pen, frame, texts)
    with pen.group("layer givens"):
        digits.draw(pen, frame, puzzle, {}, under)
    above, right, below, left = (UNIT * margin + 4 for margin in margins)
    view = (-left, -above, left + size * UNIT + right, above + size * UNIT + below)
    return Printed(
        svg=_svg(pen, view),
        unit=UNIT,
        margins=margins,
        halos=tuple(under.get(cell, 0.0) for cell in puzzle.grid.cells),
        ground=ground_rule(puzzle),
        key=tuple(
            PrintedKey(entry.rule, entry.title, entry.text, _sample(entry.sample))
            for entry in key_entries(puzzle)
        ),
    )


def _sample(held: Sample) -> str:
    pen = Pen(theme("light"))
    draw_sample(pen, held, CLEAR, CLEAR)
    return _svg(pen, (0, 0, SAMPLE + 2 * CLEAR, TALLEST + 2 * CLEAR))


def _svg(pen: Pen, view: tuple[float, float, float, float]) -> str:
    box = " ".join(number(side) for side in view)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="saywhy-board" viewBox="{box}" aria-hidden="true">'
        f"{pen.svg()}</svg>"
    )
