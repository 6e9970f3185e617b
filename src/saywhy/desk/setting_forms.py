"""What the drawing page asks the live line of setting, and what it is answered."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from saywhy.desk.drafts import Draft
from saywhy.desk.picture import Picture
from saywhy.files import limits
from saywhy.setting.compose.fields import WishFields

#: Seconds that a piece of work may take; what was found by then is offered.
WORK_S = 60.0


class Question(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """
    What the drawing page asks.

    Attributes:
        n: The number of the question; answers bear it.
        ask: ``repair``, ``trim``, ``compose``, or ``stop``.
        draft: The drawing; None to stop.
        wish: How to trim.
        anew: What to compose: one more like the drawing, of its own effort or of the next band; its shapes
            as ``wished``; or what ``sketch`` says.
        wished: What is wished of new numbers on the drawing's shapes; a sketch says so in its ``[wish]``.
        sketch: The text of a sketch.
        seed: For ``compose``: another number gives other puzzles.
        solution: For ``repair`` the solution that was meant, digits row by row; empty for none.
    """

    n: int
    ask: Literal["repair", "trim", "compose", "stop"]
    draft: Draft | None = None
    wish: Literal["fewest", "pretty", "all"] = "fewest"
    solution: Annotated[str, Meta(max_length=2_000)] = ""
    anew: Literal["same", "gentler", "harder", "shapes", "sketch"] = "same"
    wished: WishFields = msgspec.field(default_factory=WishFields)
    sketch: Annotated[str, Meta(max_length=limits.MOST_BYTES)] = ""
    seed: Annotated[int, Meta(ge=0, le=2**31)] = 1


class Offer(msgspec.Struct, frozen=True, kw_only=True):
    """
    A puzzle that can be taken in place of the drawing.

    Attributes:
        title: What is done, in a few words.
        words: What is done, with cells and digits, one sentence a line.
        note: Effort and look.
        cells: What to light up, row by row from 0.
        draft: The puzzle.
        picture: How it looks.
    """

    title: str
    words: list[str]
    note: str
    cells: list[int]
    draft: Draft
    picture: Picture


class Answer(msgspec.Struct, frozen=True, kw_only=True):
    """
    What came of a piece of work.

    Attributes:
        head: The outcome in a line.
        lines: What else there is to say.
        offers: The best first.
    """

    head: str
    lines: list[str] = []
    offers: list[Offer] = []


def sentence(words: str) -> str:
    """Give words as a sentence of their own."""
    return f"{words[:1].upper()}{words[1:]}."
