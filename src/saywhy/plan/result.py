"""What comes of planning, and what it is judged by; nothing here needs a solver."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from saywhy.plan.demand import Demand
from saywhy.plan.series import Line, Series
from saywhy.plan.weights import QUEUE
from saywhy.plan.wishes import Wish

#: Most work for a plan, in the solver's unit, which is about a second of a quiet machine.
WORK = 6.0


@dataclass(frozen=True)
class Plan:
    """
    A plan, or that there is none.

    Attributes:
        status: ``best`` is proven the best, ``good`` is not, ``none``: the firm wishes cannot all be kept,
            ``undecided``: the work allowed did not do.
        line: What stands in each slot.
        cost: What it costs; comparable within one series only.
        bound: No plan costs less.
        work: Work done.
        given_up: Whether firm wishes might be given up.
    """

    status: Literal["best", "good", "none", "undecided"]
    line: Line
    cost: int = 0
    bound: int = 0
    work: float = 0.0
    given_up: bool = False

    @property
    def gap(self) -> float:
        """By what share the best plan may be cheaper, at most; 0 where this one is proven the best."""
        return 0.0 if self.status == "best" or not self.cost else (self.cost - self.bound) / self.cost


def demands_of(series: Series, wishes: Sequence[Wish], firm: bool) -> list[tuple[Wish, Demand]]:
    """Give what all firm wishes, or all that are not, come down to."""
    return [(wish, demand) for wish in wishes if wish.firm == firm for demand in wish.demands(series)]


def queue(series: Series) -> dict[int, int]:
    """Give each candidate's price: the later it came, the dearer; among those of one day by their order."""
    order = sorted(series.open, key=lambda number: (series.candidates[number].received or date.max, number))
    top = max(len(order) - 1, QUEUE)
    return {number: place * QUEUE // top for place, number in enumerate(order)}
