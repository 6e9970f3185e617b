"""
A host's sheet of wishes: one TOML file, format 1.

Everything that is wrong with it is told at once, with line, field and how to mend it.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files.fields import convert, meant
from saywhy.files.limits import MOST_BYTES
from saywhy.files.titles import plain
from saywhy.plan import windows
from saywhy.plan.cadence import WEEKDAYS, Cadence
from saywhy.plan.fields import (
    TABLES,
    CadenceFields,
    EffortFields,
    PinFields,
    RequestFields,
    RestFields,
    SheetFields,
)
from saywhy.plan.wishes import Effort, FamilyRest, Fill, Request, SetterRest, Wish
from saywhy.plan.wishes.effort import NAMES

_HEAD = re.compile(r"^\s*(\[\[?)\s*([\w-]+)\s*\]\]?")
_AT = re.compile(r"\s*\(at line (\d+), column (\d+)\)$")
#: What a host begins with, whose wishes were not written down yet.
USUAL = """\
format = 1

[cadence]
first = {first}
weekdays = ["tuesday", "friday"]
episodes = 12
gaps = true

[rest]
setter = 3
family = 1
give-way = ["setter", "family"]
"""


#: Fields that tell another file, mistaken for a sheet: what it is, and what to do with it.
_OTHER = (
    (
        "givens",
        "this is a puzzle, not a sheet of wishes",
        "Put it on the shelf, saywhy shelf add FILE, and plan without it; docs/plan.md shows a sheet",
    ),
    ("puzzle", "this is a list of puzzles, not a sheet of wishes", "Give it with --from"),
)


@dataclass(frozen=True)
class Sheet:
    """
    What a host wishes.

    Attributes:
        cadence: When episodes air.
        wishes: All wishes.
    """

    cadence: Cadence
    wishes: tuple[Wish, ...]


def usual(first: date) -> str:
    """Give the text of a sheet to begin with."""
    return USUAL.format(first=first)


def read_sheet(text: str, source: str | None = None, today: date | None = None) -> Sheet:
    """
    Read a sheet.

    Args:
        text: Its text.
        source: File name, for the error.
        today: The first day where the sheet names none.

    Raises:
        UnreadableError: Not TOML, or too long.
        NotAllowedError: It says something that is not allowed; all problems at once.
    """
    table = _parsed(text, source)
    for name, what, mend in _OTHER:
        if name in table and not table.keys() & TABLES.keys():
            raise NotAllowedError(Problem(what, mend), source)
    reader = _Reader(table, text)
    sheet = reader.sheet(today or date.today())
    if reader.problems or sheet is None:
        raise NotAllowedError(sorted(reader.problems, key=lambda held: held.line or 10**9), source)
    return sheet


def _parsed(text: str, source: str | None) -> dict[str, Any]:
    if len(text.encode("utf-8", "replace")) > MOST_BYTES:
        raise UnreadableError(Problem("the sheet is too long", f"Keep to {MOST_BYTES // 1024} KiB"), source)
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        what = str(error) if isinstance(error, ValueError) else "it is nested too deep"
        at = _AT.search(what)
        line, column = (int(at[1]), int(at[2])) if at else (None, None)
        what = plain(what[: at.start()] if at else what)[:200]
        mend = "Write name = value under [cadence], [rest], [[effort]], [[request]] or [[pin]]"
        problem = Problem(f"this is not TOML: {what[:1].lower()}{what[1:]}", mend, line=line, column=column)
        raise UnreadableError(problem, source) from None


class _Reader:
    """Turns a table into a sheet and collects what is wrong with it."""

    def __init__(self, table: dict[str, Any], text: str) -> None:
        self.table = table
        self.problems: list[Problem] = []
        self.lines = _lines(text)
        tables = {name: table.pop(name) for name in TABLES if name in table}
        _, wrong = convert(table, SheetFields, None, lambda name: self.lines.get(("", 0, name)))
        self.problems += [self._known_table(problem) for problem in wrong]
        self.held: dict[str, list[Any]] = {name: self._tables(name, tables.get(name)) for name in TABLES}

    def _known_table(self, problem: Problem) -> Problem:
        name = (problem.field or "").strip("'")
        return replace(problem, mend=meant(name, TABLES, problem.mend)) if name not in {"format"} else problem

    def _tables(self, name: str, held: object) -> list[Any]:
        kind, several = TABLES[name]
        if held is None:
            return []
        tables = held if several else [held]
        if not isinstance(tables, list) or not all(isinstance(one, dict) for one in tables):
            brackets = f"[[{name}]]" if several else f"[{name}]"
            self._wrong(f"{name} was expected as a table", f"Begin it with a line {brackets}", name, 0, "")
            return []
        found = []
        for number, one in enumerate(tables):
            owner = f"{name} {number + 1}" if several else name
            skip = one.get("skip")
            if isinstance(skip, list):  # a day may be written with quotes or without
                one["skip"] = [str(day) if type(day) is date else day for day in skip]
            fields, wrong = convert(
                one,
                kind,
                owner,
                lambda field, n=number: self.lines.get((name, n, field)),  # type: ignore[misc]
            )
            self.problems += wrong
            if fields is not None:
                found.append(fields)
        return found

    def _wrong(self, what: str, mend: str, table: str, number: int, field: str) -> None:
        several = TABLES[table][1]
        owner = f"{table} {number + 1}" if several else table
        line = self.lines.get((table, number, field)) or self.lines.get((table, number, ""))
        self.problems.append(Problem(what, mend, f"{owner}, {field}" if field else owner, line))

    def sheet(self, today: date) -> Sheet | None:
        fields: CadenceFields = (self.held["cadence"] or [CadenceFields()])[0]
        cadence = self._cadence(fields, today)
        rests: RestFields = (self.held["rest"] or [RestFields()])[0]
        wishes: list[Wish] = [Fill(firm=not fields.gaps)]
        if rests.setter:
            wishes.append(SetterRest(episodes=rests.setter, firm="setter" not in rests.give_way))
        if rests.family:
            wishes.append(FamilyRest(episodes=rests.family, firm="family" not in rests.give_way))
        wishes += [self._effort(number, held) for number, held in enumerate(self.held["effort"])]
        wishes += [self._request(number, held) for number, held in enumerate(self.held["request"])]
        wishes += [self._pin(number, held) for number, held in enumerate(self.held["pin"])]
        return None if cadence is None else Sheet(cadence, tuple(wishes))

    def _cadence(self, held: CadenceFields, today: date) -> Cadence | None:
        before = len(self.problems)
        if held.every is not None and held.weekdays is not None:
            self._wrong("both every and weekdays are there", "Keep one of them", "cadence", 0, "every")
        if held.episodes is None and held.until is None:
            self._wrong("the series has no end", "Add episodes = 24, or until = a day", "cadence", 0, "")
        numbers, wrong = weekday_numbers(held.weekdays or [])
        for name in wrong:
            mend = f"Write one of {', '.join(WEEKDAYS)}"
            self._wrong(f"{plain(name)[:40]!r} is not a weekday", mend, "cadence", 0, "weekdays")
        try:
            zone = ZoneInfo(held.zone)
        except (ValueError, OSError, KeyError):
            self._wrong(
                f"{held.zone!r} is not a time zone", "Write one such as Europe/Lisbon", "cadence", 0, "zone"
            )
            zone = ZoneInfo("UTC")
        if held.at is not None and held.at.tzinfo is not None:
            self._wrong(
                "the time has a zone of its own", "Write it as 18:00:00 and name zone", "cadence", 0, "at"
            )
        skip = [gap(days) for days in held.skip]
        for days, found in zip(held.skip, skip, strict=True):
            if found is None:
                mend = 'Write a day, or "2026-12-24 to 2027-01-02"'
                self._wrong(f"{plain(days)[:40]!r} names no days", mend, "cadence", 0, "skip")
        if len(self.problems) > before:
            return None
        first = held.first or today
        every = held.every or (None if held.weekdays else 7)
        gaps = tuple(found for found in skip if found is not None)
        return Cadence(first, every, numbers, held.episodes, held.until, held.at, zone, gaps)

    def _effort(self, number: int, held: EffortFields) -> Effort:
        for name in held.bands or []:
            if name not in NAMES:
                mend = meant(name, NAMES, f"Write any of {', '.join(NAMES)}")
                self._wrong(f"{plain(name)[:40]!r} is not a band of effort", mend, "effort", number, "bands")
        if windows.wrong_with(held.window):
            mend = f"Write one such as {', '.join(windows.FORMS)}"
            self._wrong(f"{plain(held.window)[:40]!r} names no stretch", mend, "effort", number, "in")
        says = held.least or held.most is not None or held.only or held.rest or held.goes
        if not says:
            mend = "Add least, most, only, rest or goes"
            self._wrong("it asks for nothing", mend, "effort", number, "")
        if held.most is not None and held.least > held.most:
            self._wrong("least is more than most", "Mend one of them", "effort", number, "least")
        if held.bands is None and (held.least or held.most is not None or held.only or held.rest):
            self._wrong("bands is missing", 'Add bands = ["a stroll"]', "effort", number, "")
        return Effort(
            firm=held.firm,
            bands=tuple(held.bands or NAMES),
            window=held.window,
            least=held.least,
            most=held.most,
            only=held.only,
            rest=held.rest,
            goes=held.goes,
        )

    def _request(self, number: int, held: RequestFields) -> Request:
        if bool(held.puzzle) == bool(held.setter):
            self._wrong("a puzzle or a setter was expected", "Name one of them", "request", number, "")
        if held.within is not None and held.around is None:
            mend = "Add around = a day, or remove it"
            self._wrong("within has no day to be near to", mend, "request", number, "within")
        if held.by is not None and held.not_before is not None and held.by < held.not_before:
            self._wrong("by is earlier than not-before", "Mend one of them", "request", number, "by")
        return Request(
            firm=held.firm,
            puzzle=held.puzzle,
            setter=held.setter,
            on=held.on,
            around=held.around,
            within=held.within,
            by=held.by,
            start=held.not_before,
        )

    def _pin(self, number: int, held: PinFields) -> Request:
        others: Sequence[PinFields] = self.held["pin"][:number]
        if any(other.puzzle == held.puzzle for other in others):
            self._wrong(
                f"{plain(held.puzzle)[:40]!r} is pinned twice", "Keep one pin", "pin", number, "puzzle"
            )
        return Request(puzzle=held.puzzle, on=held.on, pin=True)


def weekday_numbers(names: Sequence[str]) -> tuple[tuple[int, ...], list[str]]:
    """Give the numbers of weekdays, Monday 0, by names of three letters or more; and names that are none."""
    found, wrong = set[int](), list[str]()
    for name in names:
        near = [n for n, day in enumerate(WEEKDAYS) if len(name) > 2 and day.startswith(name.lower())]
        found |= set(near)
        wrong += [] if near else [name]
    return tuple(sorted(found)), wrong


def gap(text: str) -> tuple[date, date] | None:
    """Give the first and last of days that are skipped; None where the text names none."""
    parts = text.split(" to ")
    try:
        first, last = date.fromisoformat(parts[0]), date.fromisoformat(parts[-1])
    except ValueError:
        return None
    return (first, last) if first <= last and len(parts) <= 2 else None


def _lines(text: str) -> dict[tuple[str, int, str], int]:
    """Give the line of each field by table, number of the table and name; of the table itself by no name."""
    found: dict[tuple[str, int, str], int] = {}
    seen: dict[str, int] = {}
    table, number = "", 0
    for line, held in enumerate(text.splitlines(), 1):
        if head := _HEAD.match(held):
            table = head[2]
            number = seen.get(table, -1) + 1
            seen[table] = number
            found.setdefault((table, number, ""), line)
        elif (name := re.match(r"\s*([\w-]+)\s*=", held)) is not None:
            found.setdefault((table, number, name[1]), line)
    return found
