"""
From the steps that an end rests on to an order that a person would be glad to follow.

The next digit is the one for which least is still to be told. Each step is gone through where it is told
(``renewal``). Many are easier there than where they were found, so a path that is to be told is put in order
again, by what each step takes then, and steps that are one thought are joined where the first of them comes.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from saywhy.engine.constraints import Source
from saywhy.reasoning.effort import FAR
from saywhy.reasoning.frame import bits
from saywhy.reasoning.position import Position
from saywhy.reasoning.renewal import Retell, relied_on, settled, sharpened
from saywhy.reasoning.step import Step
from saywhy.reasoning.thought import joined, stands


def in_order(start: Position, steps: Sequence[Step], retell: Retell | None = None) -> list[Step]:
    """
    Put steps in an order in which each rests on earlier ones alone, as they stand at their places.

    The next digit placed is the one for which least effort is still to be told, near the last one before
    far; what it rests on is told right before it, easiest first.

    Args:
        start: Where the first step is told.
        steps: What there is to tell, in any order; together with the start they show all that they rely on.
        retell: Tells a what-if anew where more is known; needed where there are any.
    """
    return settled(start, _ordered(start, steps), retell, seen_first=True)


def to_tell(start: Position, steps: Sequence[Step], retell: Retell | None = None) -> list[Step]:
    """
    Put the steps of a path in order anew, by what each takes at its place, and join what is one thought.

    Here a mark is recalled for all that it shows, where that takes fewer words.

    Args:
        start: Where the first step is told.
        steps: As ``in_order`` gave them.
        retell: Tells a what-if anew where more is known; needed where there are any.
    """
    recalled = settled(start, _ordered(start, steps), retell, seen_first=False)
    return _merged(start, sharpened(start.frame, recalled))


def openings(start: Position, steps: Sequence[Step]) -> list[int]:
    """
    Give for each step of a path how many were ready there that take no more effort, itself included.

    Args:
        start: Where the first step is told.
        steps: In order; each rests on earlier ones.
    """
    rests = _rests(start, steps)
    untold = (1 << len(steps)) - 1
    found = []
    for place, step in enumerate(steps):
        later = zip(steps[place:], rests[place:], strict=True)
        found.append(sum(other.effort <= step.effort + 1e-9 and not needs & untold for other, needs in later))
        untold ^= 1 << place
    return found


def _ordered(start: Position, steps: Sequence[Step]) -> list[Step]:
    order = _Order(start, steps)
    while order.left:
        for index in order.towards_next_digit():
            order.take(index)
    return [steps[index] for index in order.taken]


def _merged(start: Position, steps: Sequence[Step]) -> list[Step]:
    """Join what may be told as one thought to where that thought comes first."""
    frame, full = start.frame, start.frame.full
    known = frame.domains(start.marks)
    merged: list[tuple[Step, list[int]]] = []  # each with the marks that stood before it
    on_clues: dict[tuple[Source, ...], list[int]] = {}  # places by the clues looked at
    for step in steps:
        clues = tuple(step.reason.of_kind("clue"))
        for place in reversed(on_clues.get(clues, ())):
            before, stood = merged[place]
            one = joined(frame, before, step) if stands(step, stood) else None
            if one is not None:
                merged[place] = one, stood
                break
        else:
            on_clues.setdefault(clues, []).append(len(merged))
            merged.append((step, known.copy()))
        for cell, mask in step.struck(full).items():
            known[cell] &= ~mask
    return [step for step, _ in merged]


def _rests(start: Position, steps: Sequence[Step]) -> list[int]:
    """Give for each step the set of steps that it rests on in the end, as a bit set."""
    frame, marks = start.frame, start.marks
    relied = [relied_on(frame, step) for step in steps]
    struck = [frame.as_set(step.struck(frame.full)) for step in steps]
    rests = [0] * len(steps)
    news: list[tuple[int, int]] = []  # candidates newly gone, by which step
    left = list(range(len(steps)))
    while left:
        ready = [index for index in left if not relied[index] & marks]
        assert ready, "every step rests on steps that are told"
        for index in ready:
            for gone, by in news:
                if gone & relied[index]:
                    rests[index] |= rests[by] | 1 << by
        for index in ready:
            if gone := struck[index] & marks:
                news.append((gone, index))
                marks ^= gone
        taken = set(ready)
        left = [index for index in left if index not in taken]
    return rests


class _Order:
    """Steps with what each rests on in the end, taken one after another."""

    def __init__(self, start: Position, steps: Sequence[Step]) -> None:
        self.frame, self.steps = start.frame, steps
        self.left = set(range(len(steps)))
        self.taken: list[int] = []
        self._last: int | None = None
        self._rests = _rests(start, steps)
        self._untold = (1 << len(steps)) - 1
        #: For each step the effort of what it rests on and is still to be told, its own included.
        self._cost = [
            step.effort + sum(steps[index].effort for index in bits(rests))
            for step, rests in zip(steps, self._rests, strict=True)
        ]

    def towards_next_digit(self) -> list[int]:
        """Give the steps up to the next digit, in order; all that are left where none places a digit."""
        best: tuple[float, int] | None = None
        for index in self.left:
            places = self.steps[index].places
            if not places:
                continue
            cost = self._cost[index]
            if self._last is not None:
                cost += FAR * self.frame.distance(self._last, next(iter(places)))
            if best is None or (cost, index) < best:
                best = cost, index
        if best is None:
            return self._sorted(self.left)
        return self._sorted([*bits(self._rests[best[1]] & self._untold), best[1]])

    def _sorted(self, indexes: Collection[int]) -> list[int]:
        """Order steps so that each rests on earlier ones, easiest first."""
        waiting, ordered = set(indexes), []
        held = sum(1 << index for index in waiting)
        while waiting:
            ready = [index for index in waiting if not self._rests[index] & held]
            chosen = min(ready, key=lambda index: (self.steps[index].effort, index))
            ordered.append(chosen)
            waiting.remove(chosen)
            held ^= 1 << chosen
        return ordered

    def take(self, index: int) -> None:
        """Take a step."""
        step = self.steps[index]
        self.taken.append(index)
        self.left.remove(index)
        self._untold ^= 1 << index
        for other in self.left:
            if self._rests[other] >> index & 1:
                self._cost[other] -= step.effort
        if step.places:
            self._last = next(iter(step.places))
