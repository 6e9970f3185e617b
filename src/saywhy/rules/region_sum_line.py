"""
Region sum line.

Meaning:
    The line is cut where it crosses a border of regions, and every piece has the same sum; a printed
    value fixes that sum. A line that comes back into a region starts a new piece there.
Drawn as:
    A fine line with filled squares at its ends, with the value at its first cell if there is one.
Example:
    8 in one box, 5 and 3 in the next, 1 and 7 in the third.
Often confused with:
    A sum line, whose groups are nothing to do with the regions; an arrow, whose circle is a total.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

from saywhy.primitives import Primitive, balance, sum_of
from saywhy.ranges import check_range, distinct_range
from saywhy.rule import CellsRule, Form, Part, Phrases, RuleError
from saywhy.shapes import Area, Cap, Line, Shape, Texture, Weight
from saywhy.thoughts import Said, Thought


@dataclass(frozen=True)
class RegionSumLine(CellsRule):
    """
    A line whose pieces, one a region, all make the same.

    Attributes:
        value: What each piece makes, if printed.
    """

    name: ClassVar[str] = "region-sum-line"
    title: ClassVar[str] = "Region sum line"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "region-sum-line"
cells = "r1c2 r1c3 r2c4 r2c5 r3c5"

[[clue]]
rule = "region-sum-line"
cells = "r4c1 r5c1 r5c2"
value = 6
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2
    takes: ClassVar[frozenset[str]] = frozenset({"value"})
    less_without_value: ClassVar[bool] = True

    value: int | None = None

    def __post_init__(self) -> None:
        if self.grid.regions is None:
            raise RuleError(
                "rule", "this grid has no regions to cut the line", "Give regions, or use sum-line"
            )
        ranges = [distinct_range(len(piece), self.grid.size) for piece in self.pieces]
        least, most = max(low for low, _ in ranges), min(high for _, high in ranges)
        if least > most:
            what = f"one piece makes at least {least} and another at most {most}"
            raise RuleError("cells", what, "Move the line, so that all pieces can make the same")
        if self.value is not None:
            check_range("value", self.value, least, most, "the total of each piece")

    @property
    def pieces(self) -> tuple[tuple[int, ...], ...]:
        """The pieces, in the order of the line."""
        regions = self.grid.regions or ()
        found = [[self.cells[0]]]
        for before, cell in pairwise(self.cells):
            if regions[before] == regions[cell]:
                found[-1].append(cell)
            else:
                found.append([cell])
        return tuple(tuple(piece) for piece in found)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether all pieces make the same, and the value if there is one."""
        if self.held(digits) is None:
            return None
        totals = {sum(digits[cell] for cell in piece) for piece in self.pieces}
        return len(totals) == 1 and (self.value is None or self.value in totals)

    def compile(self) -> list[Primitive]:
        """A sum for each piece; without a value each piece against the shortest."""
        if self.value is not None:
            return [sum_of(piece, self.value) for piece in self.pieces]
        shortest = min(self.pieces, key=len)
        return [balance(piece, shortest) for piece in self.pieces if piece != shortest]

    def draw(self) -> list[Shape]:
        """A fine line; the value, if any, in the corner of its first cell."""
        square = Cap.SQUARE
        drawn: list[Shape] = [Line(self.cells, Texture.SOLID, Weight.FINE, ink=6, start=square, end=square)]
        if self.value is not None:
            drawn.append(Area(self.cells[:1], outline=None, label=str(self.value)))
        return drawn

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        kind = "box" if self.grid.box else "region"
        parts = tuple(Part("piece", "piece", piece) for piece in self.pieces)
        cut = f"{kind.capitalize()} borders cut"
        again = f"coming back into a {kind} starts a new piece."
        if self.value is None:
            return Phrases(
                noun="region sum line",
                parts=parts,
                law="every piece of the line makes the same",
                spoken=f"{cut} a line into pieces; all pieces of one line have the same total.",
                written=(
                    f"{cut} a region sum line into pieces. All pieces of one line have the same sum, and "
                    f"{again}"
                ),
            )
        return Phrases(
            noun=f"region sum line of {self.value}",
            parts=parts,
            law=f"every piece of the line makes {self.value}",
            spoken=f"{cut} a numbered line into pieces, and each piece makes that number.",
            written=(
                f"{cut} a region sum line into pieces. Each piece of a line with a number sums to that "
                f"number, and {again}"
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """A piece of one cell makes the total alone."""
        alone = [piece[0] for piece in self.pieces if len(piece) == 1 and piece[0] in gone]
        if self.value is None or not alone:
            return []
        kind = "box" if self.grid.box else "region"
        regions = self.grid.regions or ()
        one = len(alone) == 1
        head, they = f"the line makes {self.value} in each {kind}, and ", "are alone in theirs"
        if any([regions[cell] for cell in self.cells].count(regions[lone]) > 1 for lone in alone):
            head = f"each piece of the line makes {self.value}, and "
            they = "is a piece by itself" if one else "are pieces by themselves"
        elif one:
            they = f"is alone in its {kind}"
        said: Said = (head, tuple(sorted(alone)), f" {they}")
        return [Thought((said,), {cell: known[cell] & 1 << (self.value - 1) for cell in alone})]
