"""The least effort path: which step comes next, which steps are needed, what is told in one beat."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from time import perf_counter

from saywhy.reasoning.clues import ClueFinder
from saywhy.reasoning.effort import FAR, IDEAS, effort
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.houses import fish, locked, only_digits, only_places, subsets
from saywhy.reasoning.looks import Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Find, Step
from saywhy.reasoning.whatif import Stories

Finder = Callable[[Position], Iterator[Step]]


@dataclass(frozen=True)
class Walk:
    """
    The steps of a solve from the givens on.

    Attributes:
        frame: The puzzle made ready.
        steps: In order; each rests on the givens and earlier steps alone.
        openings: For each step, how many steps of no more effort were open beside it (itself included).
        complete: Whether the steps fill the grid.
    """

    frame: Frame
    steps: tuple[Step, ...]
    openings: tuple[int, ...]
    complete: bool


class Walker:
    """Walks a puzzle step by step, least effort first."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.clues = ClueFinder(Looks(frame))
        self.stories = Stories(self.clues)
        clue = self.clues.steps
        #: Families in ascending order of the least effort that their steps can have.
        self.families: list[tuple[float, Finder]] = sorted(
            [
                (IDEAS["last digit"], lambda p: _built(only_places(p))),
                (IDEAS["only digit"], lambda p: _built(only_digits(p))),
                (IDEAS["rule"], lambda p: clue(p, "rule")),
                (IDEAS["clue"], lambda p: clue(p, "clue")),
                (IDEAS["locked digit"], lambda p: _built(locked(p))),
                (IDEAS["pair"], lambda p: _built(subsets(p, 2))),
                (IDEAS["clue and house"], lambda p: clue(p, "clue and house")),
                (IDEAS["derived sum"], lambda p: clue(p, "derived sum")),
                (IDEAS["triple"], lambda p: _built(subsets(p, 3))),
                (IDEAS["X-wing"], lambda p: _built(fish(p, 2))),
                (IDEAS["two clues"], lambda p: clue(p, "two clues")),
                (IDEAS["quadruple"], lambda p: _built(subsets(p, 4))),
                (IDEAS["clue and two houses"], lambda p: clue(p, "clue and two houses")),
                (IDEAS["swordfish"], lambda p: _built(fish(p, 3))),
                (IDEAS["three clues"], lambda p: clue(p, "three clues")),
                (IDEAS["what-if"], self._what_ifs),
            ],
            key=lambda family: family[0],
        )

    def walk(self, seconds: float | None = None) -> Walk:
        """
        Walk from the givens to the end, or to where nothing more is seen.

        Args:
            seconds: Wall time after which the walk stops where it stands; None for no limit.
        """
        position = Position.opening(self.frame)
        until = None if seconds is None else perf_counter() + seconds
        steps: list[Step] = []
        openings: list[int] = []
        last: int | None = None
        while not position.complete and (until is None or perf_counter() < until):
            step, beside = self.next(position, last)
            if step is None:
                break
            position.apply(step)
            steps.append(step)
            openings.append(beside)
            if step.places:
                last = next(iter(step.places))
        needed = _needed(self.frame, steps)
        return Walk(
            self.frame,
            tuple(step for step, keep in zip(steps, needed, strict=True) if keep),
            tuple(count for count, keep in zip(openings, needed, strict=True) if keep),
            position.complete,
        )

    def next(self, position: Position, last: int | None = None) -> tuple[Step | None, int]:
        """
        Give the step of least effort in a position, and how many as easy were open.

        Args:
            position: The position.
            last: The cell of the last digit placed: near steps come before far ones.
        """
        found: list[tuple[float, Step]] = []
        for least, find in self.families:
            if found and min(found, key=lambda item: item[0])[0] <= least:
                break
            for step in find(position):
                weighed = replace(step, effort=effort(step, self.frame.clue_cells(step.reason)))
                cost = weighed.effort
                if last is not None:
                    there = next(iter({**step.places, **step.removes}))
                    cost += FAR * self.frame.distance(last, there)
                found.append((cost, weighed))
        if not found:
            return None, 0
        cost, best = min(found, key=lambda item: item[0])
        return best, sum(step.effort <= best.effort + 1e-9 for _, step in found)

    def _what_ifs(self, position: Position) -> Iterator[Step]:
        yield from self.stories.shortest(position)


def _built(finds: Iterator[Find]) -> Iterator[Step]:
    return (find.build() for find in finds)


def _needed(frame: Frame, steps: list[Step]) -> list[bool]:
    """Say of each step whether it places a digit or a later needed step relies on a mark of it."""
    wanted: dict[int, int] = {}
    needed = []
    for step in reversed(steps):
        keep = bool(step.places) or any(wanted.get(cell, 0) & mask for cell, mask in step.removes.items())
        needed.append(keep)
        if keep:
            for cell, mask in step.removes.items():
                wanted[cell] = wanted.get(cell, 0) & ~mask
            for cell, mask in step.reason.facts.items():
                wanted[cell] = wanted.get(cell, 0) | frame.full & ~mask
    return needed[::-1]
