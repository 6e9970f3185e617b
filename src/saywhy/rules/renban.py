"""
Renban.

Meaning:
    The digits on the line are a set of consecutive digits without repeats, in any order.
Drawn as:
    A broad beaded line.
Example:
    5, 3, 6, 4.
Often confused with:
    A thermometer, which has an order; a nabner, on which no two digits are consecutive.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import AllDifferent, Primitive, word
from saywhy.ranges import check_length
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Line, Shape, Texture, Weight


@dataclass(frozen=True)
class Renban(CellsRule):
    """A line of consecutive digits in any order."""

    name: ClassVar[str] = "renban"
    title: ClassVar[str] = "Renban"
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2

    def __post_init__(self) -> None:
        check_length("a renban", len(self.cells), self.grid.size, "its digits do not repeat")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digits, sorted, are a run without a gap."""
        held = self.held(digits)
        if held is None:
            return None
        return sorted(held) == list(range(min(held), min(held) + len(held)))

    def compile(self) -> list[Primitive]:
        """
        No repeats, and least and greatest are no further apart than the cells are many.

        Different digits within a span of as many digits as cells are that span. So the automaton need
        only remember the least and the greatest digit so far.
        """
        span = len(self.cells)
        start: tuple[int, ...] = ()

        def step(state: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
            least, most = min(*state, digit), max(*state, digit)
            return (least, most) if most - least < span else None

        def first(state: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
            return step(state or (digit, digit), digit)

        return [AllDifferent(self.cells), word(self.cells, self.grid.size, start, first, bool)]

    def draw(self) -> list[Shape]:
        """A beaded line."""
        return [Line(self.cells, Texture.BEADED, Weight.BROAD, ink=4)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="renban",
            parts=(Part("cell", "line", self.cells),),
            law="its digits are consecutive, in any order",
            spoken="A renban line holds digits in sequence, shuffled in any order.",
            written="The digits on a renban line are consecutive and do not repeat, in any order.",
        )
