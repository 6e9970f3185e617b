"""
Pair sum.

Meaning:
    The two digits sum to the printed value.
Drawn as:
    The value in a small frame on the border of two cells.
Example:
    12 on a border: 3 and 9, 4 and 8 or 5 and 7.
Often confused with:
    A number in a white dot, which is a difference.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Primitive, sum_of
from saywhy.ranges import check_range
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Edge, Shape


@dataclass(frozen=True)
class PairSum(CellsRule):
    """
    Two neighbours with a printed sum.

    Attributes:
        value: The sum.
    """

    name: ClassVar[str] = "pair-sum"
    title: ClassVar[str] = "Pair sum"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "pair-sum"
cells = "r1c2 r1c3"
value = 9

[[clue]]
rule = "pair-sum"
cells = "r4c4 r5c4"
value = 4
"""
    form: ClassVar[Form] = Form.PAIR
    needs: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 0

    def __post_init__(self) -> None:
        check_range("value", self.value, 3, 2 * self.grid.size - 1, "the sum of two neighbours")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digits sum to the value."""
        held = self.held(digits)
        return None if held is None else sum(held) == self.value

    def compile(self) -> list[Primitive]:
        """One sum."""
        return [sum_of(self.cells, self.value)]

    def draw(self) -> list[Shape]:
        """The value on the border."""
        a, b = self.cells
        return [Edge(a, b, "text", str(self.value))]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun=f"pair of {self.value}",
            parts=(Part("cell of the pair", "pair", self.cells),),
            law=f"the two make {self.value}",
            across="across the border",
            spoken="A number between two cells is the total of the two.",
            written="Two digits with a number on their border sum to that number.",
        )
