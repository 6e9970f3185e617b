"""
The wishes by definition, and every plan there is: slow, and nothing shared with the planner but its values.

A line is what stands in each slot, by number, None where nothing does.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise, product
from random import Random
from typing import Any

from saywhy.plan.series import Candidate, Line, Series, Slot
from saywhy.plan.wishes import Effort, FamilyRest, Fill, Request, SetterRest, Wish
from saywhy.reasoning.profile import BANDS

NAMES = [name for _, name in BANDS]


def lines(series: Series) -> Iterator[Line]:
    """Give every line: recorded and published episodes as they are, no puzzle twice."""
    aired = set(series.fixed.values())
    others = [None, *(n for n in range(len(series.candidates)) if n not in aired)]
    choices = [[series.fixed[s]] if s in series.fixed else others for s in range(len(series.slots))]
    for line in product(*choices):
        placed = [n for n in line if n is not None]
        if len(placed) == len(set(placed)):
            yield line


def misses(series: Series, wish: Wish, line: Line) -> int:
    """Count by how much a wish is missed; 0 is kept. What aired before cannot be held against a plan."""
    days = [slot.day for slot in series.slots]
    held = [None if n is None else series.candidates[n] for n in line]
    free = [slot for slot in range(len(line)) if slot not in series.fixed]
    if isinstance(wish, Fill):
        return sum(held[slot] is None for slot in free if not wish.until or days[slot] <= wish.until)
    if isinstance(wish, SetterRest | FamilyRest):
        return _rest(series, wish, held, free)
    if isinstance(wish, Request):
        return _request(series, wish, held, days, free)
    assert isinstance(wish, Effort)
    return _effort(series, wish, held, days, free)


def _rest(
    series: Series, wish: SetterRest | FamilyRest, held: list[Candidate | None], free: list[int]
) -> int:
    def groups(one: Candidate | None) -> set[str]:
        if one is None:
            return set()
        return ({one.setter} - {""}) if isinstance(wish, SetterRest) else set(one.families)

    missed = 0
    if not wish.episodes:
        return 0
    for run in _runs(list(range(len(held))), wish.episodes + 1, wish.firm):
        if not set(run) & set(free):
            continue
        for name in sorted({name for one in series.candidates for name in groups(one)}):
            count = sum(name in groups(held[slot]) for slot in run)
            before = sum(name in groups(held[slot]) for slot in run if slot in series.fixed)
            missed += max(0, count - max(1, before))
    return missed


def _runs(slots: list[int], width: int, firm: bool) -> list[list[int]]:
    """Give the runs that have one of a group at most, of all that lie one place further each."""
    runs = [
        [slots[place] for place in range(first, first + width) if 0 <= place < len(slots)]
        for first in range(-width, len(slots))
    ]
    if firm:
        return runs[width : width + max(1, len(slots) - width + 1)]
    # Every run that covers two slots or more, and once more each two in succession: how close two of a group
    # are weighs the same wherever they are.
    two = [[slots[place], slots[place + 1]] for place in range(len(slots) - 1)]
    return [run for run in runs if len(run) > 1] + (two if width > 2 else [])


def _request(
    series: Series, wish: Request, held: list[Candidate | None], days: list[date], free: list[int]
) -> int:
    def meant(one: Candidate | None) -> bool:
        return one is not None and (one.setter == wish.setter if wish.setter else one.name == wish.puzzle)

    def fits(day: date) -> bool:
        near = wish.around is None or wish.within is None or abs((day - wish.around).days) <= wish.within
        return (
            near
            and (wish.on is None or day == wish.on)
            and (wish.by is None or day <= wish.by)
            and (wish.start is None or day >= wish.start)
        )

    missed = 0
    if wish.start is not None:
        missed += sum(meant(held[slot]) and days[slot] < wish.start for slot in free)
        if (wish.on, wish.around, wish.by) == (None, None, None):
            return missed
    return missed + (0 if any(meant(held[slot]) and fits(days[slot]) for slot in range(len(held))) else 1)


def _effort(
    series: Series, wish: Effort, held: list[Candidate | None], days: list[date], free: list[int]
) -> int:
    missed = 0
    for slots in _stretches(series, wish.window, days):
        if not set(slots) & set(free):
            continue
        among = [held[slot] for slot in slots]
        count = sum(one is not None and one.band in wish.bands for one in among)
        before = sum(
            (one := held[slot]) is not None and one.band in wish.bands
            for slot in slots
            if slot in series.fixed
        )
        missed += max(0, wish.least - count)
        missed += 0 if wish.most is None else max(0, count - max(wish.most, before))
        if wish.only:
            missed += sum(
                (one := held[slot]) is not None and one.band not in wish.bands
                for slot in slots
                if slot in free
            )
        if wish.rest:
            for run in _runs(slots, wish.rest + 1, wish.firm):
                if set(run) & set(free):
                    inside = [
                        slot for slot in run if (one := held[slot]) is not None and one.band in wish.bands
                    ]
                    stood = sum(slot in series.fixed for slot in inside)
                    missed += max(0, len(inside) - max(1, stood))
        if wish.goes is not None:
            for place, after in pairwise(slots):
                first_one, then = held[place], held[after]
                if first_one is None or then is None or not {place, after} & set(free):
                    continue
                if first_one.band is None or then.band is None:
                    continue
                low, high = NAMES.index(first_one.band), NAMES.index(then.band)
                missed += max(0, low - high if wish.goes == "up" else high - low)
    return missed


def _stretches(series: Series, window: str, days: list[date]) -> list[list[int]]:
    counted = [slot for slot, day in enumerate(days) if day >= series.opens]
    if window == "each month":
        months = sorted({(day.year, day.month) for day in days})
        return [[s for s, day in enumerate(days) if (day.year, day.month) == month] for month in months]
    word, _, number = window.partition(" ")
    if word == "first":
        return [counted[: int(number)]]
    if word == "last":
        return [counted[-int(number) :]]
    return [counted]


def random_series(random: Random, puzzles: int, slots: int, aired: int = 0) -> Series:
    """Give a small series, its first slots recorded or published."""
    first = date(2026, 12, 18) + timedelta(days=random.randrange(10))
    places = tuple(Slot(first + timedelta(days=4 * slot)) for slot in range(slots))
    candidates = tuple(
        Candidate(
            f"p{n}",
            f"Puzzle {n}",
            random.choice(["gulls", "quay cat", "low tide", ""]),
            frozenset(random.sample(["arrows", "cages", "diagonals"], random.randrange(3))),
            random.choice([*NAMES, None]),
            received=first - timedelta(days=random.randrange(1, 60)),
        )
        for n in range(puzzles)
    )
    return Series(candidates, places, {slot: slot for slot in range(aired)}, opens=first)


def random_wishes(random: Random, series: Series) -> list[Wish]:
    """Give some wishes of every kind, often more than can be kept."""
    days = [slot.day for slot in series.slots]

    def day() -> date:
        return random.choice(days) + timedelta(days=random.choice([0, 0, 0, 1, -1]))

    def request() -> Request:
        who: dict[str, Any] = (
            {"puzzle": random.choice(series.candidates).name}
            if random.random() < 0.7
            else {"setter": "gulls"}
        )
        kind = random.randrange(5)
        return [
            lambda: Request(**who, on=day(), pin="puzzle" in who and random.random() < 0.5),
            lambda: Request(**who, by=day()),
            lambda: Request(**who, start=day()),
            lambda: Request(**who, around=day(), within=random.randrange(6)),
            lambda: Request(**who),
        ][kind]()

    def effort() -> Effort:
        bands = tuple(random.sample(NAMES, random.randrange(1, 4)))
        window = random.choice(["all", "first 2", "last 2", "each month"])
        kind = random.randrange(5)
        return [
            lambda: Effort(bands=bands, window=window, least=random.randrange(1, 3)),
            lambda: Effort(bands=bands, window=window, most=random.randrange(2)),
            lambda: Effort(bands=bands, window=window, only=True),
            lambda: Effort(
                bands=bands, window=window, rest=random.randrange(1, 3), firm=random.random() < 0.5
            ),
            lambda: Effort(window=window, goes=random.choice(["up", "down"])),
        ][kind]()

    wishes: list[Wish] = [Fill()] if random.random() < 0.8 else [Fill(firm=False)]
    if random.random() < 0.7:
        wishes.append(SetterRest(episodes=random.randrange(1, 3)))
    if random.random() < 0.6:
        wishes.append(FamilyRest(episodes=1, firm=random.random() < 0.4))
    wishes += [request() for _ in range(random.randrange(3))]
    wishes += [effort() for _ in range(random.randrange(3))]
    return wishes
