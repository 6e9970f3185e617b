"""What a wrong digit contradicts first, in words."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.primitives import AllDifferent
from saywhy.reasoning.position import Position
from saywhy.reasoning.words import Teller
from saywhy.recording.chains import Chains, Goal


class Faults:
    """Finds what is wrong with wrong digits."""

    def __init__(self, chains: Chains, solution: Sequence[int]) -> None:
        self.chains, self.solution = chains, solution
        self.frame = chains.frame
        self.teller = Teller(self.frame)

    def of(self, position: Position, cell: int, digit: int) -> str:
        """
        Say what a digit contradicts: a digit in sight, one clue, or what a chain of looks shows.

        Args:
            position: What had been shown.
            cell: The cell; it is empty in the position, or holds its right digit.
            digit: The wrong digit.
        """
        grid = self.frame.grid
        name = grid.name(cell)
        standing = position.placed[cell]
        if standing:
            return f"{name} had been shown to be {standing}."
        return (
            self._in_sight(position, cell, digit)
            or self._one_clue(position, cell, digit)
            or self._chain(position, cell, digit)
            or f"{name} is {self.solution[cell]} in the solution; no short reason against {digit} was found."
        )

    def _in_sight(self, position: Position, cell: int, digit: int) -> str:
        frame, grid = self.frame, self.frame.grid
        for other, helds in frame.related[cell]:
            standing = position.placed[other]
            if not standing:
                continue
            for held in helds:
                if not frame.struck(held, other, standing) >> (digit - 1) & 1:
                    continue
                (source,) = held.sources
                where = grid.name(other)
                if not isinstance(held.primitive, AllDifferent):
                    return f"The {standing} in {where} rules it out ({source.name})."
                if source.kind == "house":
                    name = source.name.replace("region", "box") if grid.box else source.name
                    return f"{name.capitalize()} has its {digit} in {where} already."
                noun = source.name
                if source.kind == "clue":
                    noun = frame.clues[source.number].phrases.noun
                return f"The {noun} has its {digit} in {where} already."
        return ""

    def _one_clue(self, position: Position, cell: int, digit: int) -> str:
        frame = self.frame
        for index, clue in enumerate(frame.clues):
            if cell not in clue.scope:
                continue
            domains = [1 << (d - 1) if d else frame.full for d in position.placed]
            domains[cell] = 1 << (digit - 1)
            looks = self.chains.sweeper.stories.finder.looks
            ids = [held.id for held in [*looks.clue_helds(index), *looks.distinctness(clue.scope)]]
            if frame.model.refutes(ids, domains) is True:
                where = frame.grid.name(clue.scope[0])
                return f"With a {digit} there, the {clue.phrases.noun} at {where} cannot be filled."
        return ""

    def _chain(self, position: Position, cell: int, digit: int) -> str:
        steps = self.chains.to(position, Goal(cell, gone=1 << (digit - 1)))
        if steps is None:
            steps = self.chains.to(position, Goal(cell, self.solution[cell]))
        if not steps:
            return ""
        here = position.copy()
        for step in steps[:-1]:
            here.apply(step)
        words = self.teller.tell(here, steps[-1]).written
        return words if len(steps) == 1 else f"{len(steps)} looks rule it out; the last: {words}"
