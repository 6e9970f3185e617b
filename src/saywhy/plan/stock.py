"""What there is to plan with: puzzles, and episodes that were planned, recorded or published."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal
from zoneinfo import ZoneInfo

from saywhy.plan.cadence import Cadence
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
    aired = _aired(stock.episodes, cadence.zone)
    taken = {day for day, _ in aired}
    days = [day for day in cadence.days() if day >= today and day not in taken]
    last = max((*days, today))
    aired = [(day, name) for day, name in aired if day <= last][-LOOK_BACK:]
    entries = sorted([*((day, None) for day in days), *aired], key=lambda held: (held[0], held[1] or ""))
    used = {held.puzzle for held in stock.episodes if held.state != "planned"}
    shown = {name for _, name in aired}
    puzzles = tuple(held for held in stock.puzzles if held.name not in used or held.name in shown)
    numbers = {held.name: number for number, held in enumerate(puzzles)}
    withheld = dict(stock.withheld)
    for held in stock.episodes:
        if held.state != "planned" and held.puzzle not in numbers:
            day = held.day(cadence.zone)
            withheld[held.puzzle] = f"it was {held.state} already" + (f", {day_words(day)}" if day else "")
    planned = [held for held in stock.episodes if held.state == "planned" and held.puzzle in numbers]
    series = Series(
        puzzles,
        tuple(cadence.slot(day) for day, _ in entries),
        {
            slot: numbers[name]
            for slot, (_, name) in enumerate(entries)
            if name is not None and name in numbers
        },
        {} if fresh else {numbers[held.puzzle]: day for held in planned if (day := held.day(cadence.zone))},
        withheld,
        cadence.first,
        None if any(day < cadence.first for day, _ in aired) else cadence.before(),
        cadence.after(last),
    )
    return series, (*sheet.wishes, *_pins(planned, sheet, cadence, today))


def _aired(episodes: Iterable[Standing], zone: ZoneInfo) -> list[tuple[date, str]]:
    return sorted(
        (day, held.puzzle)
        for held in episodes
        if held.state != "planned" and (day := held.day(zone)) is not None
    )


def _pins(planned: Iterable[Standing], sheet: Sheet, cadence: Cadence, today: date) -> list[Wish]:
    """Give the pins of episodes that the sheet does not pin elsewhere."""
    said = {wish.puzzle for wish in sheet.wishes if isinstance(wish, Request) and wish.pin}
    found: list[Wish] = []
    for held in planned:
        day = held.day(cadence.zone)
        if held.pinned and held.puzzle not in said and day is not None and day >= today:
            found.append(Request(puzzle=held.puzzle, on=day, pin=True))
    return found
