"""
Nabner.

Meaning:
    No two digits anywhere on the line are equal or consecutive.
Drawn as:
    A broad dotted line with squares at its ends.
Example:
    6, 1, 9, 3: no two of them are neighbours in the row of numbers.
Often confused with:
    A renban, whose digits are all consecutive; a whisper, which compares neighbours only.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise
from typing import ClassVar

from saywhy.outside import blames_of, common
from saywhy.primitives import AllDifferent, Automaton, Primitive, Regular, automaton, digits_of, relation
from saywhy.ranges import check_length
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Cap, Line, Shape, Texture, Weight
from saywhy.thoughts import Said, Thought, counted, listed, lone, spread

#: Sets of digits that are listed at most.
WAYS = 2
#: Up to this many digits the automaton that remembers the whole set stays small (144 states).
REMEMBERED = 10


def far(a: int, b: int) -> bool:
    """Say whether two digits are neither equal nor consecutive."""
    return abs(a - b) > 1


@lru_cache(maxsize=64)
def scattered(count: int, size: int) -> Automaton:
    """Give the automaton that remembers the set of digits so far, as a mask, and refuses what is near "
    "one.
    """

    def step(state: int, digit: int) -> int | None:
        return None if state >> max(digit - 2, 0) & (7 if digit > 1 else 3) else state | 1 << (digit - 1)

    return automaton(count, size, 0, step, lambda state: state.bit_count() == count)


@dataclass(frozen=True)
class Nabner(CellsRule):
    """A line on which no two digits are equal or consecutive."""

    name: ClassVar[str] = "nabner"
    title: ClassVar[str] = "Nabner"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "nabner"
cells = "r2c2 r1c3 r2c4"

[[clue]]
rule = "nabner"
cells = "r6c1 r5c2 r5c3"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2

    def __post_init__(self) -> None:
        why = "its digits are at least 2 apart"
        check_length("a nabner", len(self.cells), (self.grid.size + 1) // 2, why)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether every two digits differ by more than 1."""
        held = self.held(digits)
        return None if held is None else all(abs(a - b) > 1 for a, b in combinations(held, 2))

    def compile(self) -> list[Primitive]:
        """
        No repeats; and an automaton that remembers the set, or a relation for every two cells.

        The relations say all, but see only two cells at a time: that five such digits of 1 to 9 are the odd
        ones takes the set. Above ten digits the sets become too many.
        """
        n = self.grid.size
        if n <= REMEMBERED:
            return [AllDifferent(self.cells), Regular(self.cells, scattered(len(self.cells), n))]
        return [AllDifferent(self.cells), *(relation(a, b, n, far) for a, b in combinations(self.cells, 2))]

    def draw(self) -> list[Shape]:
        """A broad dotted line."""
        square = Cap.SQUARE
        return [Line(self.cells, Texture.DOTTED, Weight.BROAD, ink=2, start=square, end=square)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="nabner",
            parts=(Part("cell", "line", self.cells),),
            law="no two digits on the line are equal or consecutive",
            spoken="Nowhere on a nabner line are two digits equal or consecutive.",
            written=(
                "No two digits on a nabner line are equal or consecutive, wherever on the line they stand."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """The few sets with gaps that are left, or the neighbours of a digit that stands."""
        del gone
        n, count = self.grid.size, len(self.cells)
        left = dict.fromkeys(self.cells, 0)
        kept = []
        for way in combinations(range(1, n + 1), count):
            if all(b - a > 1 for a, b in pairwise(way)):
                filling = spread(self.cells, known, sum(1 << (digit - 1) for digit in way))
                if filling is not None:
                    kept.append(listed(way))
                    for cell, mask in filling.items():
                        left[cell] |= mask
        found: list[Thought] = []
        if 1 <= len(kept) <= 2 and len(kept) * count <= 6:
            text = f"{counted(count)} digits with no two in sequence: {listed(kept, 'or')}"
            found.append(Thought(((text,),), left))
        held = lone(known, self.cells)
        if held:
            near = sum({1 << (d - 1) for h in held for d in (h - 1, h, h + 1) if 1 <= d <= n})
            beside = {c: known[c] if known[c] & (known[c] - 1) == 0 else known[c] & ~near for c in self.cells}
            stands = listed(f"the {digit}" for digit in held)
            found.append(Thought(((f"nothing else on the line may be next to {stands}",),), beside))
        return found

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """The cell that is too near a digit, or cells with too few digits that are not in sequence."""
        held = lone(known, self.cells)
        for digit in held:
            near = 7 << (digit - 1) >> 1
            for cell in self.cells:
                if known[cell] & ~near == 0 and (known[cell] != 1 << (digit - 1) or held.count(digit) > 1):
                    return ((cell,), f" would be too near the {digit}")
        near = sum({1 << (d - 1) for h in held for d in (h - 1, h, h + 1) if d > 0})
        left = {cell: known[cell] & ~near for cell in self.cells if known[cell] & (known[cell] - 1)}
        for cell, mask in left.items():
            if not mask:
                return ((cell,), f" would be too near one of {listed(held)}")
        for count in range(2, len(left) + 1):
            for some in combinations(left, count):
                union = 0
                for cell in some:
                    union |= left[cell]
                if _apart(union) < count:
                    return (some, f" would share {listed(digits_of(union))}, which are too close together")
        return self._misfit(left)

    def _misfit(self, left: Mapping[int, int]) -> Said | None:
        """Say what is wrong whichever of a few sets with gaps the open cells hold."""
        union = 0
        for mask in left.values():
            union |= mask
        ways = [
            way
            for way in combinations(digits_of(union), len(left))
            if all(b - a > 1 for a, b in pairwise(way))
        ]
        blames = [blames_of(way, list(left), left, "on the line") for way in ways]
        shared = common(blames) if blames else ()
        if not shared or len(ways) > WAYS:
            return None
        which = listed([listed(way) for way in ways], "or")
        rest = "the rest of the line" if len(left) < len(self.cells) else "the line"
        return (f"{rest} would be {which}, and ", *shared)


def _apart(mask: int) -> int:
    """Count how many digits of a mask can stand together with no two in sequence."""
    found, last = 0, 0
    for digit in digits_of(mask):
        if digit > last + 1 or not found:
            found, last = found + 1, digit
    return found
