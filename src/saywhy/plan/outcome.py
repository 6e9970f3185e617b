"""Planning as a whole: the plan or the clash, what it changes, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any

from saywhy.errors import NotAllowedError, Problem
from saywhy.files.fields import meant
from saywhy.files.titles import plain
from saywhy.plan.cadence import MOST_SLOTS
from saywhy.plan.changes import Change, changes
from saywhy.plan.reasons import Reasons
from saywhy.plan.result import WORK, Plan
from saywhy.plan.series import Series
from saywhy.plan.sheet import Sheet
from saywhy.plan.stock import Stock, series_of
from saywhy.plan.wishes import Request, Wish

if TYPE_CHECKING:
    from saywhy.plan.clash import Clash


@dataclass(frozen=True, eq=False)
class Outcome:
    """
    What came of planning.

    Attributes:
        series: What was planned.
        wishes: By which wishes.
        plan: The plan; where its status is ``none`` or ``undecided`` its line has no new episode.
        clash: Why not all firm wishes can be kept; None where they can.
    """

    series: Series
    wishes: tuple[Wish, ...]
    plan: Plan
    clash: Clash | None

    @property
    def made(self) -> bool:
        """Whether there is a plan."""
        return self.plan.status in ("best", "good")

    @cached_property
    def reasons(self) -> Reasons:
        """Why everything stands where it stands."""
        return Reasons(self.series, self.wishes, self.plan.line)

    @cached_property
    def empty(self) -> list[str]:
        """Which days stay empty, and why; sentences without their full stop."""
        if not self.made:
            return []
        from saywhy.plan.empty import why_empty

        return why_empty(self.series, self.wishes, self.plan.line)

    def changes(self) -> list[Change]:
        """Give what it changes."""
        return changes(self.series, self.plan.line) if self.made else []

    def pins(self) -> set[int]:
        """Give the candidates that stand where the host has pinned them."""
        found = set()
        for wish in self.wishes:
            if isinstance(wish, Request) and wish.pin and wish.on is not None:
                slot, number = self.series.slot_of(wish.on), self.series.number(wish.puzzle)
                if slot is not None and number is not None and self.plan.line[slot] == number:
                    found.add(number)
        return found

    def judged(self) -> str:
        """Say how good the plan is, a sentence without its full stop."""
        if self.plan.status == "best":
            return "No plan is better: proven"
        if self.plan.status == "good":
            return f"A better plan may exist, by {max(1, round(100 * self.plan.gap))} % at most"
        return "No plan keeps all wishes" if self.plan.status == "none" else "Not decided in the work allowed"

    def as_json(self) -> dict[str, Any]:
        """Give it for ``plan --json``."""
        series, pins = self.series, self.pins()
        changed = {held.candidate: held for held in self.changes()}
        return {
            "status": self.plan.status,
            "gap": round(self.plan.gap, 4),
            "work": round(self.plan.work, 2),
            "given_up": self.plan.given_up,
            "episodes": [
                {
                    "day": held.day.isoformat(),
                    "airs": None if held.at is None else held.at.isoformat(),
                    "puzzle": None if number is None else series.candidates[number].name,
                    "title": None if number is None else series.candidates[number].title,
                    "setter": None if number is None else series.candidates[number].setter,
                    "band": None if number is None else series.candidates[number].band,
                    "families": [] if number is None else sorted(series.candidates[number].families),
                    "state": "stands"
                    if slot in series.fixed
                    else "planned"
                    if number is not None
                    else "empty",
                    "pinned": number in pins,
                    "why": self.reasons.why(slot) if self.made else [],
                }
                for slot, (held, number) in enumerate(zip(series.slots, self.plan.line, strict=True))
            ],
            "changes": [
                {
                    "puzzle": series.candidates[number].name,
                    "kind": held.kind,
                    "before": held.before and held.before.isoformat(),
                    "after": held.after and held.after.isoformat(),
                }
                for number, held in changed.items()
            ],
            "missed": self.reasons.not_kept() if self.made else [],
            "empty": self.empty,
            "clash": None
            if self.clash is None
            else {
                **_clash_json(self.clash),
                "further": self.clash.further,
                "besides": [_clash_json(clash) for clash in self.clash.besides],
                "together": list(self.clash.together),
            },
        }


def _clash_json(clash: Clash) -> dict[str, Any]:
    return {"wishes": list(clash.told), "mends": list(clash.mends), "smallest": clash.smallest}


def make_plan(  # noqa: PLR0913 - one argument a choice
    stock: Stock,
    sheet: Sheet,
    today: date,
    *,
    fresh: bool = False,
    give_way: bool = False,
    work: float = WORK,
) -> Outcome:
    """
    Plan a series.

    Args:
        stock: Puzzles and episodes.
        sheet: The cadence and the wishes.
        today: Days before it are not planned any more.
        fresh: Whether to forget the earlier plan but for its pins.
        give_way: Whether to give up firm wishes, as few as may be, where they clash.
        work: Most work, in the solver's unit, which is about a second of a quiet machine.

    Raises:
        NotAllowedError: A wish names a puzzle or a setter that is not there, or there is no day to plan.
    """
    from saywhy.plan.clash import find_clash
    from saywhy.plan.solve import solve

    series, wishes = series_of(stock, sheet, today, fresh=fresh)
    _check_names(series, wishes)
    if not series.free:
        raise NotAllowedError(
            Problem(
                "the cadence has no day that is still to be filled",
                "Let it begin or end later, or give it more episodes",
                "cadence",
            )
        )
    if not series.open:
        if not stock.puzzles and not stock.withheld:
            mend = "Put one there: saywhy shelf add FILE; then record its setter's permission"
            raise NotAllowedError(Problem("there is no puzzle to plan", mend))
        mend = "When a setter agrees, record it: saywhy shelf permit p12 granted --on DAY --words TEXT"
        raise NotAllowedError(Problem("there is no puzzle that may air and has not aired yet", mend))
    if len(series.free) > MOST_SLOTS:
        what = f"the series has more than {MOST_SLOTS} days to fill"
        raise NotAllowedError(Problem(what, "Let it end sooner: plan the rest another time", "cadence"))
    plan = solve(series, wishes, work=work)
    clash = find_clash(series, wishes) if plan.status == "none" else None
    if clash is not None and give_way:
        plan = solve(series, wishes, give_up=True, work=work)
    return Outcome(series, wishes, plan, clash)


def standing(stock: Stock, sheet: Sheet, today: date) -> Outcome:
    """Give what is planned already, as far as it lies in the slots of a sheet, without planning anew."""
    series, wishes = series_of(stock, sheet, today)
    line: list[int | None] = [series.fixed.get(slot) for slot in range(len(series.slots))]
    for number, day in series.planned.items():
        slot = series.slot_of(day)
        if slot is not None and slot not in series.fixed:
            line[slot] = number
    return Outcome(series, wishes, Plan("good", tuple(line)), None)


def _check_names(series: Series, wishes: Sequence[Wish]) -> None:
    setters = {held.setter for held in series.candidates if held.setter}
    names = {name for held in series.candidates for name in (held.name, held.title) if name}
    problems = []
    for wish in wishes:
        if not isinstance(wish, Request):
            continue
        name, known, what = (
            (wish.setter, setters, "setter") if wish.setter else (wish.puzzle, names, "puzzle")
        )
        if name in series.withheld or (name in known and (wish.setter or series.number(name) is not None)):
            continue
        shown = plain(name)[:40]
        if name in known:
            problems.append(
                Problem(f"several puzzles are called {shown!r}", "Write its name instead", "request")
            )
        else:
            mend = meant(name, sorted(known), f"Name a {what} of the shelf")
            problems.append(Problem(f"there is no {what} {shown!r}", mend, "pin" if wish.pin else "request"))
    if problems:
        raise NotAllowedError(problems)
