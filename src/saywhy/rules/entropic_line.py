"""
Entropic line.

Meaning:
    Every three successive cells along the line hold one low (1 to 3), one middle (4 to 6) and one high
    (7 to 9) digit. 9x9 grids only.
Drawn as:
    A ladder with round ends.
Example:
    2, 9, 5, 1, 7, 6.
Often confused with:
    A modular line, which takes turns of remainders; a whisper, which takes turns of low and high.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton
from saywhy.rule import CellsRule, Form, Part, Phrases, RuleError
from saywhy.shapes import Cap, Line, Shape, Texture, Weight
from saywhy.thoughts import Said, Thought, thirds, thirds_fail


@lru_cache(maxsize=256)
def low_middle_high(count: int) -> Automaton:
    """Give the automaton that remembers the last two thirds."""
    start: tuple[int, ...] = ()

    def step(state: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
        third = (digit - 1) // 3
        return None if third in state else (*state[-1:], third)

    return automaton(count, 9, start, step, lambda _: True)


def _kinds(size: int) -> list[int]:
    """Give the three kinds of digits as masks."""
    third = size // 3
    return [((1 << third) - 1) << (third * kind) for kind in range(3)]


def _named(size: int) -> list[tuple[str, str, int]]:
    """Give the kinds with their names."""
    names = ("low", "middle", "high")
    return [(name, f"{name} digit", kind) for name, kind in zip(names, _kinds(size), strict=True)]


@dataclass(frozen=True)
class EntropicLine(CellsRule):
    """A line on which low, middle and high take turns."""

    name: ClassVar[str] = "entropic-line"
    title: ClassVar[str] = "Entropic line"
    specimen: ClassVar[str] = """
size = 9

[[clue]]
rule = "entropic-line"
cells = "r2c2 r1c3 r2c4 r3c4 r4c5"

[[clue]]
rule = "entropic-line"
cells = "r8c3 r7c4 r7c5 r8c6"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 3

    def __post_init__(self) -> None:
        if self.grid.size != 9:
            n = self.grid.size
            what = f"entropic-line is for 9x9 grids, and this one is {n}x{n}"
            raise RuleError("rule", what, "Use modular-line, or a 9x9 grid")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether every three successive digits are one low, one middle and one high."""
        held = self.held(digits)
        if held is None:
            return None
        thirds = ["low" if digit <= 3 else "middle" if digit <= 6 else "high" for digit in held]
        return all(len(set(thirds[k : k + 3])) == 3 for k in range(len(thirds) - 2))

    def compile(self) -> list[Primitive]:
        """An automaton that remembers the last two thirds."""
        return [Regular(self.cells, low_middle_high(len(self.cells)))]

    def draw(self) -> list[Shape]:
        """A ladder."""
        return [Line(self.cells, Texture.LADDER, Weight.MEDIUM, ink=6, start=Cap.ROUND, end=Cap.ROUND)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="entropic line",
            parts=(Part("cell", "line", self.cells),),
            law="any three in a row are one low, one middle and one high",
            spoken="On an entropic line, three in a row have one each of 1 to 3, 4 to 6 and 7 to 9.",
            written=(
                "Every three successive digits along an entropic line are one low (1, 2, 3), one middle "
                "(4, 5, 6) and one high (7, 8, 9), in any order."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """Every third cell is of one kind, and the three kinds take turns."""
        del gone
        turns = [self.cells[start::3] for start in range(min(3, len(self.cells)))]
        left = dict.fromkeys(self.cells, 0)
        for order in permutations(_kinds(self.grid.size), len(turns)):
            if all(known[c] & kind for turn, kind in zip(turns, order, strict=True) for c in turn):
                for turn, kind in zip(turns, order, strict=True):
                    for cell in turn:
                        left[cell] |= known[cell] & kind
        return [
            *thirds(self.cells, known, _named(self.grid.size)),
            Thought((("every third cell of the line is of one kind",),), left),
            Thought((("any three in a row are of three different kinds",),), left),
        ]

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """Cells three apart that are of two kinds, or cells of one kind out of turn."""
        return thirds_fail(self.cells, known, _named(self.grid.size))

    def fails_apart(self, known: Mapping[int, int], differ: Callable[[int, int], bool]) -> Said | None:
        """Cells of one kind that differ and share too few digits."""
        return thirds_fail(self.cells, known, _named(self.grid.size), differ)
