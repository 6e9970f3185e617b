"""How the effort goes over the weeks: gentle first, one hard a month, not two hard in a row."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal, Self

from saywhy.plan.demand import Block, Demand, spared
from saywhy.plan.series import Line, Series, day_words, span_words
from saywhy.plan.windows import stretches
from saywhy.plan.wishes.apart import in_short, runs, too_close
from saywhy.plan.wishes.wish import Wish
from saywhy.reasoning.profile import BANDS

#: The bands, the gentlest first.
NAMES = tuple(name for _, name in BANDS)


@dataclass(frozen=True, kw_only=True)
class Effort(Wish):
    """
    A wish for the effort of episodes.

    Attributes:
        bands: The bands that it speaks of; all where it speaks of a direction.
        window: Where, as ``windows`` reads it.
        least: Fewest episodes of these bands in each stretch.
        most: Most of them.
        only: Whether all episodes of each stretch are of these bands.
        rest: Episodes of other bands between two of these, at least.
        goes: Whether the effort never falls, or never rises, within a stretch.
    """

    bands: tuple[str, ...] = NAMES
    window: str = "all"
    least: int = 0
    most: int | None = None
    only: bool = False
    rest: int = 0
    goes: Literal["up", "down"] | None = None

    @property
    def words(self) -> str:
        """What is wished."""
        where = {"all": "in the whole plan"}.get(self.window, self.window)
        if where.startswith(("first", "last")):
            where = f"of the {where} episodes"
        elif where[:1].isdigit():
            where = f"from {where}"
        parts = []
        if self.only:
            parts.append(f"nothing but {self.named}")
        if self.least and self.least == self.most:
            parts.append(f"exactly {self.least} of {self.named}")
        else:
            parts += [f"at least {self.least} of {self.named}"] if self.least else []
            parts += [f"at most {self.most} of {self.named}"] if self.most is not None else []
        if self.rest:
            parts.append(self._apart)
        if self.goes:
            parts.append("effort never falls" if self.goes == "up" else "effort never rises")
        return f"{', '.join(parts)}, {where}"

    @property
    def named(self) -> str:
        """The bands as a list."""
        return " or ".join(self.bands)

    @property
    def _apart(self) -> str:
        """The rest between two in words."""
        return f"{self.rest} other{'' if self.rest == 1 else 's'} or more between two of {self.named}"

    def demands(self, series: Series) -> list[Demand]:
        """Ask for it stretch by stretch."""
        group = _of(series, self.bands)
        found: list[Demand] = []
        for stretch in stretches(self.window, series):
            slots = stretch.slots
            if self.only:
                others = frozenset(range(len(series.candidates))) - group
                words = f"nothing but {self.named} {stretch.words}"
                found.append(spared(series, (Block(others, slots),), words, 0))
            if self.least and stretch.whole:
                words = f"at least {self.least} of {self.named} {stretch.words}"
                found.append(Demand((Block(group, slots),), words, self.least))
            if self.most is not None:
                words = f"at most {self.most} of {self.named} {stretch.words}"
                found.append(spared(series, (Block(group, slots),), words, self.most))
            found += self._rests(series, slots, group)
            found += self._goes(series, slots)
        return found

    def _rests(self, series: Series, slots: tuple[int, ...], group: frozenset[int]) -> Iterator[Demand]:
        free = set(series.free)
        for run in runs(slots, self.rest, firm=self.firm):
            if free & set(run):
                span = span_words([series.slots[slot].day for slot in run])
                yield spared(series, (Block(group, run),), f"{self.named} at most once from {span}", 1)

    def _goes(self, series: Series, slots: tuple[int, ...]) -> Iterator[Demand]:
        if self.goes is None:
            return
        free = set(series.free)
        for one, other in pairwise(slots):
            if one not in free and other not in free:
                continue
            for cut in range(1, len(NAMES)):
                low, high = _of(series, NAMES[:cut]), _of(series, NAMES[cut:])
                first, then = (high, low) if self.goes == "up" else (low, high)
                days = " to ".join(day_words(series.slots[slot].day) for slot in (one, other))
                words = f"effort does not {'fall' if self.goes == 'up' else 'rise'} from {days}"
                yield spared(series, (Block(first, (one,)), Block(then, (other,))), words, 1)

    def missed(self, series: Series, line: Line) -> list[str]:
        """Say what of it is not kept; of the rest, on which days two come too soon."""
        group = _of(series, self.bands)
        cases = [
            f"on {days}"
            for stretch in stretches(self.window, series)
            for days in too_close(series, line, stretch.slots, group, self.rest)
        ]
        return [*Wish.missed(replace(self, rest=0), series, line), *in_short(self._apart, cases)]

    @property
    def given_up(self) -> str:
        """What to write."""
        return f"keep only as well as may be {self.words}: firm = false"

    def _wider(self) -> list[tuple[str, Self]]:
        """Let more bands count, the nearest first; nothing where that would ask for more."""
        if not (self.only or self.least) or self.most is not None or self.rest or self.goes:
            return []
        places = {NAMES.index(name) for name in self.bands}
        away = {k: min(abs(k - held) for held in places) for k in range(len(NAMES)) if k not in places}
        found = []
        for far in sorted(set(away.values())):
            more = tuple(NAMES[k] for k in range(len(NAMES)) if away.get(k, 0) <= far)
            listed = ", ".join(f'"{name}"' for name in more)
            added = " or ".join(name for name in more if name not in self.bands)
            words = f"let {added} do as well: bands = [{listed}]"
            found.append((words, replace(self, bands=more)))
        return found

    def looser(self, series: Series) -> list[list[tuple[str, Self]]]:  # noqa: ARG002 - the numbers are enough
        """Ask for fewer, allow more, let further bands count, or shorten the rest, one thing at a time."""
        who = self.named
        most = 0 if self.most is None else self.most
        return [
            [
                (f"ask for {k} of {who}: least = {k}", replace(self, least=k))
                for k in range(self.least - 1, -1, -1)
            ],
            [(f"allow {k} of {who}: most = {k}", replace(self, most=k)) for k in range(most + 1, most + 9)]
            if self.most is not None
            else [],
            [
                (f"let {who} rest for {k}: rest = {k}", replace(self, rest=k))
                for k in range(self.rest - 1, -1, -1)
            ],
            self._wider(),
        ]


def _of(series: Series, bands: tuple[str, ...]) -> frozenset[int]:
    return frozenset(number for number, held in enumerate(series.candidates) if held.band in bands)
