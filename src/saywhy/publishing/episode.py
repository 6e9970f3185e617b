"""An episode: a puzzle, its path, and what the host says of both."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from functools import cached_property
from urllib.parse import urlsplit
from uuid import UUID, uuid5

from saywhy.drawing import describe
from saywhy.drawing.text import clean
from saywhy.errors import NotAllowedError, Problem
from saywhy.files import puzzle_id
from saywhy.publishing.limits import USUAL, Limits
from saywhy.publishing.messages import Catalogue, english
from saywhy.puzzle import Puzzle
from saywhy.reasoning.explain import Path
from saywhy.recording.log import Recording
from saywhy.rules_text import RulesText, rules_text

#: Characters of a title or a credit that are published; what is longer ends in an ellipsis.
LONGEST = 200
LONGEST_LINK = 500
#: The name under which ids of episodes are made; never to be changed.
_SPACE = UUID("6f0f7c52-7d0b-5a6e-9d4c-2f1f4f0b8a31")


@dataclass(frozen=True)
class Entry:
    """
    What feed and calendar tell of an episode.

    Attributes:
        id: Its lasting id.
        title: Its title.
        by: The setter's credit as a clause; may be empty.
        airs: A time with its offset, or a day.
        link: Address of its page; None where it is not known.
        rules: The rules, a paragraph each.
        minutes: How long it lasts, as expected; None where that is not known.
    """

    id: UUID
    title: str
    by: str
    airs: date
    link: str | None
    rules: tuple[str, ...]
    minutes: float | None


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
        airs: When the episode airs: a time with its offset from UTC, or a day.
        next_date: When the next one does: a day, or words.
        series: The name of the series.
        recording: A recorded solve, for chapters and captions in its time.
        others: Further episodes of the series, for feed and calendar.
        limits: What a caption may be.
        catalogue: The published texts.
    """

    puzzle: Puzzle
    path: Path
    credit: str | None = None
    link: str | None = None
    blind: bool | None = None
    licence: str | None = None
    airs: date | None = None
    next_date: date | str | None = None
    series: str | None = None
    recording: Recording | None = None
    others: tuple[Entry, ...] = ()
    limits: Limits = USUAL
    catalogue: Catalogue = field(default_factory=english)

    def __post_init__(self) -> None:
        if not self.path.complete:
            what = f"a pack needs a path to the end, and this puzzle's verdict is {self.path.verdict}"
            raise NotAllowedError(Problem(what, "Mend the puzzle until check calls it unique"))
        if problems := [*link_problems(self.link), *airs_problems(self.airs)]:
            raise NotAllowedError(problems)

    @property
    def texts(self) -> Mapping[str, str]:
        """The pack's own published texts by name."""
        return self.catalogue.texts

    @property
    def language(self) -> str:
        """The tag of the language of the published texts."""
        return self.catalogue.code

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
        return self.catalogue.language.say("set by {setter}", setter=self.setter) if self.setter else ""

    @cached_property
    def rules(self) -> RulesText:
        """The rules as text."""
        return rules_text(self.puzzle, self.catalogue.language)

    @cached_property
    def described(self) -> str:
        """The board in words that spoil nothing."""
        return describe(self.puzzle, self.catalogue.language)

    @cached_property
    def shown(self) -> Puzzle:
        """The puzzle with title and credit as they are published."""
        return replace(self.puzzle, title=self.title, setter=self.setter)

    @property
    def next_said(self) -> str:
        """When the next one airs, in words; may be empty."""
        if isinstance(self.next_date, date):
            return said_day(self.next_date, self.texts)
        return shortened(self.next_date or "")

    @property
    def entry(self) -> Entry | None:
        """What feed and calendar tell of it; None where it has no time of airing."""
        if self.airs is None:
            return None
        minutes = self.path.effort.minutes[1] if self.path.effort else None
        return Entry(self.uuid, self.title, self.by, self.airs, self.link, self.rules.written, minutes)

    @cached_property
    def name(self) -> str:
        """The puzzle's SHA-256."""
        return puzzle_id(self.puzzle)

    @cached_property
    def uuid(self) -> UUID:
        """An id that stays the same when title, credit or time change."""
        return episode_id(self.name)

    @cached_property
    def solution(self) -> tuple[int, ...]:
        """The filled grid, one digit a cell."""
        digits = list(self.puzzle.givens)
        for told in self.path.steps:
            for cell, digit in told.step.places.items():
                digits[cell] = digit
        return tuple(digits)


def link_problems(link: str | None) -> list[Problem]:
    """Say what is wrong with the address of a page."""
    if link is None:
        return []
    try:
        parts = urlsplit(link)
    except ValueError:
        parts = urlsplit("")
    plain = (
        link.isascii() and link.isprintable() and len(link) <= LONGEST_LINK and not set(link) & set(' <>"')
    )
    if plain and parts.scheme in ("http", "https") and parts.netloc:
        return []
    return [Problem("the link is not a web address", "Write it as https://example.org/page", "--link")]


def airs_problems(airs: date | None) -> list[Problem]:
    """Say what is wrong with a time of airing."""
    if not isinstance(airs, datetime) or airs.tzinfo is not None:
        return []
    return [Problem("the time of airing has no offset", "Write it as 2026-12-01T18:00+00:00", "--airs")]


def episode_id(name: str) -> UUID:
    """Give the lasting id of an episode by its puzzle's SHA-256."""
    return uuid5(_SPACE, name)


def said_day(day: date, texts: Mapping[str, str]) -> str:
    """Give a day as people read it."""
    month = texts["months"].split()[day.month - 1]
    return texts["day"].format(day=day.day, month=month, year=day.year)


def shortened(words: str, most: int = LONGEST) -> str:
    """Give a stranger's text cleaned and of bounded length."""
    text = clean(words[: 4 * most])
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"
