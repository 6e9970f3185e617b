"""Repair towards one solution: the fewest changes after which it is the only one."""

from __future__ import annotations

import random
from dataclasses import dataclass

from saywhy.engine.hitting import hitting_set
from saywhy.puzzle import Puzzle
from saywhy.setting.bench import Bench
from saywhy.setting.changes import Change, apply
from saywhy.setting.repair_options import options
from saywhy.setting.symmetry import Symmetry
from saywhy.setting.watch import StoppedError, Watch

#: Ways to put right what the solution breaks that are gone into, the best first.
MOST_COVERS = 24


@dataclass(frozen=True)
class Toward:
    """
    Changes that lead to one solution.

    Attributes:
        changes: The changes; together they leave the solution as the only one.
        least: No fewer will do for this solution.
    """

    changes: tuple[Change, ...]
    least: int

    @property
    def proved(self) -> bool:
        """Whether fewer are proved not to do."""
        return len(self.changes) == self.least


def toward(
    puzzle: Puzzle, solution: tuple[int, ...], watch: Watch, seed: int = 0, kept: Symmetry | None = None
) -> Toward | None:
    """
    Find the fewest changes after which a filling is the only solution.

    Why this way: what the filling breaks has to be put right, and there are few ways to do that. After
    that every other solution has to be broken by something that is added and that the filling keeps:
    smallest hitting sets of what breaks the others seen so far, until there are no others (the implicit
    hitting sets of Moreno-Centeno and Karp, Operations Research 61, 2013).

    Args:
        puzzle: The puzzle.
        solution: A filling that keeps the houses and the grid-wide rules.
        watch: The clock; where the time is over, the best so far is given.
        seed: Changes the order of what is tried.
        kept: Add givens alone, and only so that their pattern has this symmetry; a set of them that
            stand or fall together counts as many changes as it has cells.

    Returns:
        The changes; None where the filling breaks what cannot be changed, or the time was over too early.
    """
    best: Toward | None = None
    for cover in _covers(puzzle, solution, watch):
        if best is not None and len(cover) >= len(best.changes):
            break
        try:
            added = _Additions(apply(puzzle, cover), solution, watch, seed, kept).run()
        except StoppedError:
            break
        if added is None:
            continue
        least = len(cover) + added.least
        if best is None or len(cover) + len(added.changes) < len(best.changes):
            least = least if best is None else min(least, best.least)
            best = Toward((*cover, *added.changes), least)
    return best


def _covers(puzzle: Puzzle, solution: tuple[int, ...], watch: Watch) -> list[tuple[Change, ...]]:
    """List the ways to put right what the solution breaks, the fewest changes first."""
    changes = options(puzzle, drops=True, watch=watch)
    bench = Bench(puzzle, watch, changes)
    held = bench.witness(solution)
    if held is None:
        return []
    if not held.broken:
        return [()]
    useful = [
        place
        for place, change in enumerate(changes)
        if bench.touches[place] & held.broken and (held.alive >> place & 1 or bench.is_linked(place))
    ]
    found: list[tuple[int, ...]] = []

    def cover(chosen: tuple[int, ...], left: int) -> None:
        if not left:
            found.append(tuple(sorted(chosen)))
        if not left or len(found) >= 4 * MOST_COVERS:
            return
        first = left & -left
        for place in useful:
            clash = any(changes[place].clashes(changes[other]) for other in chosen)
            if bench.touches[place] & first and not clash:
                cover((*chosen, place), left & ~bench.touches[place])

    cover((), held.broken)
    drops = ("drop-clue", "drop-given", "drop-value")
    ways = [tuple(changes[place] for place in chosen) for chosen in dict.fromkeys(found)]
    ways.sort(key=lambda way: (len(way), sum(change.kind in drops for change in way)))
    return ways[:MOST_COVERS]


class _Additions:
    """One search for the fewest additions; sets of elements are bit masks over ``elements``."""

    def __init__(
        self, puzzle: Puzzle, solution: tuple[int, ...], watch: Watch, seed: int, kept: Symmetry | None
    ) -> None:
        self.watch = watch
        self.solution = solution
        self.random = random.Random(seed)
        changes = [change for change in options(puzzle, drops=False, watch=watch) if change.adds]
        self.bench = Bench(puzzle, watch, changes, seed)
        self.elements = self._elements(kept)

    def _elements(self, kept: Symmetry | None) -> list[int]:
        """Give what can be added as masks of changes: single ones, or givens that stand or fall together."""
        held = self.bench.witness(self.solution)
        if held is None or held.broken:
            return []
        places = [
            place
            for place in range(len(self.bench.changes))
            if held.alive >> place & 1 and not self.bench.is_linked(place)
        ]
        if kept is None:
            return [1 << place for place in places]
        size = self.bench.puzzle.grid.size
        by_cell = {self.bench.changes[place].givens[0][0]: place for place in places if self._gives(place)}
        orbits = ([by_cell[cell] for cell in orbit if cell in by_cell] for orbit in kept.orbits(size))
        return [sum(1 << place for place in orbit) for orbit in orbits if orbit]

    def _gives(self, place: int) -> bool:
        return self.bench.changes[place].kind == "add-given"

    def run(self) -> Toward | None:
        """Find them; None where the solution is none here or the time was over before there was a set."""
        if not self.elements:
            return None
        others: list[int] = []
        best: int | None = None
        size = 0
        try:
            while True:
                most = (len(self.elements) if best is None else best.bit_count()) - 1
                hit, done = hitting_set(others, size, most, lambda: not self.watch.over)
                if not done:
                    break
                if hit is None:
                    size = len(self.elements) if best is None else best.bit_count()
                    break
                size = hit.bit_count()
                chosen = self._settle(hit, others)
                if chosen == hit:
                    best = hit
                    break
                if best is None or chosen.bit_count() < best.bit_count():
                    best = self._fewer(chosen, best)
        except StoppedError:
            pass
        if best is None:
            return None
        changes = self._changes(best)
        least = len(changes) if best.bit_count() == size else size
        return Toward(tuple(self.bench.changes[place] for place in changes), least)

    def _changes(self, chosen: int) -> list[int]:
        held = 0
        for place, element in enumerate(self.elements):
            if chosen >> place & 1:
                held |= element
        return [place for place in range(len(self.bench.changes)) if held >> place & 1]

    def _other(self, chosen: int) -> int | None:
        """Give the elements that break another solution where these are added; None where there is none."""
        tried = self.bench.tried(self._changes(chosen))
        for filling in tried.fillings:
            if filling != self.solution:
                held = self.bench.witness(filling)
                alive = 0 if held is None else held.alive
                return sum(1 << k for k, element in enumerate(self.elements) if element & ~alive)
        return None

    def _settle(self, chosen: int, others: list[int]) -> int:
        """Add elements until there is no other solution, and note what each other one is broken by."""
        while (broken_by := self._other(chosen)) is not None:
            others.append(broken_by)
            places = [k for k in range(len(self.elements)) if broken_by >> k & 1]
            chosen |= 1 << self.random.choice(places)
        return chosen

    def _fewer(self, chosen: int, best: int | None) -> int:
        """Take out of a set that suffices what is to spare."""
        places = [k for k in range(len(self.elements)) if chosen >> k & 1]
        self.random.shuffle(places)
        for place in places:
            if self._other(chosen & ~(1 << place)) is None:
                chosen &= ~(1 << place)
        return chosen if best is None or chosen.bit_count() < best.bit_count() else best
