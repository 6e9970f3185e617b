"""What stands on the shelf, as plain values; JSON of each is what files of an export hold."""

from __future__ import annotations

from enum import StrEnum
from typing import Any, Literal

import msgspec

from saywhy.files import read_text
from saywhy.puzzle import Puzzle

Verdict = Literal["unique", "none", "many", "undecided"]
How = Literal["blind", "rehearsed"]
Kind = Literal["puzzle", "setter", "episode"]


class Permission(StrEnum):
    """What a setter has said to airing."""

    NOT_ASKED = "not-asked"
    ASKED = "asked"
    GRANTED = "granted"
    REFUSED = "refused"


class State(StrEnum):
    """How far an episode has come."""

    PLANNED = "planned"
    RECORDED = "recorded"
    PUBLISHED = "published"


class Value(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """
    A row of the shelf.

    Attributes:
        id: Its number; never given twice, also after it is gone.
        added: When it came here, RFC 3339, UTC.
    """

    id: int
    added: str


class Setter(Value, frozen=True, kw_only=True):
    """
    Who sets puzzles.

    Attributes:
        credit: The credit line as it is published.
        called: The name that they like to be called by; empty where the credit is that.
        contact: How they are reached.
        standing: What they said once for whatever they send.
        standing_on: The day of it, ``2026-11-25``.
        standing_words: Their words.
        remarks: The host's own.
    """

    credit: str
    called: str = ""
    contact: str = ""
    standing: Permission = Permission.NOT_ASKED
    standing_on: str | None = None
    standing_words: str = ""
    remarks: str = ""

    @property
    def name(self) -> str:
        """What to call them."""
        return self.called or self.credit


class ShelfPuzzle(Value, frozen=True, kw_only=True):
    """
    A puzzle on the shelf.

    Attributes:
        setter: Number of its setter; None where nobody is named.
        title: Its title; may be empty.
        text: Its file as it came: it reads, and holds this one puzzle.
        identity: SHA-256 of its canonical text.
        same: Key that it shares with itself turned, mirrored or relabelled; None where not worked out.
        near: Key that it shares with puzzles of the same shapes.
        size: Rows of the grid.
        rules: Names of its rules, each once.
        verdict: None where it was not judged.
        effort: The profile as ``check --json`` prints it; None where there is none.
        licence: Its licence, as the setter gave it.
        source: The file or mail that it came in.
        received: The day that it came.
        permission: What its setter has said to airing this one.
        permission_on: The day of it.
        permission_words: Their words.
        remarks: The host's own.
        cleared: Whether it may air: its own permission, or else its setter's standing one, is granted.
    """

    setter: int | None = None
    title: str = ""
    text: str
    identity: str
    same: str | None = None
    near: str | None = None
    size: int
    rules: list[str] = []
    verdict: Verdict | None = None
    effort: dict[str, Any] | None = None
    licence: str = ""
    source: str = ""
    received: str
    permission: Permission = Permission.NOT_ASKED
    permission_on: str | None = None
    permission_words: str = ""
    remarks: str = ""
    cleared: bool = False

    @property
    def puzzle(self) -> Puzzle:
        """The puzzle itself."""
        return read_text(self.text)[0]

    @property
    def band(self) -> str | None:
        """The band of its effort in plain words."""
        return None if self.effort is None else str(self.effort["band"])


class ShelfEpisode(Value, frozen=True, kw_only=True):
    """
    An episode.

    Attributes:
        puzzle: Number of its puzzle.
        airs: When it airs: a day, or RFC 3339 with its offset; None where it was recorded without a plan.
        how: Solved blind or rehearsed; known once it is recorded.
        title: Its own title; empty where the puzzle's is that.
        link: Where it can be seen.
        pinned: Whether a plan must leave it where it is.
    """

    puzzle: int
    state: State
    airs: str | None = None
    how: How | None = None
    title: str = ""
    link: str = ""
    pinned: bool = False
    remarks: str = ""


class ShelfRecording(Value, frozen=True, kw_only=True):
    """
    A recorded solve.

    Attributes:
        puzzle: Number of its puzzle.
        episode: Number of its episode; None where it belongs to none.
        log: The recording itself, JSON Lines; it spoils.
        seconds: Length.
        acts: How many acts it has.
    """

    puzzle: int
    episode: int | None = None
    log: str
    blind: bool
    started: str
    seconds: float
    acts: int


class ShelfReview(Value, frozen=True, kw_only=True):
    """
    The review of a recording.

    Attributes:
        recording: Number of the recording.
        told: What ``review --json`` prints; it spoils.
    """

    recording: int
    told: dict[str, Any]


class Judged(msgspec.Struct, frozen=True, kw_only=True):
    """What is known of a puzzle that was judged; as the fields of ``ShelfPuzzle``."""

    verdict: Verdict | None = None
    effort: dict[str, Any] | None = None
    same: str | None = None
    near: str | None = None


class Said(msgspec.Struct, frozen=True, kw_only=True):
    """
    A word on airing.

    Attributes:
        permission: The answer.
        on: The day of it.
        words: In which words; needed where it is granted.
    """

    permission: Permission
    on: str | None = None
    words: str = ""
