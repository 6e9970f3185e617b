"""What is planned: candidates, slots, and what stands already. Plain values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

#: What stands in each slot: the number of a candidate, or None where nothing does.
Line = tuple[int | None, ...]


@dataclass(frozen=True)
class Candidate:
    """
    A puzzle that may air, or that has.

    Attributes:
        name: What wishes call it, such as ``p12``.
        title: Its title; may be empty.
        setter: Its setter's name; empty where nobody is named.
        families: The families of its rules.
        band: The band of its effort in plain words; None where it is not known.
        minutes: How long it is likely to take, minutes; None where it is not known.
        received: The day that it came.
    """

    name: str
    title: str = ""
    setter: str = ""
    families: frozenset[str] = frozenset()
    band: str | None = None
    minutes: float | None = None
    received: date | None = None

    @property
    def called(self) -> str:
        """What to call it in a sentence."""
        return self.title or self.name


@dataclass(frozen=True)
class Slot:
    """
    One place in the series.

    Attributes:
        day: The day that it airs, in the host's zone.
        at: The moment, with its zone; None where the time of day is not said.
    """

    day: date
    at: datetime | None = None


@dataclass(frozen=True)
class Series:
    """
    A series that has slots to fill.

    Attributes:
        candidates: All puzzles; those in ``fixed`` cannot air again.
        slots: In the order in which they air.
        fixed: Slots of episodes that were recorded or published, and of which candidate.
        planned: The days of an earlier plan, by candidate.
        fresh: Whether the earlier plan is no reason to leave anything where it is.
        withheld: Puzzles that cannot be planned, by name, and why, as the end of a sentence.
        opens: The first day of the cadence.
        lost: Days of the cadence that have gone by without an episode.
        day_before: The day that the cadence would have had before its first, where that is no part of the
            series: its month and week are not whole. None where the series was running already.
        next_day: The day of the slot that would follow the last.
    """

    candidates: tuple[Candidate, ...]
    slots: tuple[Slot, ...]
    fixed: Mapping[int, int] = field(default_factory=dict)
    planned: Mapping[int, date] = field(default_factory=dict)
    fresh: bool = False
    withheld: Mapping[str, str] = field(default_factory=dict)
    opens: date = date.min
    lost: int = 0
    day_before: date | None = None
    next_day: date | None = None

    @property
    def free(self) -> tuple[int, ...]:
        """The slots that are to be filled."""
        return tuple(slot for slot in range(len(self.slots)) if slot not in self.fixed)

    @property
    def open(self) -> tuple[int, ...]:
        """The candidates that can be placed."""
        gone = set(self.fixed.values())
        return tuple(number for number in range(len(self.candidates)) if number not in gone)

    def slot_of(self, day: date) -> int | None:
        """Give the slot of a day; None where no episode airs on it."""
        return next((slot for slot, held in enumerate(self.slots) if held.day == day), None)

    def number(self, name: str) -> int | None:
        """Give the candidate of a name, or of a title that only one has; None if there is none."""
        named = [number for number, held in enumerate(self.candidates) if held.name == name]
        if not named:
            named = [number for number, held in enumerate(self.candidates) if held.title == name]
        return named[0] if len(named) == 1 else None

    def by_setter(self, setter: str) -> frozenset[int]:
        """Give the candidates of a setter."""
        return frozenset(number for number, held in enumerate(self.candidates) if held.setter == setter)


def day_words(day: date) -> str:
    """Give a day as people write it: ``Tue 1 Dec 2026``."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def span_words(days: Sequence[date]) -> str:
    """Give the first and the last of some days: ``1 to 24 Dec 2026``."""
    first, last = min(days), max(days)
    if first == last:
        return day_words(first)
    left = f"{first.day}"
    if (first.year, first.month) != (last.year, last.month):
        left += f" {_MONTHS[first.month - 1]}" + (f" {first.year}" if first.year != last.year else "")
    return f"{left} to {last.day} {_MONTHS[last.month - 1]} {last.year}"


def days_words(days: Sequence[date]) -> str:
    """List days in order, each month and year once: ``27 Nov, 1 and 4 Dec 2026``."""
    parts = []
    for day, then in zip(days, [*days[1:], None], strict=True):
        month = then is None or (then.year, then.month) != (day.year, day.month)
        year = then is None or then.year != day.year
        parts.append(
            f"{day.day}" + (f" {_MONTHS[day.month - 1]}" if month else "") + (f" {day.year}" if year else "")
        )
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def month_words(day: date) -> str:
    """Give a day's month: ``December 2026``."""
    return f"{_LONG[day.month - 1]} {day.year}"


_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_LONG = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
