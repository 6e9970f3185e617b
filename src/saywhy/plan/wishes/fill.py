"""Every slot has its episode."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Self

from saywhy.plan.demand import Block, Demand
from saywhy.plan.series import Series, day_words
from saywhy.plan.wishes.wish import Wish


@dataclass(frozen=True, kw_only=True)
class Fill(Wish):
    """
    Every slot of the cadence has an episode.

    Attributes:
        until: The last day of which that is asked; None for all.
    """

    until: date | None = None

    @property
    def words(self) -> str:
        """What is wished."""
        return "every slot has an episode"

    @property
    def given_up(self) -> str:
        """What to write."""
        return "let slots stay empty: gaps = true under [cadence]"

    def demands(self, series: Series) -> list[Demand]:
        """Ask for one puzzle in each slot."""
        everyone = frozenset(series.open)
        return [
            Demand((Block(everyone, (slot,)),), f"{day_words(series.slots[slot].day)} has an episode", 1)
            for slot in series.free
            if self.until is None or series.slots[slot].day <= self.until
        ]

    def looser(self, series: Series) -> list[list[tuple[str, Self]]]:
        """Plan for fewer episodes."""
        days = [series.slots[slot].day for slot in series.free][:-1]
        return [
            [
                (f"plan no further than {day_words(day)}: until = {day}", replace(self, until=day))
                for day in days[::-1]
            ]
        ]
