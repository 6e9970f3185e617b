"""
Parity line.

Meaning:
    Neighbours along the line alternate between odd and even.
Drawn as:
    A broad line of dark and light blocks in turn.
Example:
    3, 8, 1, 6, 5 along the line.
Often confused with:
    A whisper, which alternates low and high; a modular line, which takes turns of three.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Line, Shape, Texture, Weight
from saywhy.thoughts import Thought, turns


def unlike(a: int, b: int) -> bool:
    """Say whether one digit is odd and the other even."""
    return (a + b) % 2 == 1


@dataclass(frozen=True)
class ParityLine(CellsRule):
    """A line on which odd and even take turns."""

    name: ClassVar[str] = "parity-line"
    title: ClassVar[str] = "Parity line"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "parity-line"
cells = "r2c2 r1c3 r2c4 r3c4"

[[clue]]
rule = "parity-line"
cells = "r6c1 r5c1 r5c2 r6c3"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether of any two neighbours one is odd and one even."""
        held = self.held(digits)
        return None if held is None else all(a % 2 != b % 2 for a, b in pairwise(held))

    def compile(self) -> list[Primitive]:
        """A relation for each step, which together lose nothing: the line has no fork."""
        n = self.grid.size
        return [relation(a, b, n, unlike) for a, b in pairwise(self.cells)]

    def draw(self) -> list[Shape]:
        """A line of blocks."""
        return [Line(self.cells, Texture.CHECKED, Weight.BROAD, ink=5)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="parity line",
            parts=(Part("cell", "line", self.cells),),
            law="odd and even take turns along the line",
            spoken="Odd and even digits take turns along a parity line.",
            written="Digits next to each other along a parity line are one odd and one even.",
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """Odd and even take turns from a cell that is known to be one of them."""
        del gone
        every = range(self.grid.size)
        odd = sum(1 << place for place in every if place % 2 == 0)
        return turns(self.cells, known, (("odd", odd), ("even", odd << 1 & (1 << self.grid.size) - 1)))
