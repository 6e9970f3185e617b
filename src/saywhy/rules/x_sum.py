"""
X-sum.

Meaning:
    The first X digits, seen from the clue, sum to the value; X is the first of them.
Drawn as:
    The value outside the grid, underlined.
Example:
    15: 3, 4, 8 or 2 alone with 13, which is no digit of a 9x9 grid; 4, 1, 2, 8 as well.
Often confused with:
    A numbered room, which points at the X-th digit; a sandwich; an edge sum, whose count is fixed.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import combinations
from typing import ClassVar

from saywhy.outside import Filling, no_place
from saywhy.primitives import Automaton, Primitive, Regular, automaton, digits_of
from saywhy.ranges import shown
from saywhy.rule import OutsideRule, Part, Phrases, RuleError, outside_plate
from saywhy.shapes import Shape
from saywhy.thoughts import Said, Thought, counted, listed, lone, spread
from saywhy.totals import made, making, reach, unmade

#: Most sets of first digits that are looked through.
FILLINGS = 12


@cache
def possible(size: int) -> frozenset[int]:
    """Give the totals that some X and X - 1 further different digits make."""
    found = set()
    for first in range(1, size + 1):
        # For each number of further digits, the sums they can make, as bits.
        sums = [1] + [0] * (first - 1)
        for digit in range(1, size + 1):
            if digit != first:
                for count in range(first - 1, 0, -1):
                    sums[count] |= sums[count - 1] << digit
        found |= {first + more for more in range(sums[-1].bit_length()) if sums[-1] >> more & 1}
    return frozenset(found)


@lru_cache(maxsize=256)
def first_sum(total: int, size: int) -> Automaton:
    """Give the automaton that remembers how many digits it still sums and what they still must make."""
    begin, done = (-1, total), (0, 0)

    def step(state: tuple[int, int], digit: int) -> tuple[int, int] | None:
        if state == done:
            return done
        count, left = (digit if state == begin else state[0]) - 1, state[1] - digit
        return (count, left) if count <= left <= count * size else None

    return automaton(size, size, begin, step, lambda state: state == done)


@dataclass(frozen=True)
class XSum(OutsideRule):
    """
    A row or column whose first digit says how many digits make the printed sum.

    Attributes:
        value: The sum.
    """

    name: ClassVar[str] = "x-sum"
    title: ClassVar[str] = "X-sum"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "x-sum"
cells = "r1c2-r6c2"
value = 9

[[clue]]
rule = "x-sum"
cells = "r3c6-r3c1"
value = 12
"""
    needs: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 0

    def __post_init__(self) -> None:
        n = self.grid.size
        if self.value not in possible(n):
            whole = n * (n + 1) // 2
            no = [str(total) for total in range(1, whole) if total not in possible(n)]
            what = f"an X-sum here is 1 to {whole}{', but never ' if no else ''}{', '.join(no)}"
            raise RuleError("value", f"{what}, and {shown(self.value)} came", "Write one of these numbers")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether as many digits as the first one says make the value."""
        held = self.held(digits)
        return None if held is None else sum(held[: held[0]]) == self.value

    def compile(self) -> list[Primitive]:
        """An automaton that counts down from the first digit."""
        return [Regular(self.cells, first_sum(self.value, self.grid.size))]

    def draw(self) -> list[Shape]:
        """The value outside, underlined."""
        return [outside_plate(self.grid, self.cells, str(self.value), "underlined")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun=f"X-sum of {self.value}",
            parts=(
                Part("first cell", "first cells", self.cells[:1]),
                Part(f"cell of the {self.lane}", self.lane, self.cells),
            ),
            law=f"as many digits as the first one says make {self.value}",
            spoken="An underlined number is the total of the first digits; the very first says how many.",
            written=(
                "An underlined number outside the grid is the sum of the first X digits seen from there, "
                "X being the very first of them."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """Which first digits reach the sum with so many digits, and what the others then make."""
        del gone
        n, first = self.grid.size, self.cells[0]
        fits = []
        for count in range(1, n + 1):
            others = [digit for digit in range(1, n + 1) if digit != count]
            least, most = sum(others[: count - 1]), sum(others[n - count :])
            if count + least <= self.value <= count + most:
                fits.append(count)
        found: list[Thought] = []
        if len(fits) <= 4:
            which = listed(fits, "or")
            text = f"to make {self.value} with as many digits as the first one says, it must be {which}"
            mask = sum(1 << (count - 1) for count in fits)
            found.append(Thought(((text,),), {first: known[first] & mask}))
        head = lone(known, [first])
        if head and head[0] > 1:
            found += self._others(head[0], known)
        return found

    def _others(self, count: int, known: Mapping[int, int]) -> list[Thought]:
        """What the digits after the first one make, in one or two ways."""
        cells = self.cells[1:count]
        held = lone(known, cells)
        rest = [cell for cell in cells if known[cell] & (known[cell] - 1)]
        amount = self.value - count - sum(held)
        left = dict.fromkeys(rest, 0)
        kept = []
        digits = [digit for digit in range(1, self.grid.size + 1) if digit not in (*held, count)]
        for way in combinations(digits, len(rest)):
            filling = spread(rest, known, sum(1 << (d - 1) for d in way)) if sum(way) == amount else None
            if filling is not None:
                kept.append(listed(way))
                for cell, mask in filling.items():
                    left[cell] |= mask
        if not rest or not 1 <= len(kept) <= 2:
            return []
        taken = listed([count, *held])
        leave = "leaves" if not held else "leave"
        number = "one more" if len(rest) == 1 else f"{counted(len(rest))} more"
        lead = f"{'the ' if not held else ''}{taken} {leave} {amount} of the {self.value}"
        text = f"{lead} for {number}: {listed(kept, 'or')}"
        return [Thought(((text,),), left)]

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """What the first digits make instead, or no place for those further on."""
        first = self.cells[0]
        counts = digits_of(known[first])
        totals = {count: self._totals(count, known) for count in counts}
        able = [count for count in counts if self.value in totals[count]]
        if able:
            fillings = [filling for count in able for filling in self._fillings(count, known)]
            if not fillings or len(fillings) > FILLINGS:
                return None
            return no_place(fillings, known, range(1, self.grid.size + 1), self._filled, "further on")
        if len(counts) == 1:
            return self._unmade(counts[0], totals[counts[0]], known)
        low = [count for count in counts if totals[count] and max(totals[count]) < self.value]
        high = [count for count in counts if totals[count] and min(totals[count]) > self.value]
        if low and high and low[-1] < high[0] and len(low) + len(high) == len(counts):
            most, least = max(max(totals[count]) for count in low), min(min(totals[count]) for count in high)
            few, many = counted(low[-1]), counted(high[0])
            if low == [1]:
                return (f"one digit is too few, and the first {many} would make at least {least}",)
            return (f"the first {few} would make {most} at most, and the first {many} at least {least}",)
        within = reach(frozenset().union(*totals.values()), self.value)
        return (f"the first digits would make {within}",) if within else None

    def _after(self, count: int, known: Mapping[int, int]) -> dict[int, int]:
        """Give what the cells that are added to the first one may hold, where that holds their number."""
        return {cell: known[cell] & ~(1 << (count - 1)) for cell in self.cells[1:count]}

    def _totals(self, count: int, known: Mapping[int, int]) -> frozenset[int]:
        """Give what so many first digits make."""
        return frozenset(count + more for more in made(list(self._after(count, known).values())) or ())

    def _unmade(self, count: int, totals: frozenset[int], known: Mapping[int, int]) -> Said | None:
        """Say what the cells after a first digit make instead."""
        cells, amount = self.cells[1:count], self.value - count
        if not totals:
            return None
        if not min(totals) < self.value < max(totals):
            return (f"the first {counted(count)} would make {reach(totals, self.value)}",)
        if len(cells) == 1:
            return (f"the {count} leaves {amount} for ", cells)
        said = unmade(cells, self._after(count, known), amount, self.grid.size)
        return None if said is None else (f"the {count} leaves {amount} for ", cells, ", which ", *said)

    def _fillings(self, count: int, known: Mapping[int, int]) -> list[Filling]:
        """Give the sets of first digits that make the sum, each with the cells further on."""
        ways = making(list(self._after(count, known).values()), self.value - count)
        return [(tuple(sorted((count, *way))), self.cells[count:]) for way in ways]

    def _filled(self, ways: Sequence[tuple[int, ...]]) -> str:
        """Say what the first digits would be; no sets are any of them."""
        if not ways:
            return f"whatever makes {self.value}"
        further = [digit for digit in range(1, self.grid.size + 1) if digit not in ways[0]]
        if len(ways) == 1 and 0 < len(further) < len(ways[0]) - 1:
            return f"the first digits would be all but {listed(further)}"
        return f"the first digits would be {listed([listed(way) for way in ways], 'or')}"
