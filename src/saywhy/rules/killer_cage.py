"""
Killer cage.

Meaning:
    No digit repeats in the cage; with a printed value the digits sum to it.
Drawn as:
    A dashed outline, with the value in the corner of its first cell if there is one.
Example:
    Three cells that make 7 hold 1, 2 and 4.
Often confused with:
    An extra region, which has no total; equal-sum cages, whose total is not printed.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.grid import House
from saywhy.primitives import AllDifferent, Primitive, sum_of
from saywhy.ranges import check_length, check_range, distinct_range
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Area, Shape, Texture


@dataclass(frozen=True)
class KillerCage(CellsRule):
    """
    Cells without repeats, with or without a total.

    Attributes:
        value: The total, if printed.
    """

    name: ClassVar[str] = "killer-cage"
    title: ClassVar[str] = "Killer cage"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "killer-cage"
cells = "r1c2 r1c3 r2c3"
value = 7

[[clue]]
rule = "killer-cage"
cells = "r4c4 r4c5 r5c5 r5c4"
value = 16

[[clue]]
rule = "killer-cage"
cells = "r6c1 r6c2"
"""
    form: ClassVar[Form] = Form.AREA
    takes: ClassVar[frozenset[str]] = frozenset({"value"})
    less_without_value: ClassVar[bool] = True

    value: int | None = None

    def __post_init__(self) -> None:
        size, count = self.grid.size, len(self.cells)
        check_length("a cage", count, size, "its digits do not repeat")
        if self.value is not None:
            cells = "1 cell" if count == 1 else f"{count} cells"
            check_range("value", self.value, *distinct_range(count, size), f"the total of a cage of {cells}")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether no digit repeats and the total is right."""
        held = self.held(digits)
        if held is None:
            return None
        return len(set(held)) == len(held) and (self.value is None or sum(held) == self.value)

    def compile(self) -> list[Primitive]:
        """All different, and the sum."""
        no_repeats: list[Primitive] = [AllDifferent(self.cells)] if len(self.cells) > 1 else []
        return no_repeats if self.value is None else [*no_repeats, sum_of(self.cells, self.value)]

    def draw(self) -> list[Shape]:
        """A dashed outline with the total."""
        return [Area(self.cells, Texture.DASHED, ink=8, label="" if self.value is None else str(self.value))]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        parts = (Part("cage cell", "cage", self.cells),)
        if self.value is None:
            return Phrases(
                noun="cage",
                parts=parts,
                law="no digit repeats in the cage",
                spoken="No digit repeats in a cage.",
                written="No digit repeats in a cage.",
            )
        return Phrases(
            noun=f"{self.value} cage",
            parts=parts,
            law=f"the cage makes {self.value} without repeats",
            spoken="The digits in a cage are all different and add up to its small number.",
            written="No digit repeats in a cage, and its digits sum to the number in its corner.",
        )

    def houses(self) -> list[House]:
        """The cage, if it is as large as a row."""
        whole = len(self.cells) == self.grid.size
        return [House("cage", 1, tuple(sorted(self.cells)))] if whole else []
