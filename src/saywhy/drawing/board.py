"""The board: one self-contained SVG from a puzzle."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil
from xml.sax.saxutils import quoteattr

from saywhy.drawing import laying
from saywhy.drawing.alt_text import describe
from saywhy.drawing.collect import Drawn, collect, of_kind
from saywhy.drawing.geometry import Frame
from saywhy.drawing.halos import NARROW, halos
from saywhy.drawing.key import ground_rule, key_entries
from saywhy.drawing.layers import digits as digits_layer
from saywhy.drawing.layers import grid_lines, heading, outside
from saywhy.drawing.layers import key as key_layer
from saywhy.drawing.layers import marks as marks_layer
from saywhy.drawing.layers import notes as notes_layer
from saywhy.drawing.pen import Pen, number
from saywhy.drawing.text import clean
from saywhy.drawing.theme import ThemeName
from saywhy.drawing.theme import theme as theme_named
from saywhy.language import ENGLISH, Language
from saywhy.marks import Mark
from saywhy.puzzle import Puzzle
from saywhy.shapes import Outside

PAD = 30.0
BESIDE = 34.0
#: How much taller than the grid a key may be before it is set wider.
TALLER = 1.12
#: Width at which a board is set, and the least and largest cell.
WHOLE = 576
LEAST, LARGEST = 40, 84


def cell_unit(size: int) -> float:
    """Give the width of a cell in page units: boards of all sizes come out about equally wide."""
    return float(min(max(WHOLE // size, LEAST), LARGEST))


def board_svg(  # noqa: PLR0913
    puzzle: Puzzle,
    *,
    theme: ThemeName = "light",
    marks: Sequence[Mark] = (),
    digits: Mapping[int, int] | None = None,
    notes: Mapping[int, Iterable[int]] | None = None,
    key: bool = True,
    title: bool = True,
    language: Language = ENGLISH,
) -> str:
    """
    Draw a puzzle.

    Args:
        puzzle: The puzzle, whose rules must be allowed on its grid.
        theme: ``light``, ``dark`` or ``grey``.
        marks: The lit groups of a reasoning step.
        digits: Digits that a solver placed, by cell.
        notes: Digits that a cell may still hold, by cell.
        key: Whether the rules are listed beside the grid.
        title: Whether title and credit stand above it.
        language: The language of key, credit and description.

    Returns:
        A complete SVG; the same for the same input. Every element carries its colours as attributes and
        their tokens as classes (``theme_css``); it holds no script, style sheet, id or reference.
    """
    drawn = collect(puzzle)
    slots = outside.slots(of_kind(drawn, Outside), puzzle.grid.size)
    above, right, below, left = outside.margins(slots, puzzle.grid.size)
    size = puzzle.grid.size
    unit = cell_unit(size)
    wide, tall = (size + left + right) * unit, (size + above + below) * unit
    made_key = None
    if key:
        made_key = key_layer.setting(
            key_entries(puzzle, language), ground_rule(puzzle, language), (size + below) * unit * TALLER
        )
    width = wide + (BESIDE + made_key.whole if made_key else 0)
    head = heading.heading(puzzle, width, language) if title else None
    top = PAD + (head.height + 22 if head else 0)
    frame = Frame(size, size, unit, PAD + left * unit, top + above * unit)
    height = top + max(tall, above * unit + made_key.height if made_key else 0) + PAD
    pen = Pen(theme_named(theme))
    page = (ceil(width + 2 * PAD), ceil(height))
    pen.path(f"M0 0h{number(page[0])}v{number(page[1])}h-{number(page[0])}Z", fill="paper", name="sheet")
    if head is not None:
        with pen.group("layer heading"):
            heading.draw(pen, head, PAD, PAD - 8, width)
    _draw_board(pen, frame, puzzle, _Content(drawn, slots, marks, digits or {}, notes or {}))
    if made_key is not None:
        with pen.group("layer key"):
            key_layer.draw(pen, made_key, PAD + wide + BESIDE, top + above * unit, language)
    label = ". ".join(part.rstrip(".") for part in (clean(puzzle.title), describe(puzzle, language)) if part)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="saywhy-board" viewBox="0 0 {number(page[0])} '
        f'{number(page[1])}" width="{number(page[0])}" height="{number(page[1])}" role="img" '
        f"aria-label={quoteattr(label)}>\n{pen.svg()}</svg>\n"
    )


@dataclass(frozen=True)
class _Content:
    """What stands on the board beside the grid itself."""

    drawn: Sequence[Drawn]
    slots: Sequence[outside.Slot]
    marks: Sequence[Mark]
    digits: Mapping[int, int]
    notes: Mapping[int, Iterable[int]]


def _draw_board(pen: Pen, frame: Frame, puzzle: Puzzle, held: _Content) -> None:
    filled = {cell for cell in puzzle.grid.cells if puzzle.givens[cell] or held.digits.get(cell)}
    with pen.group("layer washes"):
        marks_layer.draw_washes(pen, frame, held.marks)
    laying.draw_under(pen, frame, held.drawn)
    with pen.group("layer grid"):
        grid_lines.draw_fine(pen, frame)
        grid_lines.draw_strong(pen, frame, puzzle.grid)
    laying.draw_over(pen, frame, held.drawn)
    with pen.group("layer outside"):
        outside.draw(pen, frame, held.slots)
    with pen.group("layer marks"):
        marks_layer.draw_frames(pen, frame, held.marks)
    with pen.group("layer notes"):
        notes_layer.draw(pen, frame, puzzle.grid, held.notes, filled)
    with pen.group("layer digits"):
        hatched = {cell for mark in held.marks if mark.role == "because" for cell in mark.cells}
        under = dict.fromkeys(hatched, NARROW) | halos(held.drawn, puzzle.grid)
        washed = marks_layer.washed(held.marks)
        digits_layer.draw(pen, frame, puzzle, held.digits, under, washed)
