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
from typing import ClassVar

from saywhy.primitives import Primitive, balance
from saywhy.ranges import loose_range
from saywhy.rule import CellsRule, Form, Part, Phrases, RuleError
from saywhy.shapes import Line, Ring, Shape


@dataclass(frozen=True)
class DoubleArrow(CellsRule):
    """Two circled ends that sum to what the cells between them sum to."""

    name: ClassVar[str] = "double-arrow"
    title: ClassVar[str] = "Double arrow"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "double-arrow"
cells = "r2c2 r1c3 r2c4 r3c4"

[[clue]]
rule = "double-arrow"
cells = "r6c1 r5c1 r5c2 r6c3"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 3

    def __post_init__(self) -> None:
        least, _ = loose_range(len(self.line), self.grid.size)
        if least > 2 * self.grid.size:
            what = f"the {len(self.line)} cells between the circles make at least {least}"
            raise RuleError("cells", f"{what}, and two circles at most {2 * self.grid.size}", "Shorten it")

    @property
    def circles(self) -> tuple[int, int]:
        """The two ends."""
        return self.cells[0], self.cells[-1]

    @property
    def line(self) -> tuple[int, ...]:
        """The cells between the circles."""
        return self.cells[1:-1]

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether both sides make the same."""
        held = self.held(digits)
        return None if held is None else held[0] + held[-1] == sum(held[1:-1])

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
