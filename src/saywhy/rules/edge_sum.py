"""
Edge sum.

Meaning:
    The first k digits, seen from the clue, sum to the value. Where no count is printed, k is the width
    of a box: its columns, whether the clue looks along a row or a column.
Drawn as:
    The value outside the grid with a double frame; the count, where one is printed, before a colon.
Example:
    12 before a row of a 9x9 grid that begins 4, 6, 2.
Often confused with:
    An X-sum, whose count is its first digit; a sandwich, which begins at the 1.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Primitive, sum_of
from saywhy.ranges import check_range, distinct_range
from saywhy.rule import OutsideRule, Part, Phrases, RuleError, outside_plate
from saywhy.shapes import Shape


@dataclass(frozen=True)
class EdgeSum(OutsideRule):
    """
    A row or column whose first digits have a printed sum.

    Attributes:
        value: The sum.
        count: How many digits; None for the width of a box.
    """

    name: ClassVar[str] = "edge-sum"
    title: ClassVar[str] = "Edge sum"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "edge-sum"
cells = "r1c2-r6c2"
value = 11

[[clue]]
rule = "edge-sum"
cells = "r3c6-r3c1"
value = 5
count = 2
"""
    needs: ClassVar[frozenset[str]] = frozenset({"value"})
    takes: ClassVar[frozenset[str]] = frozenset({"count"})

    value: int = 0
    count: int | None = None

    def __post_init__(self) -> None:
        n = self.grid.size
        if self.count is None and self.grid.box is None:
            what = "edge-sum needs a count on a grid without boxes"
            raise RuleError("count", what, "Add count = ..., how many digits it sums")
        if self.count is not None:
            check_range("count", self.count, 1, n, "the number of digits that an edge sum reaches")
        reach = len(self.reached)
        what = f"the sum of the first {reach} digits" if reach > 1 else "the first digit"
        check_range("value", self.value, *distinct_range(reach, n), what)

    @property
    def reached(self) -> tuple[int, ...]:
        """The cells that it sums."""
        _, width = self.grid.box or (0, 0)
        return self.cells[: width if self.count is None else self.count]

    @property
    def scope(self) -> tuple[int, ...]:
        """The cells that it sums; the rest of the row or column is free."""
        return self.reached

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the first digits sum to the value."""
        reached = [digits[cell] for cell in self.reached]
        return None if 0 in reached else sum(reached) == self.value

    def compile(self) -> list[Primitive]:
        """One sum."""
        return [sum_of(self.reached, self.value)]

    def draw(self) -> list[Shape]:
        """The value outside with a double frame."""
        text = str(self.value) if self.count is None else f"{self.count}:{self.value}"
        return [outside_plate(self.grid, self.cells, text, "double")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        reach = len(self.reached)
        parts = (Part("first cell", f"first cells of the {self.lane}", self.reached),)
        law = f"the first {reach} make {self.value}" if reach > 1 else f"the first one is {self.value}"
        if self.count is None:
            return Phrases(
                noun=f"edge sum of {self.value}",
                parts=parts,
                law=law,
                spoken=f"A double-framed number outside is the total of the first {reach} digits there.",
                written=(
                    f"A number in a double frame outside the grid is the sum of the first {reach} digits "
                    "of that row or column seen from there."
                ),
            )
        return Phrases(
            noun=f"edge sum of {self.value}",
            parts=parts,
            law=law,
            spoken=(
                "In a double frame outside, the second number is the total of as many digits as the first."
            ),
            written=(
                "In a double frame outside the grid, the first number says how many digits of that row or "
                "column, seen from there, sum to the second."
            ),
        )
