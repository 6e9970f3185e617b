"""Why days of a plan stay empty, in a line: too few puzzles, or which firm wishes leave them so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from saywhy.plan.clash import Asker, clash_of, may_air
from saywhy.plan.demand import Block, Demand
from saywhy.plan.series import Line, Series, day_words, days_words
from saywhy.plan.wishes import Fill, Request, Wish

#: Work for finding out why, in the solver's unit.
WORK = 4.0
#: Wishes that are told.
TOLD = 3


@dataclass(frozen=True, kw_only=True)
class _OneMore(Wish):
    """So many slots have an episode."""

    count: int

    @property
    def words(self) -> str:
        """What is wished."""
        return f"{self.count} slots have an episode"

    def demands(self, series: Series) -> list[Demand]:
        """Ask for so many puzzles in all."""
        return [Demand((Block(frozenset(series.open), series.free),), self.words, self.count)]


def why_empty(series: Series, wishes: Sequence[Wish], line: Line) -> list[str]:
    """
    Say which days stay empty and why: those before the last episode, then those after it.

    Args:
        series: The series.
        wishes: All wishes.
        line: What stands in each slot, as ``solve`` gave it; firm wishes that it does not keep are no reason.

    Returns:
        At most two sentences without their full stop.
    """
    empty = [slot for slot in series.free if line[slot] is None]
    last = max((slot for slot, number in enumerate(line) if number is not None), default=-1)
    holes, after = [slot for slot in empty if slot < last], [slot for slot in empty if slot > last]
    if not empty:
        return []
    asker = Asker(series, WORK)
    firm = [w for w in wishes if w.firm and not isinstance(w, Fill) and not w.missed(series, line)]
    count = len(series.free) - len(empty)
    waiting = len(series.open) - count
    found = []
    if holes:
        gapless = Fill(until=series.slots[series.free[count - 1]].day) if count else Fill()
        reason = (
            _clashing(series, [*firm, gapless], asker)
            or (_clashing(series, [*firm, _OneMore(count=count + 1)], asker) if waiting else "")
            or _standing(series, wishes, line, holes[0])
        )
        before = f"before the last episode, {day_words(series.slots[last].day)}"
        found.append(f"{_days(series, holes)} stay{_s(holes)} empty {before}: {reason}")
    if after:
        where = "after the last episode" if last >= 0 else "in all"
        days = f"{len(after)} day{'' if len(after) == 1 else 's'} {where} stay{_s(after)} empty"
        if not waiting:
            found.append(f"{days}: all puzzles that may air have their day")
        elif not holes:
            reason = _clashing(series, [*firm, _OneMore(count=count + 1)], asker)
            found.append(f"{days}: {reason or _standing(series, wishes, line, after[0])}")
    return found


def _clashing(series: Series, firm: Sequence[Wish], asker: Asker) -> str:
    """Give the firm wishes that the last of them clashes with, in words; nothing where it does not."""
    clash = clash_of(series, firm, asker)
    if clash is None:
        return ""
    told = [wish.words for wish, _ in clash.parts if wish is not firm[-1]]
    more = [f"{len(told) - TOLD} wishes more"] if len(told) > TOLD else []
    return "; ".join([*told[:TOLD], *more, may_air(series)])


def _standing(series: Series, wishes: Sequence[Wish], line: Line, hole: int) -> str:
    """Say what else may keep episodes behind a hole."""
    behind = {number for number in line[hole + 1 :] if number is not None} - set(series.fixed.values())
    found = []
    for wish in wishes:
        if isinstance(wish, Request) and (wish.around is not None or not wish.firm):
            group = series.by_setter(wish.setter) if wish.setter else {series.number(wish.puzzle)}
            found += [wish.words] if group & behind else []
    if not series.fresh and any(
        number is not None and series.planned.get(number) == series.slots[slot].day
        for slot, number in enumerate(line[hole + 1 :], hole + 1)
    ):
        found.append("what was planned before keeps its day; --fresh plans it anew")
    if found:
        return "; ".join(found[:TOLD])
    return "the work allowed was used up; with more of it (--work) a better plan may be found"


def _days(series: Series, slots: Sequence[int]) -> str:
    days: list[date] = [series.slots[slot].day for slot in slots]
    return f"{len(days)} days" if len(days) > TOLD + 1 else days_words(days)


def _s(slots: Sequence[int]) -> str:
    return "s" if len(slots) == 1 else ""
