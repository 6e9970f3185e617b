"""
From a sweep to the steps that its end rests on.

Backwards from the digits placed, each digit and each mark that a certificate relies on is traced to the find
that gave it, and of the finds of one round that give the same the one of least effort is told. What nothing
rests on is never told.
"""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.reasoning.effort import weighed
from saywhy.reasoning.frame import Frame, bits
from saywhy.reasoning.step import Find, Step
from saywhy.reasoning.sweep import Round, Sweep

#: Finds of one round that give the same are drawn up and compared, at most this many.
RIVALS = 6


class Trace:
    """The steps of one sweep that are worth telling."""

    def __init__(self, frame: Frame, sweep: Sweep) -> None:
        self.frame, self.sweep = frame, sweep
        self._removed = [_givers(frame, found) for found in sweep.rounds]
        self._placed = [_placers(found) for found in sweep.rounds]
        #: The round in which each candidate went by a written mark, and each cell got its digit.
        self._gone_in: dict[int, int] = {}
        self._stood_in: dict[int, int] = {}
        for number, found in enumerate(sweep.rounds):
            for candidate in self._removed[number]:
                self._gone_in.setdefault(candidate, number)
            for cell in self._placed[number]:
                if not found.before.placed[cell]:
                    self._stood_in.setdefault(cell, number)
        #: What is still to be shown: for each round, digits that must stand and masks that must be gone.
        self._stand: list[set[int]] = [set() for _ in sweep.rounds]
        self._gone: list[dict[int, int]] = [{} for _ in sweep.rounds]

    def steps(self) -> list[Step]:
        """Give the needed steps, last ones first."""
        told: list[Step] = []
        for cell, number in self._stood_in.items():
            self._stand[number].add(cell)
        for number in range(len(self.sweep.rounds) - 1, -1, -1):
            while self._stand[number]:
                cell = min(self._stand[number])
                told.append(self._tell(number, self._placed[number][cell]))
            while any(self._gone[number].values()):
                cell, mask = next((cell, mask) for cell, mask in self._gone[number].items() if mask)
                candidate = cell * self.frame.n + mask.bit_length() - 1
                told.append(self._tell(number, self._removed[number][candidate]))
        return told

    def _want(self, step: Step, number: int) -> None:
        """Ask for all that a step of this round relies on."""
        before = self.sweep.rounds[number].before
        for cell, mask in step.reason.facts.items():
            if before.placed[cell]:
                if cell in self._stood_in:
                    self._stand[self._stood_in[cell]].add(cell)
                continue
            for place in bits(self.frame.full & ~mask):
                round_ = self._gone_in.get(cell * self.frame.n + place)
                if round_ is not None:
                    self._gone[round_][cell] = self._gone[round_].get(cell, 0) | 1 << place

    def _tell(self, number: int, finds: Sequence[Find]) -> Step:
        """Draw up the least effort among rival finds, note what it shows and ask for what it relies on."""
        wanted: dict[int, int] = {}
        for gone in self._gone[: number + 1]:
            for cell, mask in gone.items():
                wanted[cell] = wanted.get(cell, 0) | mask
        step = min((self._build(find, wanted) for find in finds[:RIVALS]), key=lambda step: step.effort)
        struck = step.struck(self.frame.full)
        for cell in step.places:
            self._stand[number].discard(cell)
        for gone in self._gone[: number + 1]:
            for cell, mask in struck.items():
                if cell in gone:
                    gone[cell] &= ~mask
        self._want(step, number)
        return step

    def _build(self, find: Find, wanted: dict[int, int]) -> Step:
        return weighed(self.frame, find.build(wanted))


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
