"""
The days on which a series airs, and the moments.

Source:
    RFC 5545, 3.8.5.3 (recurrence rules), by dateutil; zones and their clock changes by zoneinfo. A time
    that a change of clocks leaves out is moved on by the length of the change; of one that it brings twice
    the first is meant.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import islice
from zoneinfo import ZoneInfo

from dateutil.rrule import DAILY, WEEKLY, rrule
from dateutil.tz import resolve_imaginary

from saywhy.plan.series import Slot

UTC = ZoneInfo("UTC")
#: Most slots of a plan, and days that are looked at for them.
MOST_SLOTS = 200
MOST_DAYS = 4_000
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


@dataclass(frozen=True)
class Cadence:
    """
    When episodes air.

    Attributes:
        first: The first day that may be a slot; where days are counted, it is the first counted.
        every: Days from one slot to the next; None where weekdays are named.
        weekdays: Numbers of weekdays, Monday is 0.
        episodes: How many slots; None where ``until`` bounds them.
        until: The last day that may be a slot.
        at: The time of day; None where only days are planned.
        zone: The zone of days and times.
        skip: Days without an episode, as first and last day of each gap. A day of the cadence that is
            skipped has no slot; the days after it stay as they are.
    """

    first: date
    every: int | None = None
    weekdays: tuple[int, ...] = ()
    episodes: int | None = None
    until: date | None = None
    at: time | None = None
    zone: ZoneInfo = UTC
    skip: tuple[tuple[date, date], ...] = ()

    def days(self) -> list[date]:
        """Give the days of all slots; of too many, one more than the most."""
        count = MOST_SLOTS + 1 if self.episodes is None else min(self.episodes, MOST_SLOTS + 1)
        return list(
            islice((day for day in self._running() if self.until is None or day <= self.until), count)
        )

    def slots(self) -> list[Slot]:
        """Give all slots."""
        return [self.slot(day) for day in self.days()]

    def slot(self, day: date) -> Slot:
        """Give the slot of a day."""
        if self.at is None:
            return Slot(day)
        return Slot(day, resolve_imaginary(datetime.combine(day, self.at, self.zone)))

    def after(self, day: date) -> date | None:
        """Give the day of the cadence that would follow, as if it went on."""
        return next((held for held in self._running() if held > day), None)

    def before(self) -> date | None:
        """Give the day that the cadence would have had before its first, as if it had gone on then."""
        if self.every is not None:
            return self.first - timedelta(days=self.every)
        earlier = (self.first - timedelta(days=back) for back in range(1, 8))
        return next((day for day in earlier if day.weekday() in self.weekdays), None)

    def _running(self) -> Iterator[date]:
        start = datetime.combine(self.first, time())
        end = start + timedelta(days=min(MOST_DAYS, (date.max - self.first).days))
        rule = (
            rrule(DAILY, interval=self.every, dtstart=start, until=end)
            if self.every is not None
            else rrule(WEEKLY, byweekday=self.weekdays, dtstart=start, until=end)
        )
        for moment in rule:
            day = moment.date()
            if not any(first <= day <= last for first, last in self.skip):
                yield day
