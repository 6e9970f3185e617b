"""
Little killer.

Meaning:
    The digits along the diagonal sum to the value; they may repeat where other rules allow.
Drawn as:
    The value outside the grid, with a small pointer along the diagonal.
Example:
    9 at the upper side pointing down and right along three cells: 3, 3 and 3 would do.
Often confused with:
    A sandwich, which looks along a row or column; the diagonals rule, which forbids repeats.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Primitive, sum_of
from saywhy.ranges import check_range, distinct_range
from saywhy.rule import CellsRule, Form, Part, Phrases, outside_plate
from saywhy.shapes import Shape


@dataclass(frozen=True)
class LittleKiller(CellsRule):
    """
    A diagonal with a printed sum.

    Attributes:
        value: The sum.
    """

    name: ClassVar[str] = "little-killer"
    title: ClassVar[str] = "Little killer"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "little-killer"
cells = "r1c2-r5c6"
value = 17

[[clue]]
rule = "little-killer"
cells = "r6c3-r4c1"
value = 9
"""
    form: ClassVar[Form] = Form.DIAGONAL
    needs: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 0

    def __post_init__(self) -> None:
        n, count = self.grid.size, len(self.cells)
        regions = self.grid.regions or self.grid.cells
        ranges = [distinct_range(held, n) for held in Counter(regions[cell] for cell in self.cells).values()]
        cells = "1 cell" if count == 1 else f"{count} cells"
        what = f"the sum of this diagonal of {cells}"
        check_range("value", self.value, sum(low for low, _ in ranges), sum(high for _, high in ranges), what)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digits sum to the value."""
        held = self.held(digits)
        return None if held is None else sum(held) == self.value

    def compile(self) -> list[Primitive]:
        """One sum."""
        return [sum_of(self.cells, self.value)]

    def draw(self) -> list[Shape]:
        """The value outside, pointing along the diagonal."""
        return [outside_plate(self.grid, self.cells, str(self.value), "plain", pointer=True)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun=f"diagonal of {self.value}",
            parts=(Part("cell of the diagonal", "diagonal", self.cells),),
            law=f"the diagonal makes {self.value}",
            spoken="A number outside with a pointer is the total along that diagonal, repeats allowed.",
            written=(
                "The digits along a diagonal that a number outside the grid points at sum to that number. "
                "They may repeat where other rules allow."
            ),
        )
