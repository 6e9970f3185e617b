"""What every wish is."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import Self

from saywhy.plan.demand import Demand
from saywhy.plan.series import Line, Series

#: What is told at most of one wish that is not kept.
TOLD = 6


@dataclass(frozen=True, kw_only=True)
class Wish(ABC):
    """
    A wish for the series.

    Attributes:
        firm: Whether a plan must keep it; what is not firm is kept as well as may be.
    """

    firm: bool = True

    @property
    @abstractmethod
    def words(self) -> str:
        """What is wished, as a sentence without its full stop."""

    @abstractmethod
    def demands(self, series: Series) -> list[Demand]:
        """Give what it comes down to."""

    def missed(self, series: Series, line: Line) -> list[str]:
        """Say what of it a line does not keep, sentences without their full stop; none where it is kept."""
        missed = (demand.words for demand in self.demands(series) if demand.shortfall(line))
        return list(dict.fromkeys(missed))

    def looser(self, series: Series) -> list[list[tuple[str, Self]]]:  # noqa: ARG002 - not every kind looks
        """
        Give forms of it that ask for less, each with words for what to do.

        Returns:
            Rows of such forms; in a row each asks for less than the one before it.
        """
        return []

    @property
    def given_up(self) -> str:
        """What to do where it cannot be firm."""
        return f"keep only as well as may be that {self.words}: firm = false"

    def costs(self, series: Series) -> dict[tuple[int, int], int]:  # noqa: ARG002 - not every kind looks
        """Give what it costs to have a candidate in a slot, in points of ``weights``; the rest is free."""
        return {}
