"""
Counting circles.

Meaning:
    One clue lists all circled cells. A digit in a circle says how many of the circles hold that digit.
Drawn as:
    A dashed ring in each of the cells.
Example:
    Six circles: 1, 2, 2, 3, 3 and 3.
Often confused with:
    The circle of an arrow, which has a shaft; odd cells, which are discs.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import ClassVar

from saywhy.primitives import Count, Primitive, digits_of
from saywhy.ranges import check_length
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Ring, Shape
from saywhy.thoughts import Thought, a_digit, counted, listed, lone

#: Sets of digits listed at most.
MOST_WAYS = 3


@dataclass(frozen=True)
class CountingCircles(CellsRule):
    """Circled cells whose digits count themselves."""

    name: ClassVar[str] = "counting-circles"
    title: ClassVar[str] = "Counting circles"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "counting-circles"
cells = "r1c1 r1c4 r2c6 r4c2 r5c5 r6c3"
"""
    form: ClassVar[Form] = Form.CELLS

    def __post_init__(self) -> None:
        n = self.grid.size
        why = f"once 1, twice 2 and so on up to {n}"
        check_length("counting-circles", len(self.cells), n * (n + 1) // 2, why)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether each digit in a circle stands in exactly that many."""
        held = self.held(digits)
        return None if held is None else all(held.count(digit) == digit for digit in held)

    def compile(self) -> list[Primitive]:
        """One count."""
        return [Count(self.cells)]

    def draw(self) -> list[Shape]:
        """A dashed ring in each cell."""
        return [Ring((cell,), ink=6, dashed=True) for cell in self.cells]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="counting circles",
            parts=(Part("circle", "circles", self.cells),),
            law="each digit in a circle stands in exactly that many circles",
            spoken="A digit in a dashed circle says how many dashed circles hold that digit.",
            written=(
                "A digit in a dashed circle stands in exactly as many dashed circles as it says. "
                "A digit in none of them is free."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """A digit d needs d circles; and the digits in the circles add up to their number."""
        n = self.grid.size
        able = {d: [c for c in self.cells if known[c] >> (d - 1) & 1] for d in range(1, n + 1)}
        ruled_out = 0
        for cell, mask in gone.items():
            ruled_out |= mask & known.get(cell, 0)
        return [
            *self._too_few(known, able, digits_of(ruled_out)),
            *self._all_of_them(known, able),
            *self._adding_up(known, able, digits_of(ruled_out)),
        ]

    def _too_few(
        self, known: Mapping[int, int], able: Mapping[int, Sequence[int]], digits: Sequence[int]
    ) -> Iterator[Thought]:
        """A digit that fewer circles can take than it needs is in none."""
        if not digits or len(digits) > 3 or any(len(able[digit]) >= digit for digit in digits):
            return
        left = {cell: known[cell] & ~sum(1 << (d - 1) for d in digits) for cell in self.cells}
        said = [
            f"{a_digit(d)} needs {counted(d)} circles, and {counted(len(able[d]))} can take it"
            for d in digits
        ]
        yield Thought(tuple((text,) for text in said), left)

    def _all_of_them(self, known: Mapping[int, int], able: Mapping[int, Sequence[int]]) -> Iterator[Thought]:
        """A digit that stands in a circle, and that just as many circles can take as it needs."""
        for digit in lone(known, self.cells):
            if len(able[digit]) == digit:
                text = f"a circle is {digit} already, and just {counted(digit)} can be"
                yield Thought(((text,),), dict.fromkeys(able[digit], 1 << (digit - 1)))

    def _adding_up(
        self, known: Mapping[int, int], able: Mapping[int, Sequence[int]], ruled_out: Sequence[int]
    ) -> Iterator[Thought]:
        """The sets of digits that add up to the number of circles."""
        total = len(self.cells)
        must = set(lone(known, self.cells))
        usable = [digit for digit in able if len(able[digit]) >= digit]
        ways = [
            digits
            for size in range(1, len(usable) + 1)
            for digits in combinations(usable, size)
            if sum(digits) == total and must <= set(digits)
            if all(any(known[cell] >> (d - 1) & 1 for d in digits) for cell in self.cells)
        ]
        if not ways:
            return
        union = sum(1 << (digit - 1) for digit in {digit for digits in ways for digit in digits})
        left = {cell: known[cell] & union for cell in self.cells}
        for digit in set(ways[0]).intersection(*ways[1:]):
            if len(able[digit]) == digit:
                left |= dict.fromkeys(able[digit], 1 << (digit - 1))
        adds = f"the digits used add up to the {counted(total)} circles"
        if len(ways) <= MOST_WAYS:
            shown = ", or ".join(listed(digits) for digits in ways)
            yield Thought(((f"{adds}: {'just ' * (len(ways) == 1)}{shown}",),), left)
        missing = [digit for digit in ruled_out if not union >> (digit - 1) & 1]
        if 1 <= len(missing) <= MOST_WAYS:
            none = listed([a_digit(digit) for digit in missing], "or")
            yield Thought(((f"{adds}, and no way to do that has {none}",),), left)
