"""
Between line.

Meaning:
    Every digit between the two ends is strictly between the ends' digits.
Drawn as:
    A double line with open squares at its ends.
Example:
    Ends 2 and 7, between them 5, 3, 6.
Often confused with:
    A lockout line, which keeps digits between its ends' digits out; a double arrow, whose ends sum.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Cap, Line, Shape, Texture, Weight


@lru_cache(maxsize=256)
def between(count: int, size: int) -> Automaton:
    """Give the automaton that reads two ends and then digits strictly between them."""
    start: tuple[int, ...] = ()

    def step(state: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
        if len(state) < 2:
            ends = tuple(sorted((*state, digit)))
            return ends if len(ends) < 2 or ends[1] - ends[0] >= 2 else None
        return state if state[0] < digit < state[1] else None

    return automaton(count, size, start, step, lambda state: len(state) == 2)


@dataclass(frozen=True)
class BetweenLine(CellsRule):
    """Two ends that bound the digits between them."""

    name: ClassVar[str] = "between-line"
    title: ClassVar[str] = "Between line"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "between-line"
cells = "r2c2 r1c3 r2c4 r3c4"

[[clue]]
rule = "between-line"
cells = "r6c1 r5c1 r5c2 r6c3"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 3

    @property
    def ends(self) -> tuple[int, int]:
        """The two ends."""
        return self.cells[0], self.cells[-1]

    @property
    def line(self) -> tuple[int, ...]:
        """The cells between the ends."""
        return self.cells[1:-1]

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether every inner digit lies strictly between the ends' digits."""
        held = self.held(digits)
        if held is None:
            return None
        low, high = sorted((held[0], held[-1]))
        return all(low < digit < high for digit in held[1:-1])

    def compile(self) -> list[Primitive]:
        """An automaton that reads both ends first and then holds each inner digit against them."""
        order = (*self.ends, *self.line)
        return [Regular(order, between(len(order), self.grid.size))]

    def draw(self) -> list[Shape]:
        """A double line between open squares."""
        square = Cap.OPEN_SQUARE
        return [Line(self.cells, Texture.DOUBLE, Weight.MEDIUM, ink=5, start=square, end=square)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="between line",
            parts=(Part("end", "ends", self.ends), Part("inner cell", "line", self.line)),
            law="everything on the line lies between its ends",
            spoken="Digits on a between line lie strictly between the digits at its two ends.",
            written="Every digit along a between line is above one of its ends and below the other.",
        )
