"""After an episode its setter, or the families of its rules, rest for a while."""

from __future__ import annotations

from abc import abstractmethod
from dataclasses import dataclass, replace
from typing import Self

from saywhy.plan.demand import Block, Demand, spared
from saywhy.plan.series import Line, Series, span_words
from saywhy.plan.wishes.apart import in_short, runs, too_close
from saywhy.plan.wishes.wish import Wish


@dataclass(frozen=True, kw_only=True)
class _Rest(Wish):
    """
    Puzzles of one group do not follow one another too soon.

    Attributes:
        episodes: How many episodes of others lie between two of the group, at least.
    """

    episodes: int

    @abstractmethod
    def groups(self, series: Series) -> list[tuple[str, frozenset[int]]]:
        """Give the groups by name."""

    @abstractmethod
    def loosened(self, episodes: int) -> str:
        """Give what to write for so many episodes."""

    def demands(self, series: Series) -> list[Demand]:
        """Ask in every run of slots, one longer than the rest, for at most one of each group."""
        found, free = list[Demand](), set(series.free)
        spans = runs(range(len(series.slots)), self.episodes, firm=self.firm)
        for name, group in self.groups(series):
            if len(group) < 2:
                continue
            for run in spans:
                if free & set(run):
                    span = span_words([series.slots[slot].day for slot in run])
                    words = f"{name} at most once from {span}"
                    found.append(spared(series, (Block(group, run),), words, 1))
        return found

    def missed(self, series: Series, line: Line) -> list[str]:
        """Say of each group on which days it comes too soon."""
        every = range(len(series.slots))
        cases = [
            f"{name} on {days}"
            for name, group in self.groups(series)
            for days in too_close(series, line, every, group, self.episodes)
        ]
        return in_short(self.words, cases)

    def looser(self, series: Series) -> list[list[tuple[str, Self]]]:  # noqa: ARG002 - the count is enough
        """Let them rest for fewer episodes."""
        fewer = range(self.episodes - 1, -1, -1)
        return [[(self.loosened(episodes), replace(self, episodes=episodes)) for episodes in fewer]]


@dataclass(frozen=True, kw_only=True)
class SetterRest(_Rest):
    """A setter is not heard again for a number of episodes."""

    @property
    def words(self) -> str:
        """What is wished."""
        return f"a setter rests for {_episodes(self.episodes)}"

    @property
    def given_up(self) -> str:
        """What to write."""
        return 'keep a setter\'s rest only as well as may be: give-way = ["setter"] under [rest]'

    def groups(self, series: Series) -> list[tuple[str, frozenset[int]]]:
        """Give each setter's puzzles."""
        names = sorted({held.setter for held in series.candidates if held.setter})
        return [(name, series.by_setter(name)) for name in names]

    def loosened(self, episodes: int) -> str:
        """Give what to write."""
        return f"let a setter rest for {_episodes(episodes)}: setter = {episodes} under [rest]"


@dataclass(frozen=True, kw_only=True)
class FamilyRest(_Rest):
    """A family of rules does not come again for a number of episodes."""

    @property
    def words(self) -> str:
        """What is wished."""
        return f"a family of rules rests for {_episodes(self.episodes)}"

    @property
    def given_up(self) -> str:
        """What to write."""
        return 'keep a family\'s rest only as well as may be: give-way = ["family"] under [rest]'

    def groups(self, series: Series) -> list[tuple[str, frozenset[int]]]:
        """Give the puzzles of each family."""
        names = sorted({name for held in series.candidates for name in held.families})
        return [
            (name, frozenset(k for k, held in enumerate(series.candidates) if name in held.families))
            for name in names
        ]

    def loosened(self, episodes: int) -> str:
        """Give what to write."""
        return f"let a family of rules rest for {_episodes(episodes)}: family = {episodes} under [rest]"


def _episodes(count: int) -> str:
    return f"{count} episode" + ("" if count == 1 else "s")
