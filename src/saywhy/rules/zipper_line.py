"""
Zipper line.

Meaning:
    Cells the same distance from the centre of the line sum to the digit in the centre. On a line of
    even length, which has no centre cell, all these pairs have the same sum.
Drawn as:
    A line with cross bars, like a zip; a dashed ring around a cell in the centre.
Example:
    2, 6, 8, 2, 6: 2 and 6 make 8, and so do 6 and 2.
Often confused with:
    A palindrome, whose pairs are equal; an arrow, whose circle is the total of the whole shaft.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Primitive, balance
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Line, Ring, Shape, Texture, Weight


@dataclass(frozen=True)
class ZipperLine(CellsRule):
    """A line whose pairs, from the ends inwards, all make the same."""

    name: ClassVar[str] = "zipper-line"
    title: ClassVar[str] = "Zipper line"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "zipper-line"
cells = "r1c1 r1c2 r2c3 r3c4 r3c5"

[[clue]]
rule = "zipper-line"
cells = "r6c1 r5c1 r5c2 r6c3"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 3

    @property
    def pairs(self) -> list[tuple[int, int]]:
        """The cells that lie the same distance from the centre, from the ends inwards."""
        return [(self.cells[k], self.cells[-1 - k]) for k in range(len(self.cells) // 2)]

    @property
    def centre(self) -> tuple[int, ...]:
        """The cell in the centre; none on a line of even length."""
        half = len(self.cells) // 2
        return self.cells[half : half + len(self.cells) % 2]

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether all pairs, and the centre if there is one, make the same."""
        if self.held(digits) is None:
            return None
        totals = {digits[a] + digits[b] for a, b in self.pairs} | {digits[cell] for cell in self.centre}
        return len(totals) == 1

    def compile(self) -> list[Primitive]:
        """Each pair against the centre, or against the innermost pair where there is none."""
        *outer, inner = self.pairs
        if self.centre:
            return [balance(pair, self.centre) for pair in self.pairs]
        return [balance(pair, inner) for pair in outer]

    def draw(self) -> list[Shape]:
        """A barred line, and a dashed ring in the centre if there is one."""
        line = Line(self.cells, Texture.BARRED, Weight.MEDIUM, ink=4)
        return [line, *(Ring((cell,), ink=4, dashed=True) for cell in self.centre)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        pairs = tuple(Part("pair", "pair", pair) for pair in self.pairs)
        if self.centre:
            return Phrases(
                noun="zipper line",
                parts=(*pairs, Part("middle", "middles", self.centre)),
                law="each pair makes the digit in the middle",
                spoken=(
                    "On a zipper line, cells equally far from the middle add up to the digit in the middle."
                ),
                written=(
                    "Two digits equally far from the centre of a zipper line sum to the digit in its centre."
                ),
            )
        return Phrases(
            noun="zipper line",
            parts=pairs,
            law="all pairs on the zipper line make the same",
            spoken=(
                "On a zipper line without a middle cell, cells equally far from its ends all make one total."
            ),
            written=(
                "On a zipper line of even length, every two digits equally far from its ends have the "
                "same sum."
            ),
        )
