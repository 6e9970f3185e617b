"""
The chain of least effort through the finds of a spread, up to so many looks.

Backwards from the goal: whatever is still to be shown and was seen last is shown by each of its finds in
turn, which asks for what that find's reason relies on. Branches that cost as much as the best chain so far
are cut. What is guaranteed: no chain of these looks is cheaper, each look with the one reason that was drawn
up for it and ``RIVALS`` looks tried for one thing, unless ``NODES`` branches were looked into first; then it
is the cheapest of those.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from saywhy.reasoning.effort import effort
from saywhy.reasoning.frame import Frame, bits
from saywhy.reasoning.step import Find, Step
from saywhy.reasoning.sweep import Sweep
from saywhy.reasoning.trace import Trace
from saywhy.recording.spread import Goal

#: Branches looked into for one goal, and finds tried for one thing that is to be shown.
NODES, RIVALS = 300, 8
#: A look costs this at least, in glances: the last digit of a house.
LEAST = 1.0

#: What is to be shown, by round: cells whose digit is held in mind, and masks of digits that are gone.
Needs = tuple[tuple[int, int, int], ...]


class Cheapest(Trace):
    """Chains through one sweep."""

    def __init__(self, frame: Frame, sweep: Sweep) -> None:
        super().__init__(frame, sweep)
        self._built: dict[tuple[int, tuple[tuple[int, int], ...]], Step] = {}

    def greedy(self, goal: Goal) -> list[Step]:
        """Give the steps of one chain, first ones first, of any length."""
        for number, cell, mask in self._asked(goal):
            if mask:
                self._gone[number][cell] = self._gone[number].get(cell, 0) | mask
            else:
                self._stand[number].add(cell)
        told: list[Step] = []
        for number in range(len(self.sweep.rounds) - 1, -1, -1):
            while self._stand[number]:
                told.append(self._tell(number, self._placed[number][min(self._stand[number])]))
            while any(self._gone[number].values()):
                cell, mask = next((cell, mask) for cell, mask in self._gone[number].items() if mask)
                candidate = cell * self.frame.n + mask.bit_length() - 1
                told.append(self._tell(number, self._removed[number][candidate]))
        return told[::-1]

    def cheapest(self, goal: Goal, looks: int, below: float) -> list[Step] | None:
        """
        Give the chain of least effort, first steps first.

        Args:
            goal: What it ends in.
            looks: It has so many looks at most.
            below: It takes less effort than this, in glances.
        """
        self._best: list[Step] | None = None
        self._below, self._left = below, NODES
        self._search(frozenset(self._asked(goal)), [], 0.0, looks)
        return self._best

    def _asked(self, goal: Goal) -> list[tuple[int, int, int]]:
        if goal.digit:
            return [(self._stood_in[goal.cell], goal.cell, 0)]
        n = self.frame.n
        return [
            (self._gone_in[goal.cell * n + place], goal.cell, 1 << place)
            for place in bits(goal.gone)
            if goal.cell * n + place in self._gone_in
        ]

    def _search(
        self, needs: frozenset[tuple[int, int, int]], chain: list[Step], spent: float, looks: int
    ) -> None:
        if not needs:
            self._best, self._below = chain[::-1], spent
            return
        if not looks or not self._left or spent + LEAST >= self._below:
            return
        self._left -= 1
        number, cell, mask = max(needs)
        if mask:
            finds = self._removed[number][cell * self.frame.n + mask.bit_length() - 1]
        else:
            finds = self._placed[number][cell]
        wanted: dict[int, int] = {}
        for asked, where, gone in needs:
            if asked <= number and gone:
                wanted[where] = wanted.get(where, 0) | gone
        steps = [self._drawn(find, wanted) for find in finds[:RIVALS]]
        for step in sorted(steps, key=lambda step: step.effort):
            if spent + step.effort >= self._below:
                break
            struck = step.struck(self.frame.full)
            left = {
                need
                for need in needs
                if not (need[2] & struck.get(need[1], 0) if need[2] else need[1] in step.places)
            }
            left.update(self._resting_on(step, number))
            self._search(frozenset(left), [*chain, step], spent + step.effort, looks - 1)

    def _resting_on(self, step: Step, number: int) -> list[tuple[int, int, int]]:
        """Give what a step of a round relies on and the start does not give."""
        before, n = self.sweep.rounds[number].before, self.frame.n
        found = []
        for cell, mask in step.reason.facts.items():
            if before.placed[cell]:
                if cell in self._stood_in:
                    found.append((self._stood_in[cell], cell, 0))
                continue
            for place in bits(self.frame.full & ~mask):
                first = self._gone_in.get(cell * n + place)
                if first is not None:
                    found.append((first, cell, 1 << place))
        return found

    def _drawn(self, find: Find, wanted: Mapping[int, int]) -> Step:
        """Draw up a find for what is wanted of it, once."""
        held = {cell: mask & find.removes[cell] for cell, mask in wanted.items() if cell in find.removes}
        key = id(find), tuple(sorted((cell, mask) for cell, mask in held.items() if mask))
        if key not in self._built:
            step = find.build(dict(key[1]))
            cost = effort(step, self.frame.n, self.frame.clue_cells(step.reason))
            self._built[key] = replace(step, effort=cost)
        return self._built[key]
