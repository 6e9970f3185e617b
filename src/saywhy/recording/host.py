"""What many recordings say of one host: where they stand still, their pace, their speaking time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any

from saywhy.reasoning.explain import told
from saywhy.recording.review import Review

#: So many finished recordings are needed before anything is fitted.
FEWEST = 10


@dataclass(frozen=True)
class Fit:
    """
    The speaking-time estimate fitted to a host.

    Attributes:
        factor: What the estimate of the path is to be multiplied by.
        error: The middle error of that, as a share, each recording judged by a fit of the others.
        recordings: How many it was fitted to.
    """

    factor: float
    error: float
    recordings: int


@dataclass(frozen=True)
class Habits:
    """
    A host's habits.

    Attributes:
        recordings: How many were looked at.
        stalls: Before which kinds of thought the host stood still, and how often; most first.
        paces: For each kind of thought the middle of the seconds before it; slowest first.
        fit: The fitted speaking time; None below ten finished recordings.
    """

    recordings: int
    stalls: list[tuple[str, int]]
    paces: list[tuple[str, float]]
    fit: Fit | None

    def as_json(self) -> dict[str, Any]:
        """Give the object that ``review --json`` prints last for several recordings."""
        return {
            "recordings": self.recordings,
            "stalls": dict(self.stalls),
            "paces": {idea: round(seconds, 2) for idea, seconds in self.paces},
            "fit": None
            if self.fit is None
            else {
                "factor": round(self.fit.factor, 3),
                "error": round(self.fit.error, 3),
                "recordings": self.fit.recordings,
            },
        }


def habits(reviews: Sequence[Review]) -> Habits:
    """Give a host's habits over some reviews."""
    stalls: Counter[str] = Counter()
    paces: dict[str, list[float]] = {}
    for review in reviews:
        stalls.update(stall.broken_by.idea or stall.broken_by.verdict for stall in review.stalls)
        for move in review.moves:
            if move.idea:
                paces.setdefault(move.idea, []).append(move.pace_s)
    middles = sorted(((idea, median(held)) for idea, held in paces.items()), key=lambda item: -item[1])
    pairs = []
    for review in reviews:
        effort = told(review.path).effort if review.finished else None
        if effort is not None:
            pairs.append((effort.minutes[1] * 60, review.length))
    return Habits(len(reviews), stalls.most_common(), middles, fitted(pairs))


def fitted(pairs: Sequence[tuple[float, float]]) -> Fit | None:
    """
    Fit one factor to estimated and true seconds.

    The middle of the single factors is taken, which one odd evening does not move; the error is that of each
    recording under the factor of all the others.
    """
    factors = [true / estimate for estimate, true in pairs if estimate > 0]
    if len(factors) < FEWEST:
        return None
    errors = []
    for place, factor in enumerate(factors):
        others = median(factors[:place] + factors[place + 1 :])
        errors.append(abs(others / factor - 1))
    return Fit(median(factors), median(errors), len(factors))
