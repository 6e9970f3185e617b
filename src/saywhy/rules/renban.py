"""
Renban.

Meaning:
    The digits on the line are a set of consecutive digits without repeats, in any order.
Drawn as:
    A broad beaded line.
Example:
    5, 3, 6, 4 are the digits from 3 to 6.
Often confused with:
    A thermometer, which has an order; a nabner, on which no two digits are consecutive.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.primitives import AllDifferent, Automaton, Primitive, Regular, automaton
from saywhy.ranges import check_length
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Line, Shape, Texture, Weight


@lru_cache(maxsize=256)
def within(count: int, size: int) -> Automaton:
    """
    Give the automaton that reads digits of which the least and the greatest differ by less than their count.

    Different digits within such a span are that span, so all that it need remember is the least and the
    greatest digit so far.
    """
    start: tuple[int, ...] = ()

    def step(state: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
        least, most = min(*state, digit, digit), max(*state, digit, digit)
        return (least, most) if most - least < count else None

    return automaton(count, size, start, step, bool)


@dataclass(frozen=True)
class Renban(CellsRule):
    """A line of consecutive digits in any order."""

    name: ClassVar[str] = "renban"
    title: ClassVar[str] = "Renban"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "renban"
cells = "r2c2 r1c3 r2c4 r3c4"

[[clue]]
rule = "renban"
cells = "r6c1 r5c1 r5c2"
"""
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
        """No repeats, and least and greatest no further apart than the cells are many."""
        return [AllDifferent(self.cells), Regular(self.cells, within(len(self.cells), self.grid.size))]

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
