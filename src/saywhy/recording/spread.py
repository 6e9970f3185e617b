"""
What can be seen from one position on, round by round, as far as somebody asks.

A digit that is seen is not on the board: only its marks are taken over, and the digit is held in mind (and so
sees its neighbours) as deep as the spread allows, each depth resting on the one before.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Find
from saywhy.reasoning.sweep import Finder, Round, Sweep


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


class Spread:
    """
    Rounds of looks.

    Args:
        start: Where they begin; not changed.
        tiers: Gives for each round, from 0, what is asked in it, in ascending order of effort.
        deep: How deep digits may be held in mind.
        wide: Whether a round takes what every tier shows, not what the first one does that shows anything.
        most: So many rounds at most.
    """

    def __init__(
        self,
        start: Position,
        tiers: Callable[[int], Sequence[Sequence[Finder]]],
        deep: int,
        *,
        wide: bool = False,
        most: int = 10_000,
    ) -> None:
        self.start, self.tiers = start, tiers
        self.rounds: list[Round] = []
        self._deep, self._wide, self._most = deep, wide, most
        self._here = start.copy()
        self._known: dict[int, int] = {}
        #: For each cell the digit that was seen and in which round; for each round, what was left after it.
        self._seen: dict[int, tuple[int, int]] = {}
        self._after: list[Position] = []
        self._ended = False

    def until(self, goal: Goal) -> Sweep | None:
        """Give the rounds up to the one that reaches a goal; None where none does."""
        number = 0
        while not self._reached(goal, number):
            if number >= len(self.rounds) and not self._go_on():
                return None
            number += 1
        return self._first(number)

    def nearest(self) -> tuple[Sweep, list[Goal]] | None:
        """Give the rounds up to the first that shows a digit, and its digits; None where none does."""
        while not self._seen:
            if not self._go_on():
                return None
        first = min(number for _, number in self._seen.values())
        goals = [Goal(cell, digit) for cell, (digit, number) in self._seen.items() if number == first]
        return self._first(first), goals

    def _first(self, number: int) -> Sweep:
        end = self._after[number - 1] if number else self.start
        return Sweep(self.start, tuple(self.rounds[:number]), end)

    def _reached(self, goal: Goal, number: int) -> bool:
        """Whether the first so many rounds reach a goal."""
        if goal.digit:
            digit, seen = self._seen.get(goal.cell, (0, 0))
            return digit == goal.digit and seen <= number
        position = self._after[number - 1] if number else self.start
        return not position.domain(goal.cell) & goal.gone

    def _go_on(self) -> bool:
        """Add a round; False where there is none to add."""
        if self._ended or len(self.rounds) >= self._most:
            return False
        found = self._round()
        while found is None and self._hold():
            found = self._round()
        if found is None:
            self._ended = True
            return False
        self.rounds.append(found)
        self._here = self._here.copy()
        for find in found.finds:
            self._here.remove(find.removes)
            for cell, digit in find.places.items():
                self._known.setdefault(cell, digit)
                self._seen.setdefault(cell, (digit, len(self.rounds)))
                self._here.remove({cell: self._here.domain(cell) & ~(1 << (digit - 1))})
        self._after.append(self._here)
        if self._wide:
            self._hold()
        return True

    def _hold(self) -> bool:
        """Hold the digits in mind that have been seen; False where that changes nothing."""
        waiting = {cell: digit for cell, digit in self._known.items() if not self._here.placed[cell]}
        if not self._deep or not waiting:
            return False
        self._deep -= 1
        self._here = self._here.copy()
        for cell, digit in waiting.items():
            self._here.place(cell, digit)
        return True

    def _round(self) -> Round | None:
        fresh: list[Find] = []
        for number, tier in enumerate(self.tiers(len(self.rounds))):
            for finder in tier:
                fresh += [
                    find
                    for find in finder(self._here)
                    if find.removes or find.places.keys() - self._known.keys()
                ]
            if fresh and not self._wide:
                return Round(self._here, tuple(fresh), number)
        return Round(self._here, tuple(fresh), 0) if fresh else None
