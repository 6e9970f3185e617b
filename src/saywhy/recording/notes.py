"""Notes judged: options of a cell, ties, sums and traits."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.primitives import digits_of, mask
from saywhy.reasoning.frame import Held
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step
from saywhy.recording.acts import AnyAct, Options, Trait
from saywhy.recording.chains import FOLLOWED, SEARCH, Chains, Goal

#: A verdict, its reason in words (empty where the steps say it) and its steps.
Found = tuple[str, str, Sequence[Step]]

#: So many fillings of a clue are listed to find the totals that it allows.
LISTED = 5000

UNSHOWN_DIGIT = f"It is right, but nothing had shown it: {SEARCH}."
UNSHOWN = (
    "It is right, but nothing had shown it: what it leaves out is not all gone within "
    f"{FOLLOWED} rounds of looks, nor on the path of least effort so far."
)


def traited(trait: str, n: int) -> int:
    """Give the mask of the digits from 1 to n that have a trait."""
    return mask(
        {
            "low": [d for d in range(1, n + 1) if 2 * d < n + 1],
            "high": [d for d in range(1, n + 1) if 2 * d > n + 1],
            "odd": range(1, n + 1, 2),
            "even": range(2, n + 1, 2),
        }[trait]
    )


def noted(act: AnyAct, cells: Sequence[int], n: int) -> dict[int, int]:
    """Give what a note strikes out of its own cells, as masks; ties and sums strike out nothing at sight."""
    full = (1 << n) - 1
    match act:
        case Options(digits=digits):
            return {cells[0]: full & ~mask(digits)}
        case Trait(trait=trait) if trait is not None:
            return dict.fromkeys(cells, full & ~traited(trait, n))
    return {}


class Notes:
    """Judges notes against the solution and against what had been shown."""

    def __init__(self, chains: Chains, solution: Sequence[int]) -> None:
        self.chains, self.solution = chains, solution
        self.frame = chains.frame

    def options(self, position: Position, cell: int, digits: Sequence[int]) -> Found:
        """Judge the options of a cell: what they leave out must be gone."""
        left = mask(digits)
        name = self.frame.grid.name(cell)
        if not left >> (self.solution[cell] - 1) & 1:
            return "wrong", f"{name} can still be {self.solution[cell]}, which the options leave out.", ()
        if not left & (left - 1) and not position.placed[cell]:
            # One option is a digit, and is judged as one.
            steps = self.chains.to(position, Goal(cell, left.bit_length()))
            return ("guessed", UNSHOWN_DIGIT, ()) if steps is None else ("forced", "", steps)
        return self._gone(position, cell, self.frame.full & ~left)

    def trait(self, position: Position, cells: Sequence[int], trait: str) -> Found:
        """Judge low, high, odd or even; low and high leave out the middle digit of an odd size."""
        left = traited(trait, self.frame.n)
        steps: list[Step] = []
        here = position
        for cell in cells:
            if not left >> (self.solution[cell] - 1) & 1:
                said = f"{self.frame.grid.name(cell)} is {self.solution[cell]}, which is not {trait}."
                return "wrong", said, ()
        for cell in cells:
            verdict, reason, more = self._gone(here, cell, self.frame.full & ~left)
            if verdict != "forced":
                return verdict, reason, ()
            here = here.copy()
            for step in more:
                here.remove(step.struck(self.frame.full))
            steps += more
        return "forced", "" if steps else "The board shows it.", steps

    def tie(self, position: Position, cells: Sequence[int], digit: int) -> Found:
        """Judge "this digit is in one of these cells"."""
        if all(self.solution[cell] != digit for cell in cells):
            return "wrong", f"None of these cells is {digit}.", ()
        bit = 1 << (digit - 1)
        ways = [self._tied(position, cells, house.cells, bit) for house, _ in self.frame.houses]
        shown = min((way for way in ways if way is not None), key=len, default=None)
        if shown is not None:
            return "forced", "" if shown else f"The {digit} has no other place in their house.", shown
        domains = position.domains()
        for cell in cells:
            domains[cell] &= ~bit
        for index, clue in enumerate(self.frame.clues):
            if set(cells) & set(clue.scope) and self._refuted(self._of_clue(index), domains):
                return "forced", f"Without it {self._clue(index, 'the')} cannot be filled.", ()
        return "guessed", UNSHOWN, ()

    def _tied(
        self, position: Position, cells: Sequence[int], house: Sequence[int], bit: int
    ) -> list[Step] | None:
        """Give the steps that clear a digit from the rest of a house; None where not found."""
        if not set(cells) <= set(house):
            return None
        here, steps = position, list[Step]()
        for other in house:
            if other in cells or not here.domain(other) & bit:
                continue
            more = self.chains.marks(here, Goal(other, gone=bit))
            if more is None:
                return None
            here = here.copy()
            for step in more:
                here.remove(step.struck(self.frame.full))
            steps += more
        return steps

    def sum(self, position: Position, cells: Sequence[int], total: int) -> Found:
        """Judge a sum note against the clue that it belongs to."""
        domains = position.domains()
        true = sum(self.solution[cell] for cell in cells)
        owners = self._owners(cells)
        for where, helds in owners:
            totals = self._totals(helds, cells, domains)
            if totals is None:
                continue
            if true != total and total not in totals:
                return "wrong", f"{where} leaves {_some(totals)}, not {total}.", ()
            if totals == {total}:
                return "forced", f"{where} leaves no other total.", ()
        if true != total:
            return "wrong", f"These cells make {true}.", ()
        low = sum(min(digits_of(domains[cell])) for cell in cells)
        high = sum(max(digits_of(domains[cell])) for cell in cells)
        if low == high == total:
            return "forced", "The digits on the board add up to it.", ()
        near = f"; {owners[0][0]} allows others" if owners else ""
        return "guessed", f"It is right, but nothing had shown it: no clue, house or derived sum{near}.", ()

    def _gone(self, position: Position, cell: int, gone: int) -> Found:
        if not position.domain(cell) & gone:
            return "forced", "The board shows it.", ()
        steps = self.chains.marks(position, Goal(cell, gone=gone & position.domain(cell)))
        return ("guessed", UNSHOWN, ()) if steps is None else ("forced", "", steps)

    def _owners(self, cells: Sequence[int]) -> list[tuple[str, list[Held]]]:
        """Give what holds all these cells: clues, the smallest first, derived sums, what is seen."""
        asked, frame = set(cells), self.frame
        clues = sorted(
            (index for index, clue in enumerate(frame.clues) if asked <= set(clue.scope)),
            key=lambda index: len(frame.clues[index].scope),
        )
        found = [(self._clue(index), self._of_clue(index)) for index in clues]
        looks = self.chains.sweeper.stories.finder.looks
        for look in looks.family("derived sum"):
            if asked <= set(look.cells):
                found.append(("A derived sum", list(look.helds)))
        distinct = looks.distinctness(cells)
        if distinct:
            found.append(("What the board shows", distinct))
        return found

    def _of_clue(self, index: int) -> list[Held]:
        looks = self.chains.sweeper.stories.finder.looks
        return [*looks.clue_helds(index), *looks.distinctness(self.frame.clues[index].scope)]

    def _clue(self, index: int, article: str = "The") -> str:
        clue = self.frame.clues[index]
        return f"{article} {clue.phrases.noun} at {self.frame.grid.name(clue.scope[0])}"

    def _refuted(self, helds: Sequence[Held], domains: Sequence[int]) -> bool:
        return self.frame.model.refutes([held.id for held in helds], domains) is True

    def _totals(self, helds: Sequence[Held], cells: Sequence[int], domains: Sequence[int]) -> set[int] | None:
        """Give the totals of these cells that some joint filling has; None where there are too many."""
        known = {cell for held in helds for cell in held.cells}
        if not set(cells) <= known:
            return None
        ids = [held.id for held in helds]
        ways, finished = self.frame.model.fillings(ids, list(cells), domains, LISTED)
        return {sum(way) for way in ways} if finished and ways else None


def _some(totals: set[int]) -> str:
    held = sorted(totals)
    return str(held[0]) if len(held) == 1 else f"{held[0]} to {held[-1]}"
