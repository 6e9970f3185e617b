"""Stretches of a series that a wish speaks of: all of it, its first episodes, each month, some days."""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from datetime import date, timedelta

from saywhy.plan.series import Series, month_words, span_words

#: How a stretch is written; the first is the usual one.
FORMS = ("all", "first 3", "last 3", "each month", "each week", "2026-12-01 to 2027-01-05")
_ENDS = re.compile(r"(first|last) ([1-9]\d{0,3})")
_DAYS = re.compile(r"(\d{4}-\d\d-\d\d) to (\d{4}-\d\d-\d\d)")


@dataclass(frozen=True)
class Stretch:
    """
    Slots that belong together.

    Attributes:
        slots: In order.
        words: What to call it, as the end of a sentence: ``in December 2026``.
        whole: Whether the plan covers all of it; of one that it does not, a least number is not asked.
    """

    slots: tuple[int, ...]
    words: str
    whole: bool = True


def wrong_with(text: str) -> bool:
    """Say whether a text does not name a stretch."""
    if found := _DAYS.fullmatch(text):
        try:
            return date.fromisoformat(found[1]) > date.fromisoformat(found[2])
        except ValueError:
            return True
    return text not in {"all", "each month", "each week"} and not _ENDS.fullmatch(text)


def stretches(text: str, series: Series) -> list[Stretch]:
    """Give the stretches that a text names, each with at least one slot to fill."""
    count = tuple(slot for slot, held in enumerate(series.slots) if held.day >= series.opens)
    found: list[Stretch]
    if text == "each month":
        found = _each(series, lambda day: (day.year, day.month), lambda day: f"in {month_words(day)}")
    elif text == "each week":
        found = _each(series, _monday, lambda day: f"in the week of {span_words([_monday(day)])}")
    elif held := _ENDS.fullmatch(text):
        number = int(held[2])
        slots = count[: max(0, number - series.lost)] if held[1] == "first" else count[-number:]
        found = [Stretch(slots, f"in the {held[1]} {'episode' if number == 1 else f'{number} episodes'}")]
    elif held := _DAYS.fullmatch(text):
        first, last = (date.fromisoformat(part) for part in held.groups())
        slots = tuple(slot for slot, place in enumerate(series.slots) if first <= place.day <= last)
        found = [Stretch(slots, f"from {span_words([first, last])}")]
    else:
        found = [Stretch(count, "in the whole plan")]
    free = set(series.free)
    return [stretch for stretch in found if free & set(stretch.slots)]


def _each(series: Series, key: Callable[[date], Hashable], words: Callable[[date], str]) -> list[Stretch]:
    groups: dict[Hashable, list[int]] = {}
    for slot, held in enumerate(series.slots):
        groups.setdefault(key(held.day), []).append(slot)
    before = None if series.day_before is None else key(series.day_before)
    after = None if series.next_day is None else key(series.next_day)
    return [
        Stretch(tuple(slots), words(series.slots[slots[0]].day), name not in (before, after))
        for name, slots in groups.items()
    ]


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())
