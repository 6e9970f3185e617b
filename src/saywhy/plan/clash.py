"""
Which wishes clash, and how to mend it.

A clash is a smallest set in the sense that none of its demands can be left out: the others can then all be
kept. It is found by leaving out, first whole wishes and then ever smaller parts of those that remain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from saywhy.plan.demand import Demand
from saywhy.plan.model import Model
from saywhy.plan.series import Series, span_words
from saywhy.plan.wishes import Effort, FamilyRest, Fill, Request, SetterRest, Wish

#: Work for one question, and for all of them, in the solver's unit.
QUESTION, ALL = 1.5, 20.0
#: Kinds of wish in the order in which it is tried to do without them: taste before promises.
_ORDER: tuple[type[Wish], ...] = (Effort, FamilyRest, SetterRest, Request, Fill)
#: Demands of one wish that are told.
TOLD = 6


#: Clashes that are told at most.
MOST = 4


@dataclass(frozen=True)
class Clash:
    """
    Wishes that cannot all be kept.

    Attributes:
        parts: The wishes, and of each the demands that clash.
        told: The same in words, a sentence each without a full stop.
        mends: What would do, one sentence each without a full stop: each by itself is enough; where there are
            further clashes, enough for these wishes.
        smallest: Whether it is proven that none of the demands can be left out.
        further: Whether another clash remains whichever of these wishes is given up.
        besides: Further clashes: of these, each has nothing to do with what was given up for those before it.
        together: Where there are further clashes: changes that are enough for all, taken together.
    """

    parts: tuple[tuple[Wish, tuple[Demand, ...]], ...]
    told: tuple[str, ...]
    mends: tuple[str, ...] = ()
    smallest: bool = True
    further: bool = False
    besides: tuple[Clash, ...] = ()
    together: tuple[str, ...] = ()

    @property
    def demands(self) -> list[Demand]:
        """All demands that clash."""
        return [demand for _, demands in self.parts for demand in demands]


class Asker:
    """Asks whether demands can be kept together, and counts the work; ``most`` of it is allowed."""

    def __init__(self, series: Series, most: float = ALL) -> None:
        self.series = series
        self.most = most
        self.work = 0.0
        self.sure = True

    def can_be_kept(self, demands: Sequence[Demand]) -> bool:
        """Say whether there is a line that keeps them all; what is not decided counts as yes."""
        model = Model(self.series, demands)
        for demand in demands:
            model.post(demand)
        if model.relax(()).bound is None:
            return False
        found = model.solve((), min(QUESTION, max(self.most - self.work, 0.1)))
        self.work += found.work
        self.sure = self.sure and found.status != "undecided"
        return found.status != "none"


def find_clash(series: Series, wishes: Sequence[Wish]) -> Clash | None:
    """
    Give wishes that clash, with ways to mend it; None where all firm wishes can be kept.

    Args:
        series: The series.
        wishes: All wishes; those that are not firm do not clash.
    """
    asker = Asker(series)
    firm = sorted((wish for wish in wishes if wish.firm), key=lambda wish: _ORDER.index(type(wish)))
    first = clash_of(series, firm, asker)
    if first is None:
        return None
    mends = _mends(series, firm, _places(firm, first), asker)
    if mends:
        return replace(first, mends=mends)
    found, given, left = [first], list[Wish](), list(firm)
    while len(found) < MOST and asker.work <= ALL:
        given.append(found[-1].parts[0][0])
        left = [wish for wish in left if wish is not given[-1]]
        another = clash_of(series, left, asker)
        if another is None:
            break
        found.append(another)
    else:
        given = []
    alone = []
    for clash in found:
        own = [wish for wish, _ in clash.parts]
        alone.append(replace(clash, mends=_mends(series, own, range(len(own)), asker)))
    besides, together = tuple(alone[1:]), _together(series, left, given, asker)
    return replace(alone[0], further=True, besides=besides, together=together)


def clash_of(series: Series, firm: Sequence[Wish], asker: Asker) -> Clash | None:
    """Give a clash among wishes, those that are tried to do without first at its head; None without one."""
    held = {place: wish.demands(series) for place, wish in enumerate(firm)}
    if asker.can_be_kept(_all(held)):
        return None
    for place in list(held):
        rest = {other: demands for other, demands in held.items() if other != place}
        if not asker.can_be_kept(_all(rest)):
            held = rest
    pairs = [(place, demand) for place, demands in held.items() for demand in demands]
    pairs = _fewest(pairs, asker)
    parts = {place: tuple(demand for at, demand in pairs if at == place) for place, _ in pairs}
    told = tuple(_told(series, firm[place], demands) for place, demands in parts.items())
    return Clash(tuple((firm[place], demands) for place, demands in parts.items()), told, (), asker.sure)


def _places(firm: Sequence[Wish], clash: Clash) -> list[int]:
    return [place for place, wish in enumerate(firm) if any(wish is held for held, _ in clash.parts)]


def _all(held: dict[int, list[Demand]]) -> list[Demand]:
    return [demand for demands in held.values() for demand in demands]


def _fewest(pairs: list[tuple[int, Demand]], asker: Asker) -> list[tuple[int, Demand]]:
    """Leave out what can be left out, in runs that grow ever shorter."""
    run = max(1, len(pairs) // 2)
    while True:
        place = 0
        while place < len(pairs):
            rest = pairs[:place] + pairs[place + run :]
            if not asker.can_be_kept([demand for _, demand in rest]):
                pairs = rest
            else:
                place += run
        if run == 1:
            return pairs
        run = max(1, min(run, len(pairs)) // 2)


def _mends(series: Series, wishes: Sequence[Wish], clashing: Sequence[int], asker: Asker) -> tuple[str, ...]:
    """Give for each wish of a clash the least changes that let all be kept, and what to do without it."""
    near: list[str] = []
    without: list[str] = []
    for place in clashing:
        others = [d for other, wish in enumerate(wishes) if other != place for d in wish.demands(series)]
        if not asker.can_be_kept(others):
            continue
        without.append(wishes[place].given_up)
        if asker.work <= ALL:
            rows = wishes[place].looser(series)
            near += [form[0] for row in rows if (form := _nearest(row, series, others, asker)) is not None]
    return tuple(near + without)


def _together(series: Series, kept: Sequence[Wish], given: Sequence[Wish], asker: Asker) -> tuple[str, ...]:
    """Give for each wish given up the least change of it that can be kept beside the others, one by one."""
    others = [demand for wish in kept for demand in wish.demands(series)]
    found = []
    for wish in given:
        rows = wish.looser(series) if asker.work <= ALL else []
        forms = [form for row in rows if (form := _nearest(row, series, others, asker)) is not None]
        if forms:
            others += forms[0][1].demands(series)
        found.append(forms[0][0] if forms else wish.given_up)
    return tuple(found)


def _nearest(
    row: Sequence[tuple[str, Wish]], series: Series, others: list[Demand], asker: Asker
) -> tuple[str, Wish] | None:
    """Give the first form in a row that can be kept; each asks for less than those before it."""

    def does(place: int) -> bool:
        return asker.can_be_kept([*others, *row[place][1].demands(series)])

    if not row or not does(len(row) - 1):
        return None
    low, high = 0, len(row) - 1
    while low < high:
        middle = (low + high) // 2
        if does(middle):
            high = middle
        else:
            low = middle + 1
    return row[low]


def _told(series: Series, wish: Wish, demands: Sequence[Demand]) -> str:
    if isinstance(wish, Request):
        return "; ".join(demand.words for demand in demands)
    if isinstance(wish, Fill):
        days = [series.slots[slot].day for demand in demands for slot in demand.slots]
        count = "its episode" if len(days) == 1 else f"all {len(days)} episodes"
        return f"{wish.words}: here {count} of {span_words(days)} ({may_air(series)})"
    words = [demand.words for demand in demands[:TOLD]]
    if len(demands) > TOLD:
        words.append(f"and {len(demands) - TOLD} more such")
    return f"{wish.words}: {'; '.join(words)}"


def may_air(series: Series) -> str:
    """Say how many puzzles may air, and by how many setters."""
    setters = len({series.candidates[number].setter for number in series.open})
    return f"{_count(len(series.open), 'puzzle')} by {_count(setters, 'setter')} may air"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
