"""
The best plan for a list of wishes.

First of all the firm wishes are kept. Then, one after the other: as little as may be is changed of an
earlier plan; where slots may stay empty, as few as may be do; of those that must, as few as may be lie before
the last episode, but for days that were asked for; and what is left is decided by the wishes that are not
firm, by days that were asked for, and by who has waited longest (``weights``).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from saywhy.plan.model import TOLERANCE, Found, Model, Term
from saywhy.plan.order import older_first
from saywhy.plan.result import WORK, Plan, demands_of, queue
from saywhy.plan.series import Line, Series
from saywhy.plan.weights import GIVEN_UP, MOVED, MOVED_DAYS, SHORT
from saywhy.plan.wishes import Fill, Request, Wish

#: Candidates that are tried first, for each free slot.
SHORT_LIST = 1.5
#: What is made least, one after the other: firm wishes given up, changes of an earlier plan, slots that stay
#: empty, those of them that lie before the last episode, and all the rest.
Stage = Literal["given up", "moves", "empty", "holes", "rest"]


def solve(
    series: Series,
    wishes: Sequence[Wish],
    *,
    give_up: bool = False,
    work: float = WORK,
) -> Plan:
    """
    Give the best plan.

    Args:
        series: The series.
        wishes: All wishes.
        give_up: Whether firm wishes may be given up, as few as may be.
        work: Most work, in the solver's unit.
    """
    if not series.free:
        return Plan("best", tuple(series.fixed.get(slot) for slot in range(len(series.slots))))
    task = _Task(series, wishes, give_up)
    done, proven, held = 0.0, True, task.earlier()
    bounds: list[tuple[Stage, int]] = []
    for stage in task.stages:
        if stage == "holes" and held is not None and held.line is not None and None not in held.line:
            continue
        found = task.best(stage, bounds, held, (work - done) * (1.0 if stage == "rest" else 0.5))
        done += found.work
        if found.line is None:
            if not bounds or held is None or held.line is None:
                return Plan(found.status, _nothing(series), work=done, given_up=give_up)
            proven = False
            break
        proven = proven and found.status == "best"
        held = found
        bounds.append((stage, found.value))
    assert held is not None and held.line is not None
    line = held.line if give_up else older_first(series, wishes, held.line, task.costs)
    return Plan("best" if proven else "good", line, held.value, held.bound, done, give_up)


class _Task:
    """What is asked, over some candidates or all."""

    def __init__(self, series: Series, wishes: Sequence[Wish], give_up: bool) -> None:
        self.series = series
        self.firm = demands_of(series, wishes, firm=True)
        self.loose = demands_of(series, wishes, firm=False)
        self.give_up = give_up
        self.prices = queue(series)
        self.costs: dict[tuple[int, int], int] = {}
        for wish in wishes:
            for place, cost in wish.costs(series).items():
                self.costs[place] = self.costs.get(place, 0) + cost
        self.moves = _moves(series)

    @property
    def stages(self) -> list[Stage]:
        """What is made least, one after the other."""
        loose = any(isinstance(wish, Fill) for wish, _ in self.loose)
        asked: dict[Stage, bool] = {
            "given up": self.give_up,
            "moves": bool(self.moves),
            "empty": loose,
            "holes": loose or self.give_up,
            "rest": True,
        }
        return [stage for stage, wanted in asked.items() if wanted]

    def earlier(self) -> Found | None:
        """Give the earlier plan to begin the search at, whether or not it keeps the wishes."""
        if not self.moves:
            return None
        line: list[int | None] = [self.series.fixed.get(slot) for slot in range(len(self.series.slots))]
        for number, day in self.series.planned.items():
            slot = self.series.slot_of(day)
            if slot is not None and slot not in self.series.fixed and number in self.series.open:
                line[slot] = number
        return Found("undecided", tuple(line), 0, 0, 0.0)

    def best(
        self, stage: Stage, bounds: Sequence[tuple[Stage, int]], start: Found | None, work: float
    ) -> Found:
        """
        Find the best line of a stage.

        The relaxation over all candidates tells which of them a good line is likely to need: these are tried
        first. It also tells, once that line is known, which others a better one could have.

        Args:
            stage: Which stage.
            bounds: What the stages before may cost.
            start: What the stage before has found.
            work: Most work.
        """
        model, terms = self.model(None, stage, bounds)
        relaxed = model.relax(terms)
        if relaxed.bound is None:
            return Found("none", None, 0, 0, 0.0)
        least = math.ceil(relaxed.bound - TOLERANCE) if relaxed.bound > -math.inf else 0
        order = sorted(self.series.open, key=lambda n: (relaxed.with_candidate[n], self.prices[n], n))
        among = set(order[: int(SHORT_LIST * len(self.series.free)) + 1])
        if start is not None and start.line is not None:
            among |= {number for number in start.line if number is not None}
        found = start
        done = 0.0
        while True:
            model, terms = self.model(among, stage, bounds)
            model.hint(None if found is None else found.line)
            tried = model.solve(terms, max(work - done, 0.1))
            done += tried.work
            if tried.line is not None:
                found = replace(tried, bound=least)
                if tried.value <= least:
                    return replace(found, status="best", bound=tried.value, work=done)
            wanted = {n for n in order if tried.line is None or relaxed.with_candidate[n] < tried.value}
            if tried.status in {"best", "none"} and wanted <= among:
                bound = tried.value if tried.status == "best" else 0
                return replace(tried, bound=bound, work=done)
            if done >= work - 0.1:
                return replace(
                    tried,
                    status="undecided" if tried.line is None else "good",
                    bound=max(least, 0),
                    work=done,
                )
            among = among | wanted

    def model(
        self, among: set[int] | None, stage: Stage, bounds: Sequence[tuple[Stage, int]]
    ) -> tuple[Model, list[Term]]:
        """Give the model of a stage, those before it bounded, and what it is to cost least in."""
        demands = [demand for _, demand in (*self.firm, *self.loose)]
        own = {number for number, _ in (*self.moves, *self.costs)}
        model = Model(self.series, demands, self.prices, own, among)
        if not self.give_up:
            for _, demand in self.firm:
                model.post(demand)
        for before, bound in bounds:
            model.at_most(self.terms(model, before), bound)
        return model, self.terms(model, stage)

    def terms(self, model: Model, stage: Stage) -> list[Term]:
        """Give what a stage costs."""
        if stage == "given up":
            return [model.allow(demand, _weight(wish)) for wish, demand in self.firm]
        if stage == "moves":
            return model.terms(self.moves)
        if stage == "empty":
            return [model.allow(demand, 1) for wish, demand in self.loose if isinstance(wish, Fill)]
        if stage == "holes":
            most = 2 * len(self.series.free) ** 2  # more than all gaps together
            asked = [model.allow(d, SHORT * most) for w, d in self.loose if isinstance(w, Request)]
            days = model.terms({place: cost * most for place, cost in self.costs.items()})
            return [*asked, *days, *model.gaps()]
        loose = [model.allow(demand, SHORT) for wish, demand in self.loose if not isinstance(wish, Fill)]
        return [*loose, *model.terms(self.costs), *model.pay]


def _moves(series: Series) -> dict[tuple[int, int], int]:
    """Give what it costs to have a planned puzzle in a slot; leaving it out costs nothing: keeping pays."""
    found = {}
    for number, day in series.planned.items():
        if series.fresh or number not in series.open:
            continue
        for slot in series.free:
            away = abs((series.slots[slot].day - day).days)
            stays = -MOVED - MOVED_DAYS
            found[number, slot] = stays if not away else min(away, MOVED_DAYS) - MOVED_DAYS
    return found


def _weight(wish: Wish) -> int:
    if isinstance(wish, Request):
        return GIVEN_UP["pin" if wish.pin else "request"]
    return GIVEN_UP["fill" if isinstance(wish, Fill) else "rest"]


def _nothing(series: Series) -> Line:
    return tuple(series.fixed.get(slot) for slot in range(len(series.slots)))
