"""
One attempt at a sketch: a layout, a grid, givens where the reasoning comes to rest, a path, a proof.

An attempt is bounded by counts, never by the clock: the same sketch, seed and number give the same outcome
on every machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf
from random import Random
from typing import Literal

from saywhy.engine import Budget, prove
from saywhy.puzzle import Puzzle
from saywhy.reasoning import explain
from saywhy.reasoning.position import Position
from saywhy.reasoning.profile import Profile
from saywhy.setting.compose.grids import Grids
from saywhy.setting.compose.layout import Slot, drawn, known, layout, read_off
from saywhy.setting.compose.looks import Looks
from saywhy.setting.compose.sketch import EFFORTS, Sketch, symmetry_named

Outcome = Literal["found", "impossible", "no room", "no grid", "no path", "too gentle", "too hard"]

#: Grids of which the one whose numbers say most is taken.
GRIDS = 16
#: Grids looked at for what a given could be.
SAMPLE = 40
#: Givens weighed against each other.
WEIGHED = 2_000
#: How many of the best chance chooses among, on average.
AMONG = 1.5
#: Digits tried in the final proof.
PROOF_NODES = 2_000_000


@dataclass(frozen=True)
class Attempt:
    """
    What came of an attempt.

    Attributes:
        number: Which attempt, from 1.
        outcome: ``found``, or why not; ``impossible`` where no grid keeps what is drawn: a proof.
        puzzle: The finished puzzle; None where none was found.
        solution: Its solution, one digit a cell.
        effort: Its effort.
    """

    number: int
    outcome: Outcome
    puzzle: Puzzle | None = None
    solution: tuple[int, ...] = ()
    effort: Profile | None = None


class _GivenUpError(Exception):
    """The attempt has come to nothing; its argument is the outcome."""


def attempt(sketch: Sketch, seed: int, number: int) -> Attempt:
    """
    Make one attempt.

    Args:
        sketch: The sketch.
        seed: The seed of all attempts.
        number: Which attempt, from 1; each has its own chance.
    """
    try:
        return _Attempt(sketch, Random(f"{seed}/{number}")).run(number)
    except _GivenUpError as reason:
        outcome: Outcome = reason.args[0]
        return Attempt(number, outcome)


class _Attempt:
    def __init__(self, sketch: Sketch, random: Random) -> None:
        self.sketch = sketch
        self.wish = sketch.wish
        self.random = random
        kind = symmetry_named(sketch.wish.symmetry)
        cells = sketch.grid.cells
        self.orbits = kind.orbits(sketch.grid.size) if kind else [(cell,) for cell in cells]
        self.drawn = {cell for orbit in self.orbits if sketch.drawn & set(orbit) for cell in orbit}
        self.hardest: set[int] = set()
        self.solution: tuple[int, ...] = ()

    def run(self, number: int) -> Attempt:
        if number == 1:
            self._possible()
        slots = layout(self.sketch, self.random)
        if slots is None:
            raise _GivenUpError("no room")
        puzzle = self._puzzle(slots)
        self.looks = Looks(puzzle, self.wish.efforts)
        givens = self._givens(puzzle)
        fewer = self._trimmed(givens)
        found = self._measured(number, puzzle, fewer)
        if found.outcome == "too hard" and len(fewer) < len(givens):
            found = self._measured(number, puzzle, givens)
        while found.outcome == "too hard" and (more := self._eased(givens)):
            givens = more
            found = self._measured(number, puzzle, givens)
        return found

    def _possible(self) -> None:
        """Give up at once where it can be proved that no grid keeps what is drawn, whatever is made up."""
        plain = known(self.sketch, drawn(self.sketch))
        if Grids(plain, self.wish.pattern).settle():
            raise _GivenUpError("impossible")

    def _puzzle(self, slots: Sequence[Slot]) -> Puzzle:
        """Give the puzzle but for givens: all numbers read off the grid that makes them say most."""
        plain = known(self.sketch, slots)
        if not self.sketch.reads_off:
            return plain
        grids = Grids(plain, self.wish.pattern, self.wish.unlike)
        rated: list[tuple[int, int, Puzzle]] = []
        for grid in grids.some(GRIDS, self.random):
            made = read_off(self.sketch, slots, grid, self.random)
            left = None if made is None else self._rest(made)
            if made is not None and left is not None:
                rated.append((left, len(rated), made))
        if not rated:
            raise _GivenUpError("no grid")
        rated.sort(key=lambda offer: offer[:2])
        return rated[self._rank(len(rated))][2]

    def _rest(self, puzzle: Puzzle) -> int | None:
        full = (1 << puzzle.grid.size) - 1
        looks = Looks(puzzle, EFFORTS[:1])
        return looks.rest([1 << (digit - 1) if digit else full for digit in puzzle.givens])

    def _rank(self, many: int) -> int:
        return min(int(self.random.expovariate(1 / AMONG)), many - 1)

    def _givens(self, puzzle: Puzzle) -> dict[int, int]:
        """Give givens with which looks go through to the end, each put where looks had come to rest."""
        grids = Grids(puzzle, self.wish.pattern, self.wish.unlike)
        givens = {cell: digit for cell, digit in enumerate(puzzle.givens) if digit}
        position = self.looks.end(self.looks.opening(givens))
        while not position.complete:
            domains = position.domains()
            sample = grids.some(SAMPLE, self.random, domains)
            if not sample:
                raise _GivenUpError("no grid")
            chosen = self._next(position, domains, sample, givens)
            if chosen is None:
                raise _GivenUpError("no path")
            givens |= chosen
            position = position.copy()
            for cell, digit in chosen.items():
                if not position.placed[cell]:
                    position.place(cell, digit)
            position = self.looks.end(position)
        self._complete(position, givens)
        if self.wish.pattern is not None and not self.wish.pattern.holds(position.placed, puzzle.grid):
            raise _GivenUpError("no grid")
        return givens

    def _next(
        self,
        position: Position,
        domains: Sequence[int],
        sample: Sequence[Sequence[int]],
        givens: dict[int, int],
    ) -> dict[int, int] | None:
        """Give the givens of one orbit after which least is left open; None where none may be added."""
        room = self.wish.most - len(self.drawn | givens.keys())
        orbits = [
            orbit
            for orbit in self.orbits
            if not all(position.placed[cell] for cell in orbit)
            and not all(cell in givens for cell in orbit)
            and (orbit[0] in self.drawn or len(orbit) <= room)
        ]
        offers = list(
            dict.fromkeys(tuple((cell, grid[cell]) for cell in orbit) for orbit in orbits for grid in sample)
        )
        if len(offers) > WEIGHED:
            offers = self.random.sample(offers, WEIGHED)
        rated = []
        for number, offer in enumerate(offers):
            left = self.looks.rest(domains, offer)
            if left is not None:
                rated.append((left, number))
        if not rated:
            return None
        rated.sort()
        return dict(offers[rated[self._rank(len(rated))][1]])

    def _complete(self, position: Position, givens: dict[int, int]) -> None:
        """Add what is drawn and not yet given, and further givens where more are wished."""
        for cell in self.drawn:
            givens.setdefault(cell, position.placed[cell])
        others = [orbit for orbit in self.orbits if orbit[0] not in givens]
        self.random.shuffle(others)
        for orbit in others:
            if len(givens) >= self.wish.least:
                break
            if len(givens) + len(orbit) <= self.wish.most:
                givens |= {cell: position.placed[cell] for cell in orbit}
        if len(givens) < self.wish.least:
            raise _GivenUpError("no path")

    def _trimmed(self, givens: dict[int, int]) -> dict[int, int]:
        """Take out givens without which looks go through as well."""
        orbits = [orbit for orbit in self.orbits if orbit[0] in givens and orbit[0] not in self.drawn]
        self.random.shuffle(orbits)
        for orbit in orbits:
            if len(givens) - len(orbit) < self.wish.least:
                continue
            fewer = {cell: digit for cell, digit in givens.items() if cell not in orbit}
            if self.looks.end(self.looks.opening(fewer)).complete:
                givens = fewer
        return givens

    def _eased(self, givens: dict[int, int]) -> dict[int, int] | None:
        """Add the givens of one orbit at the hardest thought; None where there is no room for any."""
        room = self.wish.most - len(givens)
        wanted = [orbit for orbit in self.orbits if orbit[0] not in givens and len(orbit) <= room]
        at = self.hardest
        near = [orbit for orbit in wanted if at & set(orbit)]
        if not near:
            return None
        return givens | {cell: self.solution[cell] for cell in self.random.choice(near)}

    def _measured(self, number: int, puzzle: Puzzle, givens: dict[int, int]) -> Attempt:
        """Prove the puzzle with these givens, and measure it; the outcome says whether it is as wished."""
        made = replace(puzzle, givens=tuple(givens.get(cell, 0) for cell in puzzle.grid.cells))
        proof = prove(made, Budget(nodes=PROOF_NODES))
        if proof.verdict != "unique" or proof.solution is None:
            return Attempt(number, "no path")
        path = explain(made, Budget(nodes=PROOF_NODES), seconds=inf)
        effort = path.effort
        if effort is None or effort.what_ifs or any(told.step.idea == "trial" for told in path.steps):
            return Attempt(number, "no path")
        if effort.band in self.wish.efforts:
            return Attempt(number, "found", made, proof.solution, effort)
        if EFFORTS.index(effort.band) < EFFORTS.index(self.wish.efforts[0]):
            return Attempt(number, "too gentle")
        step = max((told.step for told in path.steps), key=lambda step: step.effort)
        self.hardest = {*step.places, *step.removes}
        self.solution = proof.solution
        return Attempt(number, "too hard")
