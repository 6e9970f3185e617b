"""A puzzle or a setter on a day, around it, by it, or not before it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Self

from saywhy.plan.demand import Block, Demand
from saywhy.plan.series import Series, day_words
from saywhy.plan.weights import DAY_AWAY
from saywhy.plan.wishes.wish import Wish


@dataclass(frozen=True, kw_only=True)
class Request(Wish):
    """
    When something airs; a request that names no day asks that it airs at all.

    Attributes:
        puzzle: Name or title of a puzzle; empty where a setter is meant.
        setter: A setter: one of their puzzles.
        on: The very day.
        around: As near to this day as may be.
        within: Days that ``around`` may be missed by; None for any number.
        by: The last day.
        start: The first day; alone it asks for nothing but that it is not earlier.
        pin: Whether the host put it there by hand.
        called: What to call the puzzle in sentences; empty for its name.
    """

    puzzle: str = ""
    setter: str = ""
    on: date | None = None
    around: date | None = None
    within: int | None = None
    by: date | None = None
    start: date | None = None
    pin: bool = False
    called: str = ""

    @property
    def who(self) -> str:
        """Whom it is about."""
        return self.called or self.puzzle or self.setter

    @property
    def words(self) -> str:
        """What is wished."""
        who = f"a puzzle by {self.setter}" if self.setter else self.who
        if self.pin and self.on is not None:
            return f"{who} is pinned to {day_words(self.on)}"
        parts = []
        if self.on is not None:
            parts.append(f"on {day_words(self.on)}")
        if self.around is not None:
            near = "" if self.within is None else f", {self.within} days from it at most"
            parts.append(f"around {day_words(self.around)}{near}")
        if self.start is not None:
            parts.append(f"not before {day_words(self.start)}")
        if self.by is not None:
            parts.append(f"by {day_words(self.by)}")
        return f"{who} airs {' and '.join(parts) if parts else 'in this plan'}"

    @property
    def given_up(self) -> str:
        """What to do: a pin is firm or none."""
        return f"let {self.who} go from its day: take its pin out" if self.pin else super().given_up

    def _group(self, series: Series) -> frozenset[int]:
        if self.setter:
            return series.by_setter(self.setter)
        number = series.number(self.puzzle)
        return frozenset() if number is None else frozenset((number,))

    def _fits(self, day: date) -> bool:
        return (
            (self.on is None or day == self.on)
            and (self.around is None or self.within is None or abs((day - self.around).days) <= self.within)
            and (self.by is None or day <= self.by)
            and (self.start is None or day >= self.start)
        )

    @property
    def only_not_before(self) -> bool:
        """Whether it asks for nothing but that it is not too early."""
        return self.start is not None and (self.on, self.around, self.by) == (None, None, None)

    def demands(self, series: Series) -> list[Demand]:
        """Ask for one in the slots that fit, and for none in slots that are too early."""
        group, found = self._group(series), list[Demand]()
        if not self.only_not_before:
            fitting = tuple(slot for slot, held in enumerate(series.slots) if self._fits(held.day))
            words = self.words + self._hindrance(series, group, fitting)
            found.append(Demand((Block(group, fitting),), words, 1))
        if self.start is not None:
            early = tuple(slot for slot in series.free if series.slots[slot].day < self.start)
            words = f"{self.who} does not air before {day_words(self.start)}"
            if group and early:
                found.append(Demand((Block(group, early),), words, 0, 0))
        return found

    def _hindrance(self, series: Series, group: frozenset[int], fitting: tuple[int, ...]) -> str:
        """Say why it can never be kept, where that is so."""
        if not group:
            why = series.withheld.get(self.puzzle)
            if why is None:
                why = next(
                    (w for name, w in series.withheld.items() if name == self.setter), "nothing is there"
                )
            return f", but {why}"
        if fitting:
            return ""
        day = self.on or self.around or self.by
        near = sorted(series.slots, key=lambda held: abs((held.day - (day or held.day)).days))[:2]
        days = " and ".join(day_words(held.day) for held in sorted(near, key=lambda held: held.day))
        return f", but no episode airs then (the nearest: {days})"

    def looser(self, series: Series) -> list[list[tuple[str, Self]]]:
        """Let it be later, or farther from its day."""
        who = self.who
        days = [series.slots[slot].day for slot in series.free]
        rows: list[list[tuple[str, Self]]] = []
        if self.by is not None:
            later = [day for day in days if day > self.by]
            rows.append(
                [(f"let {who} air by {day_words(day)}: by = {day}", replace(self, by=day)) for day in later]
            )
        if self.start is not None:
            sooner = [day for day in reversed(days) if day < self.start]
            rows.append(
                [
                    (f"let {who} air from {day_words(day)} on: not-before = {day}", replace(self, start=day))
                    for day in sooner
                ]
            )
        middle = self.on or (self.around if self.within is not None else None)
        if middle is not None:
            near = -1 if self.on is not None else self.within or 0
            aways = sorted({away for day in days if (away := abs((day - middle).days)) > near})
            wide = replace(self, on=None, pin=False, around=middle)
            words = f"from {day_words(middle)}: around = {middle} and within ="
            rows.append(
                [
                    (
                        f"let {who} be up to {n} day{'' if n == 1 else 's'} {words} {n}",
                        replace(wide, within=n),
                    )
                    for n in aways
                ]
            )
        return rows

    def costs(self, series: Series) -> dict[tuple[int, int], int]:
        """Count the days between ``around`` and where it stands."""
        if self.around is None:
            return {}
        reach = timedelta(days=self.within if self.within is not None else 60).days
        return {
            (number, slot): DAY_AWAY * min(abs((series.slots[slot].day - self.around).days), reach)
            for number in self._group(series)
            for slot in series.free
        }
