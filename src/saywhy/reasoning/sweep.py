"""
Sweeping a puzzle: round by round, all that the easiest looks show, until every cell has its digit.

A sweep only finds; no certificate is drawn up. Each round asks the families of looks in order of effort and
takes everything from the first tier that shows anything. What is found is kept with the position in which it
was found, so that later only what the solution rests on need be told (``trace``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from time import perf_counter
from typing import Protocol

from saywhy.reasoning.clues import ClueFinder
from saywhy.reasoning.colouring import Colours
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.houses import fish, locked, only_digits, only_places, subsets
from saywhy.reasoning.leftovers import equal_sets
from saywhy.reasoning.looks import Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import EVERY, Find
from saywhy.reasoning.trial import Trials
from saywhy.reasoning.whatif import SORTS, Sort, Stories
from saywhy.reasoning.wings import wings

Finder = Callable[[Position], Iterator[Find]]


class LookFinder(Protocol):
    """Finds what looks show."""

    def __call__(self, position: Position, about: int = EVERY, /) -> Iterator[Find]:
        """Yield what is open in a position, all that strikes out any of these candidates at least."""
        ...


@dataclass(frozen=True)
class Round:
    """
    One round of a sweep.

    Attributes:
        before: The position in which its finds were open.
        finds: All that its tier showed.
        tier: The place of that tier, from 0.
    """

    before: Position
    finds: tuple[Find, ...]
    tier: int


@dataclass(frozen=True)
class Sweep:
    """
    The rounds from one position on.

    Attributes:
        start: Where it began.
        rounds: In order.
        end: Where it came to rest: complete, or nothing more was seen (or time was up).
    """

    start: Position
    rounds: tuple[Round, ...]
    end: Position


class Sweeper:
    """
    Sweeps positions of one frame.

    Args:
        frame: The puzzle made ready.
        solution: Its solution where that is known; only trials ask for it, and find it themselves otherwise.
    """

    def __init__(self, frame: Frame, solution: Sequence[int] | None = None) -> None:
        self.frame = frame
        clues = ClueFinder(Looks(frame))
        self.stories = Stories(clues)
        self.trials = Trials(self.stories, solution)

        def clue(family: str) -> LookFinder:
            return lambda position, about=EVERY: clues.finds(position, family, about)

        def cells(size: int) -> LookFinder:
            return lambda position, about=EVERY: subsets(position, size, about)

        def lines(size: int) -> LookFinder:
            return lambda position, about=EVERY: fish(position, size, about)

        def what_ifs(sort: Sort) -> Finder:
            return lambda position: self.stories.finds(position, sort)

        #: Finders asked together, in ascending order of effort: looks, and then what-ifs and trials.
        self.looks: list[list[LookFinder]] = [
            [only_places, only_digits, clue("rule"), clue("clue"), locked],
            [cells(2), clue("clue and house"), clue("derived sum")],
            [cells(3), lines(2), wings, equal_sets, clue("two clues")],
            [cells(4), lines(3), Colours(frame).finds, clue("clue and two houses")],
            [clue("three clues"), lines(4)],
        ]
        self.searches: list[list[Finder]] = [*([what_ifs(sort)] for sort in SORTS), [self.trials.finds]]

    @property
    def tiers(self) -> Sequence[Sequence[Finder]]:
        """All tiers, in ascending order of effort."""
        return [*self.looks, *self.searches]

    def sweep(self, start: Position, seconds: float | None = None) -> Sweep:
        """
        Sweep from a position until it is complete or nothing more is seen.

        Args:
            start: The position; it is not changed.
            seconds: Wall time after which the sweep stops where it stands; None for no limit.
        """
        until = None if seconds is None else perf_counter() + seconds
        return self._swept(Sweep(start, (), start.copy()), self.tiers, until)

    def resumed(self, sweep: Sweep, place: int, last: Finder, until: float | None = None) -> Sweep:
        """
        Sweep anew from one round of a sweep on, with another finder in place of what-ifs and trials.

        Args:
            sweep: The sweep, which is not changed.
            place: The place of the first round that is made anew, from 0.
            last: What is asked where no look shows anything.
            until: When to stop, as ``perf_counter`` tells it; None for no limit.
        """
        here = sweep.rounds[place].before.copy()
        return self._swept(Sweep(sweep.start, sweep.rounds[:place], here), [*self.looks, [last]], until)

    def _swept(self, sweep: Sweep, tiers: Sequence[Sequence[Finder]], until: float | None) -> Sweep:
        """Sweep on from where a sweep came to rest."""
        here, rounds = sweep.end, list(sweep.rounds)
        while not here.complete and (until is None or perf_counter() < until):
            found = self._round(here, tiers)
            if found is None:
                break
            rounds.append(found)
            here = here.copy()
            for find in found.finds:
                here.remove(find.removes)
            for find in found.finds:
                for cell, digit in find.places.items():
                    if not here.placed[cell]:
                        here.place(cell, digit)
        return Sweep(sweep.start, tuple(rounds), here)

    @staticmethod
    def _round(here: Position, tiers: Sequence[Sequence[Finder]]) -> Round | None:
        for tier, finders in enumerate(tiers):
            finds = tuple(chain.from_iterable(finder(here) for finder in finders))
            if finds:
                return Round(here, finds, tier)
        return None
