"""What there is to plan with: puzzles, and episodes that were planned, recorded or published."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import Literal
from zoneinfo import ZoneInfo

from saywhy.plan.series import Candidate, Series, day_words
from saywhy.plan.sheet import Sheet
from saywhy.plan.wishes import Request, Wish

#: Episodes before the plan that its wishes look back at.
LOOK_BACK = 100


@dataclass(frozen=True)
class Standing:
    """
    An episode that stands already.

    Attributes:
        puzzle: Name of its puzzle.
        airs: A day, or a moment with its zone; None where it is not known.
        state: How far it has come.
        pinned: Whether the host put it there by hand.
        key: What it is called where it is kept.
    """

    puzzle: str
    airs: date | datetime | None
    state: Literal["planned", "recorded", "published"]
    pinned: bool = False
    key: str = ""

    def day(self, zone: ZoneInfo) -> date | None:
        """Give the day in a zone."""
        return self.airs.astimezone(zone).date() if isinstance(self.airs, datetime) else self.airs


@dataclass(frozen=True)
class Stock:
    """
    All puzzles and episodes.

    Attributes:
        puzzles: Every puzzle that may air or has.
        withheld: Puzzles and setters that may not, by name or title, and why, as the end of a sentence.
        episodes: What stands.
    """

    puzzles: tuple[Candidate, ...]
    withheld: dict[str, str] = field(default_factory=dict)
    episodes: tuple[Standing, ...] = ()


def series_of(
    stock: Stock, sheet: Sheet, today: date, *, fresh: bool = False
) -> tuple[Series, tuple[Wish, ...]]:
    """
    Give the series that a sheet asks for, and all wishes: the sheet's, and the pins of episodes that stand.

    Args:
        stock: Puzzles and episodes.
        sheet: The sheet.
        today: Days before it are not planned any more.
        fresh: Whether to forget the earlier plan but for its pins.
    """
    cadence = sheet.cadence
    known = {held.name for held in stock.puzzles}
    aired = [(day, name) for day, name in _aired(stock.episodes, cadence.zone) if name in known]
    taken = {day for day, _ in aired}
    running = [day for day in cadence.days() if day not in taken]
    days = [day for day in running if day >= today]
    last = max(days, default=today)
    withheld = dict(stock.withheld)
    planned: list[tuple[Standing, date]] = []
    for held in stock.episodes:
        day = held.day(cadence.zone)
        if held.state != "planned":
            withheld[held.puzzle] = f"it was {held.state} already" + (f": {day_words(day)}" if day else "")
        elif day is not None and day > last:
            withheld[held.puzzle] = f"it is planned beyond this plan: {day_words(day)}"
        elif day is not None and held.puzzle in known:
            planned.append((held, day))
    pins = [day for held, day in planned if held.pinned and day >= today and day not in (*days, *taken)]
    aired = [(day, name) for day, name in aired if day <= last][-LOOK_BACK:]
    shown = {name for _, name in aired}
    gone = {held.puzzle for held in stock.episodes} - {held.puzzle for held, _ in planned} - shown
    puzzles = tuple(held for held in stock.puzzles if held.name not in gone)
    numbers = {held.name: number for number, held in enumerate(puzzles)}
    free = [(day, "") for day in sorted({*days, *pins})]
    entries = sorted([*free, *aired])
    series = Series(
        puzzles,
        tuple(cadence.slot(day) for day, _ in entries),
        {slot: numbers[name] for slot, (_, name) in enumerate(entries) if name},
        {numbers[held.puzzle]: day for held, day in planned if held.puzzle in numbers},
        fresh,
        withheld,
        cadence.first,
        len(running) - len(days),
        None if any(day < cadence.first for day, _ in aired) else cadence.before(),
        cadence.after(last),
    )
    wishes = (*sheet.wishes, *_pins(planned, sheet, today))
    return series, tuple(_named(series, wish) for wish in wishes)


def _named(series: Series, wish: Wish) -> Wish:
    """Give a wish that calls its puzzle by its title."""
    if not isinstance(wish, Request) or not wish.puzzle:
        return wish
    number = series.number(wish.puzzle)
    return wish if number is None else replace(wish, called=series.candidates[number].called)


def _aired(episodes: Iterable[Standing], zone: ZoneInfo) -> list[tuple[date, str]]:
    return sorted(
        (day, held.puzzle)
        for held in episodes
        if held.state != "planned" and (day := held.day(zone)) is not None
    )


def _pins(planned: Iterable[tuple[Standing, date]], sheet: Sheet, today: date) -> list[Wish]:
    """Give the pins of episodes that the sheet does not pin elsewhere."""
    said = {wish.puzzle for wish in sheet.wishes if isinstance(wish, Request) and wish.pin}
    return [
        Request(puzzle=held.puzzle, on=day, pin=True)
        for held, day in planned
        if held.pinned and held.puzzle not in said and day >= today
    ]
