"""
The shortest known chain of looks from a position to one digit, or to some marks.

The search goes in widening stages, each a sweep of its own from the position: first what looks at houses
and single clues show with pencil marks alone, then digits that are not on the board yet, then every look.
What comes to the goal is traced back to what it rests on; the first stage
whose chain can be followed decides. Beside it stands what the path of least effort has for the
goal, what-ifs and all, if it needs no digit that does not stand.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from saywhy.reasoning.frame import bits
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Find, Step
from saywhy.reasoning.sweep import Finder, Round, Sweep, Sweeper
from saywhy.reasoning.trace import Trace, in_order

#: A chain of so many looks can be followed. A longer one counts only where no digit is much nearer: it may
#: be so many times as long as the chain to the nearest digit.
FOLLOWED, LONGER = 4, 2
#: Digits that are not on the board may stand so deep in a chain, each resting on the one before.
DEEP = FOLLOWED - 1

#: The search, for people.
SEARCH = (
    f"no chain of up to {FOLLOWED} looks was found, nor one of at most {LONGER} times as many as the nearest "
    "digit takes, nor is it next on the path of least effort"
)


@dataclass(frozen=True)
class Goal:
    """
    What is to be shown.

    Attributes:
        cell: The cell.
        digit: The digit to place; 0 where marks are to be struck out instead.
        gone: The mask of digits to strike out.
    """

    cell: int
    digit: int = 0
    gone: int = 0


class _Back(Trace):
    """A trace of one goal only."""

    def to(self, goal: Goal) -> list[Step]:
        """Give the steps that the goal rests on, first ones first."""
        if goal.digit:
            self._stand[self._stood_in[goal.cell]].add(goal.cell)
        for place in bits(goal.gone):
            number = self._gone_in.get(goal.cell * self.frame.n + place)
            if number is not None:
                wanted = self._gone[number]
                wanted[goal.cell] = wanted.get(goal.cell, 0) | 1 << place
        return self._asked()[::-1]

    def _asked(self) -> list[Step]:
        told: list[Step] = []
        for number in range(len(self.sweep.rounds) - 1, -1, -1):
            while self._stand[number]:
                told.append(self._tell(number, self._placed[number][min(self._stand[number])]))
            while any(self._gone[number].values()):
                cell, mask = next((cell, mask) for cell, mask in self._gone[number].items() if mask)
                candidate = cell * self.frame.n + mask.bit_length() - 1
                told.append(self._tell(number, self._removed[number][candidate]))
        return told


class Chains:
    """Finds chains in positions of one frame."""

    def __init__(self, sweeper: Sweeper, path: Sequence[Step] = ()) -> None:
        self.sweeper = sweeper
        self._steps = path
        #: For each candidate the step of the path that strikes it out, for each cell the one that fills it.
        self._giver: dict[int, int] = {}
        self._placer: dict[int, int] = {}
        for number, step in enumerate(path):
            for cell, mask in step.struck(sweeper.frame.full).items():
                for place in bits(mask):
                    self._giver.setdefault(cell * sweeper.frame.n + place, number)
            for cell in step.places:
                self._placer.setdefault(cell, number)
        self.frame = sweeper.frame
        tiers = sweeper.tiers
        #: Tiers asked and how deep digits may stand, stage by stage.
        self.stages: list[tuple[list[list[Finder]], int]] = [
            (tiers[:2], 0),
            (tiers[:2], 1),
            (sweeper.looks, 0),
            (sweeper.looks, DEEP),
        ]

    def to(self, start: Position, goal: Goal) -> list[Step] | None:
        """
        Give the steps of a chain that ends in the goal; None where the search finds none.

        Args:
            start: What stands; not changed.
            goal: A true digit, or digits that are not the cell's; marks are sought without further digits.
        """
        best: list[Step] | None = None
        for tiers, deep in self.stages:
            if deep and not goal.digit:
                continue
            sweep = self._sweep(start, goal, tiers, deep)
            if sweep is None:
                continue
            steps = self._told(start, sweep, goal)
            if best is None or len(steps) < len(best):
                best = steps
            if len(best) <= FOLLOWED:
                return best
        own = self._of_path(start, goal)
        if own is not None and (best is None or len(own) <= len(best)):
            return own
        return best if best is not None and self._near(start, len(best)) else own

    def _of_path(self, start: Position, goal: Goal) -> list[Step] | None:
        """Give what the path has for a goal, less what stands; None where further digits are needed."""
        full, n = self.frame.full, self.frame.n
        wanted = [goal.cell * n + place for place in bits(goal.gone)]
        waiting = [self._placer[goal.cell]] if goal.digit and goal.cell in self._placer else []
        if not waiting and (goal.digit or any(candidate not in self._giver for candidate in wanted)):
            return None
        waiting += [self._giver[c] for c in wanted if start.candidates >> c & 1]
        needed = set(waiting)
        while waiting:
            for cell, mask in self._steps[waiting.pop()].reason.facts.items():
                for place in bits(full & ~mask):
                    candidate = cell * n + place
                    by = self._giver.get(candidate)
                    if by is not None and by not in needed and start.candidates >> candidate & 1:
                        needed.add(by)
                        waiting.append(by)
        steps = [self._steps[number] for number in sorted(needed)]
        for place, step in enumerate(steps):
            more = {cell for cell in step.places if not start.placed[cell]} - {goal.cell}
            if any(cell in later.reason.facts for later in steps[place + 1 :] for cell in more):
                return None
        kept = {goal.cell: goal.digit} if goal.digit else {}
        return [
            replace(step, places={c: d for c, d in step.places.items() if kept.get(c) == d}) for step in steps
        ]

    def _near(self, start: Position, length: int) -> bool:
        """Whether a chain is short enough, or no digit is much nearer."""
        if length <= FOLLOWED:
            return True
        nearest = self._sweep(start, None, self.sweeper.looks, 0)
        if nearest is None:
            return True
        found = nearest.rounds[-1]
        cell, digit = min((c, d) for find in found.finds for c, d in find.places.items())
        return length <= LONGER * len(self._told(start, nearest, Goal(cell, digit)))

    def _told(self, start: Position, sweep: Sweep, goal: Goal) -> list[Step]:
        steps = _Back(self.frame, sweep).to(goal)
        return in_order(start, steps)[0] if goal.digit else steps

    def _sweep(
        self, start: Position, goal: Goal | None, tiers: list[list[Finder]], deep: int
    ) -> Sweep | None:
        """Sweep until the goal is reached, or where there is none until any digit is."""
        here = start.copy()
        known: dict[int, int] = {}
        rounds: list[Round] = []
        while not _reached(here, known, goal):
            found = _round(here, known, tiers)
            if found is None:
                waiting = {cell: digit for cell, digit in known.items() if not here.placed[cell]}
                if not deep or not waiting:
                    return None
                deep -= 1
                here = here.copy()
                for cell, digit in waiting.items():
                    here.place(cell, digit)
                continue
            rounds.append(found)
            here = here.copy()
            for find in found.finds:
                here.remove(find.removes)
                for cell, digit in find.places.items():
                    known.setdefault(cell, digit)
                    here.remove({cell: here.domain(cell) & ~(1 << (digit - 1))})
        return Sweep(start, tuple(rounds), here)


def _reached(here: Position, known: Mapping[int, int], goal: Goal | None) -> bool:
    if goal is None:
        return bool(known)
    if goal.digit:
        return known.get(goal.cell) == goal.digit
    return not here.domain(goal.cell) & goal.gone


def _round(here: Position, known: Mapping[int, int], tiers: list[list[Finder]]) -> Round | None:
    for tier, finders in enumerate(tiers):
        fresh: list[Find] = []
        for finder in finders:
            fresh += [find for find in finder(here) if find.removes or find.places.keys() - known.keys()]
        if fresh:
            return Round(here, tuple(fresh), tier)
    return None
