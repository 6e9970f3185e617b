"""
Sum line.

Meaning:
    The line splits into successive groups of cells, each of which sums to the printed value (10 is
    usual). Where one group ends and the next begins is not shown.
Drawn as:
    A dotted line with open round ends and the value at its first cell.
Example:
    10: 3, 7, 2, 2, 6 is 3 and 7, then 2, 2 and 6.
Often confused with:
    A region sum line, which the borders of the regions cut; a killer cage, which forbids repeats.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton, digits_of
from saywhy.ranges import check_range, loose_range
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Area, Cap, Line, Shape, Texture, Weight
from saywhy.thoughts import Said
from saywhy.totals import reach

#: Most fillings of a stretch that are looked through.
MANY = 500


@lru_cache(maxsize=256)
def in_groups(count: int, total: int, size: int) -> Automaton:
    """Give the automaton that remembers the sum so far of the group it is in and begins anew at the "
    "total.
    """

    def step(state: int, digit: int) -> int | None:
        return (state + digit) % total if state + digit <= total else None

    return automaton(count, size, 0, step, lambda state: state == 0)


@dataclass(frozen=True)
class SumLine(CellsRule):
    """
    A line that falls into groups of one sum.

    Attributes:
        value: What each group makes.
    """

    name: ClassVar[str] = "sum-line"
    title: ClassVar[str] = "Sum line"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "sum-line"
cells = "r1c2 r1c3 r2c4 r2c5 r3c5 r4c6"
value = 10

[[clue]]
rule = "sum-line"
cells = "r6c1 r5c1 r5c2 r4c3"
value = 7
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2
    needs: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 0

    def __post_init__(self) -> None:
        count = len(self.cells)
        _, most = loose_range(count, self.grid.size)
        check_range("value", self.value, 1, most, f"the total of each group of a line of {count} cells")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the sums so far along the line hit every multiple of the value up to their end."""
        held = self.held(digits)
        if held is None:
            return None
        sums = {sum(held[: k + 1]) for k in range(len(held))}
        whole = sum(held)
        return whole % self.value == 0 and sums >= set(range(self.value, whole + 1, self.value))

    def compile(self) -> list[Primitive]:
        """An automaton that sums each group."""
        return [Regular(self.cells, in_groups(len(self.cells), self.value, self.grid.size))]

    def draw(self) -> list[Shape]:
        """A dotted line with its value."""
        cap = Cap.OPEN_ROUND
        line = Line(self.cells, Texture.DOTTED, Weight.MEDIUM, ink=7, start=cap, end=cap)
        return [line, Area(self.cells[:1], outline=None, ink=7, label=str(self.value))]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun=f"{self.value} line",
            parts=(Part("cell", "line", self.cells),),
            law=f"the line falls into stretches that each make {self.value}",
            spoken="A dotted line falls into stretches that each make its small number; you find where.",
            written=(
                "The cells of a sum line fall into successive groups without a gap, and the digits of "
                "each group sum to the number at the line's end."
            ),
        )

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """What a stretch would make from where it has to begin, along the line or back."""
        for single in self.cells:
            if not known[single] & ((1 << self.value) - 1):
                return ((single,), f" alone makes more than {self.value}")
        for cells, which in ((self.cells, "from"), (self.cells[::-1], "back from")):
            stretches = {start: self._sums(cells[start:], known) for start in range(len(cells))}
            starts, stuck = {0}, []
            for start in range(len(cells)):
                if start not in starts:
                    continue
                ends = {
                    start + length for length, sums in enumerate(stretches[start], 1) if self.value in sums
                }
                starts |= ends
                stuck += [] if ends else [start]
            if len(cells) in starts:
                return None
            if len(stuck) == 1:
                sums = stretches[stuck[0]]
                parted = all(max(some) < self.value or min(some) > self.value for some in sums)
                within = reach(set().union(*sums), self.value, always=parted)
                cell = (cells[stuck[0]],)
                if within:
                    return (f"the stretch {which} ", cell, f" would make {within}")
                return (cell, f" {'starts' if which == 'from' else 'ends'} no stretch of {self.value}")
        lost = self._lost(
            {start: self._ends(start, known, lambda _a, _b: False) for start in range(len(self.cells))}, known
        )
        return None if lost is None else ((lost,), f" has no stretch of {self.value}")

    def fails_apart(self, known: Mapping[int, int], differ: Callable[[int, int], bool]) -> Said | None:
        """The cell through which no stretch goes that repeats no digit where it may not."""
        stretches = {start: self._ends(start, known, differ) for start in range(len(self.cells))}
        cell = self._lost(stretches, known)
        return None if cell is None else ((cell,), f" has no stretch of {self.value} without repeats")

    def _lost(self, stretches: Mapping[int, set[int]], known: Mapping[int, int]) -> int | None:
        """
        Give a cell that is in no stretch, of such cells one that has few digits left.

        Args:
            stretches: For each place the places after which a stretch from there may end.
            known: For each cell the mask of digits left.
        """
        count = len(self.cells)
        heads, tails = {0}, {count}
        for start in range(count):
            heads |= stretches[start] if start in heads else set()
        for start in range(count - 1, -1, -1):
            tails |= {start} if stretches[start] & tails else set()
        every = set(range(count + 1))
        for begin, end in ((heads, every), (every, tails), (heads, tails)):
            found = [
                cell
                for place, cell in enumerate(self.cells)
                if not any(s <= place < e for s in begin & stretches.keys() for e in stretches[s] & end)
            ]
            if found:
                return min(found, key=lambda cell: known[cell].bit_count())
        return None

    def _ends(self, start: int, known: Mapping[int, int], differ: Callable[[int, int], bool]) -> set[int]:
        """Give after which cells a stretch from a cell may end."""
        found: set[int] = set()
        fillings: list[tuple[int, ...]] = [()]
        for place in range(start, len(self.cells)):
            cell = self.cells[place]
            apart = [i for i, other in enumerate(self.cells[start:place]) if differ(other, cell)]
            fillings = [
                (*filling, digit)
                for filling in fillings
                for digit in digits_of(known[cell])
                if sum(filling) + digit <= self.value and all(filling[i] != digit for i in apart)
            ]
            if any(sum(filling) == self.value for filling in fillings):
                found.add(place + 1)
            fillings = [filling for filling in fillings if sum(filling) < self.value]
            if len(fillings) > MANY:
                return set(range(start, len(self.cells) + 1))
        return found

    def _sums(self, cells: Sequence[int], known: Mapping[int, int]) -> list[set[int]]:
        """Give what the first cell makes, the first two, and so on, up to a little more than the value."""
        sums, found = {0}, []
        for cell in cells:
            sums = {total + digit for total in sums for digit in digits_of(known[cell])}
            found.append(sums)
            if min(sums, default=0) > self.value:
                break
        return found
