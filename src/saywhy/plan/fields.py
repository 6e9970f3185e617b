"""The fields of a sheet of wishes, format 1: what it may say, before any meaning."""

from __future__ import annotations

import datetime
from typing import Annotated, Any, Literal

import msgspec
from msgspec import Meta

from saywhy.files import limits

#: Days that can be skipped, and the largest number.
MOST_SKIPS, LARGEST = 1_000, 10_000
TITLE = limits.LONGEST_TITLE


def says(expects: str, example: object, description: str, **bounds: Any) -> Meta:
    """Give the note on a field: ``expects`` is a noun phrase, ``example`` a value that is fine."""
    return Meta(description=description, examples=[example], extra={"expects": expects}, **bounds)


def _number(example: int, description: str, least: int = 0) -> Meta:
    return says(f"a whole number from {least} to {LARGEST}", example, description, ge=least, le=LARGEST)


def _text(expects: str, example: str, description: str) -> Meta:
    return says(expects, example, description, max_length=limits.LONGEST_TITLE)


Firm = Annotated[bool, says("true or false", False, "Whether a plan must keep it; false: as well as may be.")]
PINNED = Annotated[bool, says("true or false", True, "Whether the host put it there by hand.")]
Short = Annotated[str, Meta(max_length=limits.LONGEST_TITLE)]


class CadenceFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """``[cadence]``: on which days episodes air."""

    first: Annotated[datetime.date, says("a day", "2026-12-01", "The first day of the cadence.")] | None = (
        None
    )
    every: Annotated[int, _number(4, "Days from one episode to the next.", 1)] | None = None
    weekdays: (
        Annotated[
            list[Short],
            says("a list of weekdays", ["tuesday", "friday"], "Instead of ``every``.", max_length=7),
        ]
        | None
    ) = None
    episodes: Annotated[int, _number(24, "How many, skipped days left out.", 1)] | None = None
    until: Annotated[datetime.date, says("a day", "2027-03-31", "The last day, instead.")] | None = None
    at: Annotated[datetime.time, says("a time of day", "18:00:00", "Left out: days only.")] | None = None
    zone: Annotated[str, _text("the name of a time zone", "Europe/Lisbon", "Of days and times.")] = "UTC"
    skip: Annotated[
        list[Short],
        says(
            "a list of days",
            ["2026-12-25", "2026-12-24 to 2027-01-02"],
            "Days without an episode; those after them stay as they are.",
            max_length=MOST_SKIPS,
        ),
    ] = msgspec.field(default_factory=list)
    gaps: Annotated[
        bool, says("true or false", True, "Whether slots may stay empty where wishes ask for it.")
    ] = False


class RestFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """``[rest]``: for how many episodes something does not come again."""

    setter: Annotated[int, _number(3, "Episodes of others between two of one setter.")] = 0
    family: Annotated[int, _number(1, "Episodes between two with rules of one family.")] = 0
    give_way: Annotated[
        list[Literal["setter", "family"]],
        says("a list of setter and family", ["family"], "Those kept only as well as may be."),
    ] = msgspec.field(default_factory=list, name="give-way")


class EffortFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """``[[effort]]``: how the effort goes."""

    bands: (
        Annotated[
            list[Short],
            says("a list of bands of effort", ["a stroll"], "The bands it speaks of.", max_length=5),
        ]
        | None
    ) = None
    window: Annotated[str, _text("a stretch of the series", "first 3", "Where it holds.")] = msgspec.field(
        default="all", name="in"
    )
    least: Annotated[int, _number(1, "Fewest such episodes in each stretch.")] = 0
    most: Annotated[int, _number(1, "Most such episodes in each stretch.")] | None = None
    only: Annotated[bool, says("true or false", True, "Whether all episodes there are of these bands.")] = (
        False
    )
    rest: Annotated[int, _number(1, "Other episodes between two such.")] = 0
    goes: (
        Annotated[Literal["up", "down"], says('"up" or "down"', "up", "Never falls, or never rises.")] | None
    ) = None
    firm: Firm = True


class RequestFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """``[[request]]``: when a puzzle, or a setter, airs."""

    puzzle: Annotated[str, _text("a puzzle's name or title", "p12", "Which puzzle.")] = ""
    setter: Annotated[str, _text("a setter", "gulls", "Or any puzzle by this setter.")] = ""
    on: Annotated[datetime.date, says("a day", "2026-12-24", "The very day.")] | None = None
    around: Annotated[datetime.date, says("a day", "2026-12-24", "As near to it as may be.")] | None = None
    within: Annotated[int, _number(5, "Most days from ``around``.")] | None = None
    by: Annotated[datetime.date, says("a day", "2027-01-31", "The last day.")] | None = None
    not_before: Annotated[datetime.date, says("a day", "2026-12-10", "The first day.")] | None = (
        msgspec.field(default=None, name="not-before")
    )
    firm: Firm = True


class PinFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """``[[pin]]``: a puzzle that stands on a day because the host says so."""

    puzzle: Annotated[str, _text("a puzzle's name or title", "p12", "Which puzzle.")]
    on: Annotated[datetime.date, says("a day", "2026-12-24", "Its day.")]


class SheetFields(msgspec.Struct, forbid_unknown_fields=True, kw_only=True):
    """A sheet without its tables."""

    format: Annotated[int, says("the number 1", 1, "Always 1.", ge=1, le=1)]


#: The tables of a sheet by name: the struct, and whether there can be several.
TABLES: dict[str, tuple[type[msgspec.Struct], bool]] = {
    "cadence": (CadenceFields, False),
    "rest": (RestFields, False),
    "effort": (EffortFields, True),
    "request": (RequestFields, True),
    "pin": (PinFields, True),
}
