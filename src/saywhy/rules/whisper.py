"""
Whisper.

Meaning:
    Neighbours along the line differ by at least the value: 5 unless another is given (4 is the other
    usual one).
Drawn as:
    A zigzag line; where the value is not 5, open rounds at its ends and the value at its first cell.
Example:
    1, 7, 2, 9. With a difference of 4 also 1, 5, 9, 4.
Often confused with:
    A parity line, which alternates odd and even; a white dot, whose difference is exact.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.ranges import check_range
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Area, Cap, Line, Shape, Texture, Weight
from saywhy.thoughts import Thought, turns

USUAL = 5


def apart(a: int, b: int, least: int) -> bool:
    """Say whether two digits differ by at least this much."""
    return abs(a - b) >= least


@dataclass(frozen=True)
class Whisper(CellsRule):
    """
    A line whose neighbours lie far apart.

    Attributes:
        value: The least difference.
    """

    name: ClassVar[str] = "whisper"
    title: ClassVar[str] = "Whisper"
    specimen: ClassVar[str] = """
size = 9

[[clue]]
rule = "whisper"
cells = "r2c2 r1c3 r2c4 r3c4 r4c5"

[[clue]]
rule = "whisper"
cells = "r8c3 r7c4 r7c5 r8c6"
value = 4
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2
    takes: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = USUAL

    def __post_init__(self) -> None:
        what = "the least difference along a whisper (5 where no value is given)"
        check_range("value", self.value, 1, self.grid.size - 1, what)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether neighbours differ by the value or more."""
        held = self.held(digits)
        return None if held is None else all(abs(a - b) >= self.value for a, b in pairwise(held))

    def compile(self) -> list[Primitive]:
        """A relation for each step, which together lose nothing: the line has no fork."""
        n = self.grid.size
        return [relation(a, b, n, apart, self.value) for a, b in pairwise(self.cells)]

    def draw(self) -> list[Shape]:
        """A zigzag line; any value but the usual one closes it with open rounds and is printed."""
        if self.value == USUAL:
            return [Line(self.cells, Texture.ZIGZAG, Weight.MEDIUM, ink=3)]
        cap = Cap.OPEN_ROUND
        line = Line(self.cells, Texture.ZIGZAG, Weight.MEDIUM, ink=3, start=cap, end=cap)
        return [line, Area(self.cells[:1], outline=None, ink=3, label=f"≥{self.value}")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        marked = "" if self.value == USUAL else f" marked {self.value}"
        return Phrases(
            noun="whisper",
            parts=(Part("cell", "line", self.cells),),
            law=f"neighbours on the line are at least {self.value} apart",
            across="next to it",
            unfit=(
                f"has nothing {self.value} away on either side",
                f"have nothing {self.value} away on either side",
            ),
            spoken=f"Neighbours along a whisper line{marked} are at least {self.value} apart.",
            written=(
                f"Digits next to each other along a whisper line{marked} differ by at least {self.value}."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """Low and high digits take turns, where the difference is more than half of the grid's size."""
        del gone
        n = self.grid.size
        if 2 * self.value <= n:
            return []
        low = (1 << (n - self.value)) - 1
        return turns(self.cells, known, (("low", low), ("high", low << self.value)))
