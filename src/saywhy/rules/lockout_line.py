"""
Lockout line.

Meaning:
    The digits in the two ends differ by at least 4, or by another printed value, and no digit between
    the ends along the line lies between their digits or equals one of them.
Drawn as:
    A dashed line with diamonds at its ends; where the value is not 4, it stands at the first cell.
Example:
    Ends 2 and 6, between them 1, 9, 7.
Often confused with:
    A between line, which keeps the digits in instead of out.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton
from saywhy.ranges import check_range
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Area, Cap, Line, Shape, Texture, Weight
from saywhy.thoughts import Thought, listed, lone

USUAL = 4


@lru_cache(maxsize=256)
def locked_out(count: int, least: int, size: int) -> Automaton:
    """Give the automaton that reads two ends and then digits outside the range from one to the other."""
    start: tuple[int, ...] = ()

    def step(state: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
        if len(state) < 2:
            ends = tuple(sorted((*state, digit)))
            return ends if len(ends) < 2 or ends[1] - ends[0] >= least else None
        return None if state[0] <= digit <= state[1] else state

    return automaton(count, size, start, step, lambda state: len(state) == 2)


@dataclass(frozen=True)
class LockoutLine(CellsRule):
    """
    Two ends far apart that lock the digits between theirs out of the line.

    Attributes:
        value: The least difference of the ends.
    """

    name: ClassVar[str] = "lockout-line"
    title: ClassVar[str] = "Lockout line"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "lockout-line"
cells = "r2c2 r1c3 r2c4 r3c4"

[[clue]]
rule = "lockout-line"
cells = "r6c1 r5c1 r5c2 r6c3"
value = 3
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 3
    takes: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = USUAL

    def __post_init__(self) -> None:
        what = "the least difference of a lockout line's ends (4 where no value is given)"
        check_range("value", self.value, 1, self.grid.size - 2, what)

    @property
    def ends(self) -> tuple[int, int]:
        """The two ends."""
        return self.cells[0], self.cells[-1]

    @property
    def line(self) -> tuple[int, ...]:
        """The cells between the ends."""
        return self.cells[1:-1]

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the ends are far enough apart and every inner digit lies outside them."""
        held = self.held(digits)
        if held is None:
            return None
        low, high = sorted((held[0], held[-1]))
        return high - low >= self.value and all(digit < low or digit > high for digit in held[1:-1])

    def compile(self) -> list[Primitive]:
        """An automaton that reads both ends first and then holds each inner digit against them."""
        order = (*self.ends, *self.line)
        return [Regular(order, locked_out(len(order), self.value, self.grid.size))]

    def draw(self) -> list[Shape]:
        """A dashed line between diamonds; any value but the usual one is printed."""
        diamond = Cap.DIAMOND
        line = Line(self.cells, Texture.DASHED, Weight.MEDIUM, ink=2, start=diamond, end=diamond)
        if self.value == USUAL:
            return [line]
        return [line, Area(self.cells[:1], outline=None, ink=2, label=f"≥{self.value}")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        marked = "" if self.value == USUAL else f" marked {self.value}"
        return Phrases(
            noun="lockout line",
            parts=(Part("diamond", "diamonds", self.ends), Part("inner cell", "line", self.line)),
            law=f"the diamonds are at least {self.value} apart and the line stays outside them",
            spoken=(
                f"The diamonds of a lockout line{marked} are at least {self.value} apart, and the line stays "
                "outside their range."
            ),
            written=(
                f"The digits in the two diamonds of a lockout line{marked} differ by at least "
                f"{self.value}. No digit along the line equals one of them or lies between them."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """Which diamonds are far enough apart and leave the line room outside them."""
        del gone
        n = self.grid.size
        one, other = self.ends
        left = dict.fromkeys((*self.ends, *self.line), 0)
        for a in range(1, n + 1):
            for b in range(1, n + 1):
                low, high = min(a, b), max(a, b)
                room = ((1 << n) - 1) & ~(((1 << high) - 1) & ~((1 << (low - 1)) - 1))
                if high - low < self.value or not all(known[cell] & room for cell in self.line):
                    continue
                if known[one] >> (a - 1) & 1 and known[other] >> (b - 1) & 1:
                    left[one] |= 1 << (a - 1)
                    left[other] |= 1 << (b - 1)
                    for cell in self.line:
                        left[cell] |= known[cell] & room
        if not left[one]:
            return []
        ends, held = lone(known, self.ends), lone(known, self.line)
        if len(ends) == 2:
            text = f"the diamonds are {min(ends)} and {max(ends)}, and the line stays outside them"
            return [Thought(((text,),), left)]
        found: list[Thought] = []
        if ends:
            found.append(
                Thought(((f"the other diamond is at least {self.value} away from the {ends[0]}",),), left)
            )
        if held:
            text = f"the diamonds are at least {self.value} apart, with no {listed(held, 'or')} between them"
            found.append(Thought(((text,),), left))
        text = f"the diamonds are at least {self.value} apart, and the line stays outside them"
        return [*found, Thought(((text,),), left)]
