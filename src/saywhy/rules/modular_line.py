"""
Modular line.

Meaning:
    Every three successive cells along the line hold one digit of each remainder modulo 3.
Drawn as:
    A broad dashed line with round ends.
Example:
    1, 6, 5, 7, 3, 8: remainders 1, 0, 2, 1, 0, 2.
Often confused with:
    An entropic line, which takes turns of low, middle and high; a parity line.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton, digits_of
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Cap, Line, Shape, Texture, Weight
from saywhy.thoughts import Said, Thought, listed, thirds, thirds_fail


@lru_cache(maxsize=256)
def turns_of_three(count: int, size: int) -> Automaton:
    """Give the automaton that remembers the last two remainders."""
    start: tuple[int, ...] = ()

    def step(state: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
        return None if digit % 3 in state else (*state[-1:], digit % 3)

    return automaton(count, size, start, step, lambda _: True)


def _kinds(size: int) -> list[int]:
    """Give the three kinds of digits as masks."""
    digits = range(1, size + 1)
    return [sum(1 << (digit - 1) for digit in digits if digit % 3 == rest) for rest in (1, 2, 0)]


def _named(size: int) -> list[tuple[str, str, int]]:
    """Give the kinds with their names: "one of 1, 4 and 7", or by what they are where that is a long list."""
    found = []
    for kind in _kinds(size):
        digits = digits_of(kind)
        rest = digits[0] % 3
        above = f"{rest} above a multiple of 3" if rest else "a multiple of 3"
        if len(digits) > 3:
            found.append((above, f"digit that is {above}", kind))
        else:
            found.append((f"one of {listed(digits)}", listed(digits, "or"), kind))
    return found


@dataclass(frozen=True)
class ModularLine(CellsRule):
    """A line on which the three remainders modulo 3 take turns."""

    name: ClassVar[str] = "modular-line"
    title: ClassVar[str] = "Modular line"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "modular-line"
cells = "r2c2 r1c3 r2c4 r3c4"

[[clue]]
rule = "modular-line"
cells = "r6c1 r5c1 r5c2 r6c3"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 3

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether every three successive digits have three remainders."""
        held = self.held(digits)
        if held is None:
            return None
        return all(len({digit % 3 for digit in held[k : k + 3]}) == 3 for k in range(len(held) - 2))

    def compile(self) -> list[Primitive]:
        """An automaton that remembers the last two remainders."""
        return [Regular(self.cells, turns_of_three(len(self.cells), self.grid.size))]

    def draw(self) -> list[Shape]:
        """A broad dashed line."""
        return [Line(self.cells, Texture.DASHED, Weight.BROAD, ink=3, start=Cap.ROUND, end=Cap.ROUND)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="modular line",
            parts=(Part("cell", "line", self.cells),),
            law="any three in a row leave three different remainders when divided by 3",
            spoken="Any three in a row on a modular line leave remainders 0, 1 and 2 when divided by 3.",
            written=(
                "Every three successive digits along a modular line leave three different remainders when "
                "divided by 3."
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
