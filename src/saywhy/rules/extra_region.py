"""
Extra region.

Meaning:
    No digit repeats in the cells; with as many cells as a row has, each digit stands there once.
Drawn as:
    A dotted surface, without an outline.
Example:
    A further 3x3 square on a 9x9 grid, which holds 1 to 9 once each.
Often confused with:
    A killer cage, which is outlined and mostly has a total; the irregular regions of the grid itself.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.grid import House
from saywhy.primitives import AllDifferent, Primitive
from saywhy.ranges import check_length
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Area, Shape, Texture


@dataclass(frozen=True)
class ExtraRegion(CellsRule):
    """Cells without repeats, wherever they lie."""

    name: ClassVar[str] = "extra-region"
    title: ClassVar[str] = "Extra region"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "extra-region"
cells = "r2c2 r2c3 r2c4 r3c3 r3c4 r4c3"
"""
    form: ClassVar[Form] = Form.CELLS
    fewest: ClassVar[int] = 2

    def __post_init__(self) -> None:
        check_length("an extra region", len(self.cells), self.grid.size, "its digits do not repeat")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether no digit repeats."""
        held = self.held(digits)
        return None if held is None else len(set(held)) == len(held)

    def compile(self) -> list[Primitive]:
        """All different."""
        return [AllDifferent(self.cells)]

    def draw(self) -> list[Shape]:
        """A dotted surface."""
        return [Area(self.cells, outline=None, fill=Texture.DOTTED, ink=8)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        n = self.grid.size
        parts = (Part("cell of the extra region", "extra region", self.cells),)
        if len(self.cells) == n:
            return Phrases(
                noun="extra region",
                parts=parts,
                law=f"the extra region holds 1 to {n} once each",
                spoken=f"Each dotted region also takes 1 to {n} once each.",
                written=f"Each extra region holds each digit from 1 to {n} once.",
            )
        return Phrases(
            noun="extra region",
            parts=parts,
            law="no digit repeats in the extra region",
            spoken="No digit repeats in a dotted region.",
            written="No digit repeats in an extra region.",
        )

    def houses(self) -> list[House]:
        """The region, if it is as large as a row."""
        whole = len(self.cells) == self.grid.size
        return [House("extra region", 1, tuple(sorted(self.cells)))] if whole else []
