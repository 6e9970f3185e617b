"""
Skyscraper.

Meaning:
    Seen from the clue, exactly as many digits as the value says are greater than every digit before them.
Drawn as:
    The value outside the grid between brackets.
Example:
    3, 1, 4, 2, 9, 5, 6, 7, 8 shows three: 3, 4 and 9.
Often confused with:
    A sandwich or an X-sum, which are sums.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton, digits_of
from saywhy.ranges import check_range
from saywhy.rule import OutsideRule, Part, Phrases, outside_plate
from saywhy.shapes import Shape
from saywhy.thoughts import Said, Thought, counted, listed

#: Largest grid on which the sets of digits so far are few enough to be followed.
LARGE = 9


@lru_cache(maxsize=256)
def skyline(count: int, size: int) -> Automaton:
    """Give the automaton that remembers the greatest digit so far and how many were seen."""

    def step(state: tuple[int, int], digit: int) -> tuple[int, int] | None:
        highest, seen = state
        if digit <= highest:
            return state
        possible = seen + 1 <= count <= seen + 1 + size - digit
        return (digit, seen + 1) if possible else None

    return automaton(size, size, (0, 0), step, lambda state: state[1] == count)


@dataclass(frozen=True)
class Skyscraper(OutsideRule):
    """
    A row or column of which a printed number of digits is seen from the side.

    Attributes:
        value: How many are seen.
    """

    name: ClassVar[str] = "skyscraper"
    title: ClassVar[str] = "Skyscraper"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "skyscraper"
cells = "r1c2-r6c2"
value = 3

[[clue]]
rule = "skyscraper"
cells = "r3c6-r3c1"
value = 1
"""
    needs: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 0

    def __post_init__(self) -> None:
        check_range("value", self.value, 1, self.grid.size, "the number of digits seen")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether that many digits are greater than all before them."""
        held = self.held(digits)
        if held is None:
            return None
        seen = [digit for place, digit in enumerate(held) if all(digit > other for other in held[:place])]
        return len(seen) == self.value

    def compile(self) -> list[Primitive]:
        """An automaton that looks along the row."""
        return [Regular(self.cells, skyline(self.value, self.grid.size))]

    def draw(self) -> list[Shape]:
        """The value outside between brackets."""
        return [outside_plate(self.grid, self.cells, str(self.value), "bracket")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        rises, them = ("rises", "it") if self.value == 1 else ("rise", "them")
        return Phrases(
            noun=f"skyscraper of {self.value}",
            parts=(Part(f"cell of the {self.lane}", self.lane, self.cells),),
            law=f"exactly {self.value} of the digits {rises} above all before {them}",
            spoken=(
                "Digits are buildings. A bracketed number outside says how many you see from there; "
                "tall ones hide shorter ones."
            ),
            written=(
                "Digits are heights of buildings. A bracketed number outside the grid says how many of "
                "that row or column are seen from there, taller ones hiding lower ones behind them."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """How high the first buildings can be if so many are to be seen."""
        del gone
        n, value = self.grid.size, self.value
        first = n - value + 1
        if value == 1:
            left = {self.cells[0]: known[self.cells[0]] & 1 << (n - 1)}
            return [Thought(((f"only one building is seen, so the {n} stands first",),), left)]
        if value == n:
            left = {cell: known[cell] & 1 << place for place, cell in enumerate(self.cells)}
            return [Thought(((f"all {counted(n)} are seen, so they climb from 1 to {n}",),), left)]
        left = dict(known)
        for place, cell in enumerate(self.cells[: value - 1]):
            left[cell] = known[cell] & ((1 << (first + place)) - 1)
        hides = f"the {n} hides all behind it, so {counted(value - 1)} must stand before it"
        found = [Thought(((hides,),), left)]
        if 2 < value <= 5:
            steps = listed(range(first, first + value - 1))
            text = f"to see {counted(value)}, the first {counted(value - 1)} can be {steps} at most"
            found.insert(0, Thought(((text,),), left))
        elif value > 5:
            text = f"to see {counted(value)}, the first is {first} at most, and each one after it one more"
            found.insert(0, Thought(((text,),), left))
        return found

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """How many would be seen at least or at most."""
        # For the highest so far, how many can have been seen, as bits.
        seen = {0: 1}
        for cell in self.cells:
            after: dict[int, int] = {}
            digits = digits_of(known[cell])
            for highest, counts in seen.items():
                for digit in digits:
                    if digit > highest:
                        after[digit] = after.get(digit, 0) | counts << 1
                    else:
                        after[highest] = after.get(highest, 0) | counts
            seen = after
        counts = 0
        for held in seen.values():
            counts |= held
        if counts >> self.value & 1:
            counts = self._seen(known)
        if not counts or counts >> self.value & 1:
            return None
        least, most = (counts & -counts).bit_length() - 1, counts.bit_length() - 1
        if most < self.value:
            return (f"no more than {counted(most)} would be seen",)
        if least > self.value:
            return (f"at least {counted(least)} would be seen",)
        below = (counts & ((1 << self.value) - 1)).bit_length() - 1
        above = counts >> self.value
        more = counted(self.value + (above & -above).bit_length() - 1)
        few = "only one" if below == 1 else f"no more than {counted(below)}"
        return (f"{few} or at least {more} would be seen",)

    def _seen(self, known: Mapping[int, int]) -> int:
        """Give how many can be seen, as bits, if the digits of the row differ; nothing on a large grid."""
        if self.grid.size > LARGE:
            return 0
        # For the digits so far, as a mask, how many can have been seen.
        seen = {0: 1}
        for cell in self.cells:
            after: dict[int, int] = {}
            bits = [1 << (digit - 1) for digit in digits_of(known[cell])]
            for used, counts in seen.items():
                for bit in bits:
                    if not used & bit:
                        taken = used | bit
                        after[taken] = after.get(taken, 0) | (counts << 1 if bit > used else counts)
            seen = after
        counts = 0
        for held in seen.values():
            counts |= held
        return counts
