"""A puzzle's effort: a profile of its path, not one number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from saywhy.reasoning.step import PathStep

#: Spoken words a minute (CHECKS: about 150 in conversation; warn outside 110 to 180).
RATE_WPM = 150.0
#: Seconds of silence that a host leaves after a beat, and for each glance of its effort: set by judgement.
PAUSE_S, GLANCE_S = 1.2, 0.5
#: A talk is seldom closer to its estimate than this share of it, either way: set by judgement until fitted.
SPREAD = 0.25
#: Openings at most this many make a narrow place.
NARROW = 2

#: Bands in plain words, by the effort of the hardest beat (glances), the upper end of each.
BANDS: tuple[tuple[float, str], ...] = (
    (4.0, "a stroll"),
    (6.5, "a steady walk"),
    (9.0, "a stiff climb"),
    (16.0, "a scramble"),
    (float("inf"), "a long night"),
)


def whole_minutes(minutes: float) -> int:
    """Give minutes as people are told them everywhere: whole, halves of what is stored up, one at least."""
    return max(1, int(round(minutes, 1) + 0.5))


@dataclass(frozen=True)
class Profile:
    """
    The effort of a puzzle; glances are the unit of ``effort``.

    Attributes:
        band: The band in plain words.
        hardest: Effort of the hardest beat's hardest step, glances.
        total: Sum over all steps, glances.
        steps: Steps told.
        beats: Beats told.
        narrow: Beats that begin where at most two thoughts as easy or easier were open.
        what_ifs: How many steps are what-ifs.
        deepest: Most inner steps of a what-if, those inside it counted too; 0 where there is none.
        words: Spoken words of the talk track.
        minutes: Expected speaking time, least, likely and most.
        hardest_idea: The idea of the hardest step; it names no cell and no digit.
    """

    band: str
    hardest: float
    total: float
    steps: int
    beats: int
    narrow: int
    what_ifs: int
    deepest: int
    words: int
    minutes: tuple[float, float, float]
    hardest_idea: str

    def as_json(self) -> dict[str, Any]:
        """Give the profile for ``check --json``: nothing in it spoils."""
        least, likely, most = self.minutes
        return {
            "band": self.band,
            "hardest": round(self.hardest, 2),
            "hardest_idea": self.hardest_idea,
            "total": round(self.total, 1),
            "steps": self.steps,
            "beats": self.beats,
            "narrow": self.narrow,
            "what_ifs": self.what_ifs,
            "deepest_what_if": self.deepest,
            "words": self.words,
            "minutes": {"least": round(least, 1), "likely": round(likely, 1), "most": round(most, 1)},
        }


def profile(
    steps: Sequence[PathStep],
    openings: Sequence[int],
    texts: Sequence[str],
    rate_wpm: float = RATE_WPM,
) -> Profile:
    """
    Give the profile of a path.

    Args:
        steps: The steps with their words.
        openings: For each step, how many as easy were open.
        texts: The spoken text of each beat, in order.
        rate_wpm: Spoken words a minute.
    """
    hardest = max(steps, key=lambda told: told.step.effort, default=None)
    words = sum(len(text.split()) for text in texts)
    total = sum(told.step.effort for told in steps)
    count = steps[-1].beat if steps else 0
    firsts = [place for place in range(len(steps)) if not place or steps[place].beat != steps[place - 1].beat]
    likely = words / rate_wpm + (PAUSE_S * count + GLANCE_S * total) / 60
    peak = hardest.step.effort if hardest else 0.0
    return Profile(
        band=next(name for top, name in BANDS if peak <= top),
        hardest=peak,
        total=total,
        steps=len(steps),
        beats=count,
        narrow=sum(openings[place] <= NARROW for place in firsts),
        what_ifs=sum(bool(told.step.story) for told in steps),
        deepest=max((told.step.inner_steps for told in steps), default=0),
        words=words,
        minutes=(likely * (1 - SPREAD), likely, likely * (1 + SPREAD)),
        hardest_idea=hardest.step.idea if hardest else "",
    )
