"""
From a sweep to the steps that its end rests on, and from these to an order a person would be glad to follow.

Backwards from the digits placed, each digit and each mark that a certificate relies on is traced to the find
that gave it, and of the finds of one round that give the same the one of least effort is told. What nothing
rests on is never told.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from saywhy.reasoning.effort import FAR, effort
from saywhy.reasoning.frame import Frame, bits
from saywhy.reasoning.step import Find, Step
from saywhy.reasoning.sweep import Round, Sweep

#: Finds of one round that give the same are drawn up and compared, at most this many.
RIVALS = 6


class Trace:
    """The steps of one sweep that are worth telling."""

    def __init__(self, frame: Frame, sweep: Sweep) -> None:
        self.frame, self.sweep = frame, sweep
        self._steps: list[list[Step]] = [[] for _ in sweep.rounds]
        self._built: dict[int, Step] = {}
        self._removed = [_givers(frame, found) for found in sweep.rounds]
        self._placed = [_placers(found) for found in sweep.rounds]
        #: The round in which each candidate went by a written mark, and each cell got its digit.
        self._gone_in: dict[int, int] = {}
        self._stood_in: dict[int, int] = {}
        for number, found in enumerate(sweep.rounds):
            for candidate in self._removed[number]:
                self._gone_in.setdefault(candidate, number)
            for cell in self._placed[number]:
                if not found.before.placed[cell] and cell not in self._stood_in:
                    self._stood_in[cell] = number

    def steps(self) -> list[Step]:
        """Give the needed steps, round by round."""
        marks: list[set[int]] = [set() for _ in self.sweep.rounds]
        digits: list[set[int]] = [set() for _ in self.sweep.rounds]

        def want(step: Step, number: int) -> None:
            for cell, mask in step.reason.facts.items():
                if self.sweep.rounds[number].before.placed[cell]:
                    if cell in self._stood_in:
                        digits[self._stood_in[cell]].add(cell)
                    continue
                for place in bits(self.frame.full & ~mask):
                    candidate = cell * self.frame.n + place
                    if candidate in self._gone_in:
                        marks[self._gone_in[candidate]].add(candidate)

        for cell, number in self._stood_in.items():
            digits[number].add(cell)
        for number in range(len(self.sweep.rounds) - 1, -1, -1):
            for cell in sorted(digits[number]):
                want(self._tell(number, self._placed[number][cell]), number)
            while True:
                given = 0
                for step in self._steps[number]:
                    for cell, mask in step.struck(self.frame.full).items():
                        given |= mask << (cell * self.frame.n)
                missing = [c for c in sorted(marks[number]) if not given >> c & 1]
                if not missing:
                    break
                want(self._tell(number, self._removed[number][missing[0]]), number)
        return [step for steps in self._steps for step in steps]

    def _tell(self, number: int, finds: Sequence[Find]) -> Step:
        """Draw up the least effort among rival finds and keep it for its round."""
        step = min((self._build(find) for find in finds[:RIVALS]), key=lambda step: step.effort)
        if step not in self._steps[number]:
            self._steps[number].append(step)
        return step

    def _build(self, find: Find) -> Step:
        if id(find) not in self._built:
            step = find.build()
            weighed = effort(step, self.frame.clue_cells(step.reason))
            self._built[id(find)] = replace(step, effort=weighed)
        return self._built[id(find)]


def _givers(frame: Frame, found: Round) -> dict[int, list[Find]]:
    """Give for each candidate the finds of a round that strike it out."""
    givers: dict[int, list[Find]] = {}
    for find in found.finds:
        for cell, mask in find.removes.items():
            for place in bits(mask):
                givers.setdefault(cell * frame.n + place, []).append(find)
        for cell, digit in find.places.items():
            for place in bits(found.before.domain(cell) & ~(1 << (digit - 1))):
                givers.setdefault(cell * frame.n + place, []).append(find)
    return givers


def _placers(found: Round) -> dict[int, list[Find]]:
    """Give for each cell the finds of a round that place its digit."""
    placers: dict[int, list[Find]] = {}
    for find in found.finds:
        for cell in find.places:
            placers.setdefault(cell, []).append(find)
    return placers


def in_order(frame: Frame, steps: Sequence[Step]) -> tuple[list[Step], list[int]]:
    """
    Put steps in an order in which each rests on earlier ones alone.

    Of the steps that are ready the one of least effort comes next, near the last digit placed before far.

    Returns:
        The steps, and for each how many were ready that take no more effort, itself included.
    """
    full = frame.full
    left = list(steps)
    known = [full if not given else 1 << (given - 1) for given in frame.puzzle.givens]
    ordered: list[Step] = []
    openings: list[int] = []
    last: int | None = None

    def ready(step: Step) -> bool:
        return all(not known[cell] & ~mask for cell, mask in step.reason.facts.items())

    def cost(step: Step) -> float:
        if last is None:
            return step.effort
        return step.effort + FAR * frame.distance(last, next(iter({**step.places, **step.removes})))

    while left:
        able = [step for step in left if ready(step)]
        step = min(able, key=cost)
        openings.append(sum(other.effort <= step.effort + 1e-9 for other in able))
        ordered.append(step)
        left.remove(step)
        for cell, mask in step.struck(full).items():
            known[cell] &= ~mask
        if step.places:
            last = next(iter(step.places))
    return ordered, openings
