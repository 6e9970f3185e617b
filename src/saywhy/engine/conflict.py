"""Which few clues, givens, houses and rules cannot hold together?"""

from __future__ import annotations

import random
from dataclasses import dataclass
from time import monotonic
from typing import Literal

from saywhy.engine.budget import UNLIMITED, Budget, Cancel
from saywhy.engine.constraints import Source
from saywhy.engine.hitting import hitting_set
from saywhy.engine.model import Model, compile_model
from saywhy.puzzle import Puzzle


@dataclass(frozen=True)
class Conflict:
    """
    Clues, givens, houses and rules that cannot hold together, while any all but one of them can.

    Attributes:
        clues: Places in ``puzzle.clues``.
        givens: Cells.
        houses: Names, such as ``row 3``.
        rules: Names of grid-wide rules.
        smallest: True where no conflict has fewer members in all: a proof. False where the budget ended
            before that proof; and where ``minimal`` is False too, a member may even be to spare.
        minimal: Whether every member is proved to be needed.
    """

    clues: tuple[int, ...]
    givens: tuple[int, ...]
    houses: tuple[str, ...]
    rules: tuple[str, ...]
    smallest: bool
    minimal: bool = True

    @property
    def size(self) -> int:
        """How many members it has."""
        return len(self.clues) + len(self.givens) + len(self.houses) + len(self.rules)


def conflict(
    puzzle: Puzzle, budget: Budget = UNLIMITED, cancel: Cancel | None = None, seed: int = 0
) -> Conflict | None:
    """
    Find a smallest set of clues, givens, houses and grid-wide rules that cannot hold together.

    Why this way: first a conflict is made minimal by taking members out one by one, so there is always an
    answer; then smallest hitting sets of what must be broken climb to the smallest (Ignatiev, Previti,
    Liffiton, Marques-Silva, "Smallest MUS extraction with minimal hitting set dualization", CP 2015).

    Args:
        puzzle: The puzzle.
        budget: The most to spend; with none, it goes on to a proof however long that takes.
        cancel: A flag that stops the search from another thread.
        seed: Changes the order in which members are tried.

    Returns:
        The conflict; None where the puzzle has a solution, or where the budget ended before it was
        known to have none.

    Raises:
        RuleError: A rule is not allowed on this grid.
    """
    return _Hunt(puzzle, compile_model(puzzle), budget, cancel, seed).run()


class _OutOfBudgetError(Exception):
    """The budget is spent, or the query was cancelled."""


#: Nodes for a question whose answer only helps; the search for a conflict is full of easy ones.
_TRY = 5_000


class _Hunt:
    """
    One search for a conflict; sets of members are bit masks over ``members``.

    Attributes:
        members: Sources of primitives, then cells of givens.
        best: The smallest conflict so far; None while none is known.
        minimal: Whether every member of ``best`` is proved to be needed.
    """

    def __init__(
        self, puzzle: Puzzle, model: Model, budget: Budget, cancel: Cancel | None, seed: int
    ) -> None:
        self.puzzle = puzzle
        self.model = model
        self.cancel = cancel
        self.seed = seed
        self.random = random.Random(seed)
        self.deadline = None if budget.seconds is None else monotonic() + budget.seconds
        self.nodes_left = budget.nodes
        held: dict[Source, list[int]] = {}
        for number, constraint in enumerate(model.constraints):
            held.setdefault(constraint.source, []).append(number)
        cells = [cell for cell, digit in enumerate(puzzle.givens) if digit]
        self.members: list[Source | int] = [*held, *cells]
        self.ids = list(held.values())
        self.all = (1 << len(self.members)) - 1
        self.best: int | None = None
        self.minimal = False

    def run(self) -> Conflict | None:
        """Find the conflict."""
        smallest = False
        try:
            if self._filling(self.all) is not None:
                return None
            self.best = self._minimal(self.all)
            smallest = self._climb()
        except _OutOfBudgetError:
            pass
        return None if self.best is None else self._told(self.best, smallest)

    def _told(self, held: int, smallest: bool) -> Conflict:
        members = [member for place, member in enumerate(self.members) if held >> place & 1]
        sources = [member for member in members if isinstance(member, Source)]
        return Conflict(
            clues=tuple(source.number for source in sources if source.kind == "clue"),
            givens=tuple(member for member in members if isinstance(member, int)),
            houses=tuple(source.name for source in sources if source.kind == "house"),
            rules=tuple(source.name for source in sources if source.kind == "rule"),
            smallest=smallest,
            minimal=self.minimal,
        )

    def _filling(self, held: int, nodes: int | None = None) -> list[int] | Literal[False] | None:
        """
        Fill the grid so that these members hold.

        Returns:
            A digit a cell; None if that is impossible; False if ``nodes`` did not suffice to tell.

        Raises:
            _OutOfBudgetError: The whole budget is spent.
        """
        seconds = None if self.deadline is None else self.deadline - monotonic()
        if seconds is not None and seconds <= 0:
            raise _OutOfBudgetError
        allowed = [most for most in (nodes, self.nodes_left) if most is not None]
        domains = [(1 << self.model.size) - 1] * self.model.cells
        ids: list[int] = []
        for place, member in enumerate(self.members):
            if not held >> place & 1:
                continue
            if isinstance(member, int):
                domains[member] = 1 << (self.puzzle.givens[member] - 1)
            else:
                ids += self.ids[place]
        found, kept, finished, used, _ = self.model.native.search(
            ids, domains, 1, 1, min(allowed, default=None), seconds, self.cancel, self.seed
        )
        if self.nodes_left is not None:
            self.nodes_left -= used
        if found:
            # Cells that no member speaks of may hold anything, so they hold their given.
            return [digit or given or 1 for digit, given in zip(kept[0], self.puzzle.givens, strict=True)]
        if finished:
            return None
        if nodes is None or used < nodes:
            raise _OutOfBudgetError
        return False

    def _shuffled(self, held: int) -> list[int]:
        places = [place for place in range(len(self.members)) if held >> place & 1]
        self.random.shuffle(places)
        return places

    def _minimal(self, held: int) -> int:
        """Take members out of a conflict one by one for as long as it stays one."""
        self.best = held
        self.minimal = False
        sure = True
        for place in self._shuffled(held):
            fewer = held & ~(1 << place)
            found = self._filling(fewer, 20 * _TRY)
            if found is None:
                held = self.best = fewer
            elif found is False:
                sure = False
        self.minimal = sure
        return held

    def _climb(self) -> bool:
        """
        Raise the least size that a conflict can have until a conflict of that size is found.

        Invariant: every conflict has a member in each of ``broken``, so none is smaller than a smallest
        hitting set of them.

        Returns:
            Whether ``best`` is now proved smallest.
        """
        broken: list[int] = []
        size = 1
        while self.best is not None:
            hit, done = hitting_set(broken, size, self.best.bit_count() - 1, self._go_on)
            if not done:
                raise _OutOfBudgetError
            if hit is None:
                self.minimal = True
                return True
            size = hit.bit_count()
            # One smallest hitting set yields several broken sets: the next must be met by one more member.
            held = hit
            while (filling := self._filling(held)) is not None and filling is not False:
                rest = self.all & ~self._grown(held, filling)
                broken.append(rest)
                near = rest & self.best or rest
                held |= 1 << self.random.choice(self._shuffled(near))
            if held == hit:
                self.best, self.minimal = hit, True
                return True
            if held.bit_count() < self.best.bit_count():
                kept, sure = self.best, self.minimal
                self._minimal(held)
                if self.best.bit_count() >= kept.bit_count():
                    self.best, self.minimal = kept, sure
        return False

    def _grown(self, held: int, filling: list[int]) -> int:
        """Add members to a set that can hold until (nearly) no more can be added."""
        held |= self._satisfied(filling)
        for place in self._shuffled(self.all & ~held):
            if held >> place & 1:
                continue
            found = self._filling(held | 1 << place, _TRY)
            if found:
                held |= self._satisfied(found)
        return held

    def _satisfied(self, filling: list[int]) -> int:
        holds = self.model.native.satisfied(filling)
        met = 0
        for place, member in enumerate(self.members):
            if isinstance(member, int):
                met |= (filling[member] == self.puzzle.givens[member]) << place
            else:
                met |= all(holds[number] for number in self.ids[place]) << place
        return met

    def _go_on(self) -> bool:
        over = self.deadline is not None and monotonic() >= self.deadline
        return not over and not (self.cancel is not None and self.cancel.is_set)
