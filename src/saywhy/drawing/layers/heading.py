"""The head of the page: title, the setter's credit, and a double rule under them."""

from __future__ import annotations

from dataclasses import dataclass

from saywhy.drawing.pen import Pen, number
from saywhy.drawing.text import BOLD, ITALIC, typeset, wrapped
from saywhy.language import ENGLISH, Language
from saywhy.puzzle import Puzzle

TITLE = 31.0
TITLE_LEADING = 37.0
CREDIT = 16.5
MOST_LINES = 2
#: Letters of a title that are looked at; more never fit.
FEW = 2000


@dataclass(frozen=True)
class Heading:
    """
    A heading set to a width.

    Attributes:
        title: Lines of the title.
        credit: The credit, set on the last title line's right or on a line of its own; may be empty.
        beside: Whether it stands on the last title line.
        height: Height with the rule below.
    """

    title: tuple[str, ...]
    credit: str
    beside: bool
    height: float


def heading(puzzle: Puzzle, width: float, language: Language = ENGLISH) -> Heading | None:
    """Set the heading; None where the puzzle has neither title nor setter."""
    title = wrapped(typeset(puzzle.title[:FEW]), BOLD, TITLE, width, MOST_LINES)
    setter = wrapped(typeset(puzzle.setter[:FEW]), ITALIC, CREDIT, width * 0.8, 1)
    credit = language.say("set by {setter}", setter=setter[0]) if setter else ""
    if not title and not credit:
        return None
    beside = False
    if title and credit:
        room = width - BOLD.width(title[-1], TITLE) - 24
        beside = len(title) == 1 and ITALIC.width(credit, CREDIT) <= room
    lines = TITLE_LEADING * len(title) + (0 if beside or not credit else 24)
    return Heading(tuple(title), credit, beside, lines + 14)


def draw(pen: Pen, held: Heading, left: float, top: float, width: float) -> None:
    """Draw a heading."""
    base = top
    for line in held.title:
        base += TITLE_LEADING
        pen.text((left, base - 9), line, BOLD, TITLE, anchor="start", centred=False, name="title")
    if held.credit:
        if held.beside:
            at, anchor = (left + width, base - 9), "end"
        else:
            base += 24
            at, anchor = (left, base - 7), "start"
        pen.text(at, held.credit, ITALIC, CREDIT, fill="soft", anchor=anchor, centred=False, name="setter")
    under = top + held.height - 8
    across = f"M{number(left)} {{}}h{number(width)}"
    pen.path(across.format(number(under)), stroke="ink", width=3.2, name="double-rule")
    pen.path(across.format(number(under + 4.6)), stroke="ink", width=0.9, name="double-rule")
