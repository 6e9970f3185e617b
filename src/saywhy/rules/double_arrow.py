"""
Double arrow.

Meaning:
    The digits in the two circles at the ends sum to the same total as all the digits between them
    along the line. Digits may repeat where other rules allow.
Drawn as:
    A circle at both ends and a line between them.
Example:
    Circles 2 and 7, between them 4 and 5: both sides make 9.
Often confused with:
    An arrow, whose single circle alone is the total of its shaft; a between-line, whose circles bound
    the digits between them and sum to nothing.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar, Self

from saywhy.grid import Grid
from saywhy.primitives import Primitive, balance
from saywhy.puzzle import Clue
from saywhy.rule import ClueRule, Form, Part, Phrases
from saywhy.shapes import Line, Ring, Shape


@dataclass(frozen=True)
class DoubleArrow(ClueRule):
    """Two circled ends that sum to what the cells between them sum to."""

    name: ClassVar[str] = "double-arrow"
    title: ClassVar[str] = "Double arrow"
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 3

    grid: Grid
    cells: tuple[int, ...]

    @classmethod
    def read(cls, clue: Clue, grid: Grid) -> Self:
        """Give the placed rule."""
        return cls(grid, clue.cells)

    @property
    def circles(self) -> tuple[int, int]:
        """The two ends."""
        return self.cells[0], self.cells[-1]

    @property
    def line(self) -> tuple[int, ...]:
        """The cells between the circles."""
        return self.cells[1:-1]

    @property
    def scope(self) -> tuple[int, ...]:
        """All its cells."""
        return self.cells

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether both sides make the same."""
        if not all(digits[cell] for cell in self.cells):
            return None
        return sum(digits[c] for c in self.circles) == sum(digits[c] for c in self.line)

    def compile(self) -> list[Primitive]:
        """One weighted sum: circles less line is nothing."""
        return [balance(self.circles, self.line)]

    def draw(self) -> list[Shape]:
        """A line between two rings."""
        return [Line(self.cells, ink=1), *(Ring((cell,), ink=1) for cell in self.circles)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="double arrow",
            parts=(
                Part("circle", "circles", self.circles),
                Part("line cell", "line", self.line),
            ),
            law="the circles make what the line makes",
            spoken="On a double arrow, the two circles add up to the same as everything between them.",
            written=(
                "The digits in the two circles of a double arrow have the same sum as the digits along "
                "the line between them. Digits may repeat on it where other rules allow."
            ),
        )
