"""An episode: a puzzle, its path, and what the host says of both."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from urllib.parse import urlsplit
from uuid import UUID, uuid5

from saywhy.drawing.text import clean
from saywhy.errors import NotAllowedError, Problem
from saywhy.files import puzzle_id
from saywhy.publishing.messages import messages
from saywhy.puzzle import Puzzle
from saywhy.reasoning.explain import Path
from saywhy.recording.log import Recording
from saywhy.rules_text import RulesText, rules_text

#: Characters of a title or a credit that are published; what is longer ends in an ellipsis.
LONGEST = 200
LONGEST_LINK = 500
#: The name under which ids of episodes are made; never to be changed.
_SPACE = UUID("6f0f7c52-7d0b-5a6e-9d4c-2f1f4f0b8a31")


@dataclass(frozen=True, eq=False)
class Episode:
    """
    What a pack is made of.

    Attributes:
        puzzle: The puzzle.
        path: Its complete path.
        credit: The setter's credit; the puzzle file's where None.
        link: Address of the viewers' page; None where it is not known.
        blind: Whether it is solved unseen; None where that is not said.
        licence: The puzzle's licence, as its setter gave it.
        airs: When the episode airs, with its offset from UTC.
        next_date: When the next one does, in words.
        series: The name of the series.
        recording: A recorded solve, for the chapters.
        language: Language of the published texts.
    """

    puzzle: Puzzle
    path: Path
    credit: str | None = None
    link: str | None = None
    blind: bool | None = None
    licence: str | None = None
    airs: datetime | None = None
    next_date: str | None = None
    series: str | None = None
    recording: Recording | None = None
    language: str = "en"
    texts: dict[str, str] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "texts", dict(messages(self.language)))
        if not self.path.complete:
            what = f"a pack needs a path to the end, and this puzzle's verdict is {self.path.verdict}"
            raise NotAllowedError(Problem(what, "Mend the puzzle until check calls it unique"))
        if self.link is not None:
            parts = urlsplit(self.link)
            plain = self.link.isascii() and self.link.isprintable() and len(self.link) <= LONGEST_LINK
            if (
                parts.scheme not in ("http", "https")
                or not parts.netloc
                or not plain
                or set(self.link) & set(' <>"')
            ):
                raise NotAllowedError(
                    Problem("the link is not a web address", "Write it as https://example.org/page", "--link")
                )
        if self.airs is not None and self.airs.tzinfo is None:
            raise NotAllowedError(
                Problem("the time of airing has no offset", "Write it as 2026-12-01T18:00+00:00", "--airs")
            )

    @property
    def title(self) -> str:
        """The title as it is published."""
        return shortened(self.puzzle.title) or self.texts["untitled"]

    @property
    def setter(self) -> str:
        """The setter's credit as it is published; may be empty."""
        return shortened(self.puzzle.setter if self.credit is None else self.credit)

    @property
    def by(self) -> str:
        """The credit as a clause; empty where there is none."""
        return self.texts["by"].format(setter=self.setter) if self.setter else ""

    @cached_property
    def rules(self) -> RulesText:
        """The rules as text."""
        return rules_text(self.puzzle)

    @cached_property
    def name(self) -> str:
        """The puzzle's SHA-256."""
        return puzzle_id(self.puzzle)

    @cached_property
    def uuid(self) -> UUID:
        """An id that stays the same when title, credit or time change."""
        return uuid5(_SPACE, self.name)

    @cached_property
    def solution(self) -> tuple[int, ...]:
        """The filled grid, one digit a cell."""
        digits = list(self.puzzle.givens)
        for told in self.path.steps:
            for cell, digit in told.step.places.items():
                digits[cell] = digit
        return tuple(digits)


def shortened(words: str, most: int = LONGEST) -> str:
    """Give a stranger's text cleaned and of bounded length."""
    text = clean(words[: 4 * most])
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
