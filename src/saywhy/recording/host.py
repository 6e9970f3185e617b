"""What many recordings say of one host: where they stand still, their pace, their speaking time."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any

import msgspec

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


class Evening(msgspec.Struct, frozen=True, kw_only=True):
    """
    What one review adds to a host's habits; small enough to be kept.

    Attributes:
        stalls: The kind of thought, or the verdict, that ended each stall.
        paces: For each judged move its kind of thought and the seconds before it.
        estimate_s: Speaking time estimated from the path; None where the solve was not finished or the path
            is not complete.
        length_s: How long the solve took, pauses left out.
    """

    stalls: list[str]
    paces: list[tuple[str, float]]
    estimate_s: float | None
    length_s: float


def evening(review: Review) -> Evening:
    """Give what a review adds to a host's habits."""
    effort = told(review.path).effort if review.finished else None
    return Evening(
        stalls=[stall.broken_by.idea or stall.broken_by.verdict for stall in review.stalls],
        paces=[(move.idea, round(move.pace_s, 3)) for move in review.moves if move.idea],
        estimate_s=None if effort is None else round(effort.minutes[1] * 60, 3),
        length_s=round(review.played_s, 3),
    )


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


def habits(evenings: Sequence[Evening]) -> Habits:
    """Give a host's habits over some solves."""
    stalls: Counter[str] = Counter()
    paces: dict[str, list[float]] = {}
    for evening in evenings:
        stalls.update(evening.stalls)
        for idea, seconds in evening.paces:
            paces.setdefault(idea, []).append(seconds)
    middles = sorted(((idea, median(held)) for idea, held in paces.items()), key=lambda item: -item[1])
    pairs = [(evening.estimate_s, evening.length_s) for evening in evenings if evening.estimate_s is not None]
    return Habits(len(evenings), stalls.most_common(), middles, fitted(pairs))


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
