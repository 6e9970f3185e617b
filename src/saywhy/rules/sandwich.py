"""
Sandwich.

Meaning:
    The digits strictly between the 1 and the greatest digit of the row or column sum to the value.
Drawn as:
    The value outside the grid in a box.
Example:
    12 on a 9x9 grid: 1, 4, 8, 9 or 9, 7, 3, 2, 1. With 0 the 1 and the 9 are neighbours.
Often confused with:
    An X-sum, which begins at the side; a skyscraper, which counts digits.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton
from saywhy.ranges import shown
from saywhy.rule import OutsideRule, Part, Phrases, RuleError, outside_plate
from saywhy.shapes import Shape


@lru_cache(maxsize=256)
def crust_to_crust(total: int, size: int) -> Automaton:
    """
    Give the automaton that reads a row whose digits between 1 and the greatest make the total.

    Its states: before the first crust, the sum so far between the two, after the second. That digits
    differ is the row's law and not the clue's, so the automaton uses none of it: a reason that rests on
    the clue alone must not rest on the row in secret.
    """
    before, after = -1, -2

    def step(state: int, digit: int) -> int | None:
        crust = digit in (1, size)
        if state == before:
            return 0 if crust else before
        if state == after:
            return None if crust else after
        if crust:
            return after if state == total else None
        return state + digit if state + digit <= total else None

    return automaton(size, size, before, step, lambda state: state == after)


@dataclass(frozen=True)
class Sandwich(OutsideRule):
    """
    A row or column in which the digits between the 1 and the greatest have a printed sum.

    Attributes:
        value: The sum.
    """

    name: ClassVar[str] = "sandwich"
    title: ClassVar[str] = "Sandwich"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "sandwich"
cells = "r1c2-r6c2"
value = 7

[[clue]]
rule = "sandwich"
cells = "r3c1-r3c6"
value = 0
"""
    needs: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 0

    def __post_init__(self) -> None:
        n = self.grid.size
        whole = sum(range(2, n))
        if self.value in (0, whole) or 2 <= self.value <= whole - 2:
            return
        what = f"digits between 1 and {n} make 0, 2 to {whole - 2} or {whole}, and {shown(self.value)} came"
        raise RuleError("value", what, "Write one of these numbers")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digits between the two crusts sum to the value."""
        held = self.held(digits)
        if held is None:
            return None
        crusts = [place for place, digit in enumerate(held) if digit in (1, self.grid.size)]
        return len(crusts) == 2 and sum(held[crusts[0] + 1 : crusts[1]]) == self.value

    def compile(self) -> list[Primitive]:
        """An automaton that counts from crust to crust."""
        return [Regular(self.cells, crust_to_crust(self.value, self.grid.size))]

    def draw(self) -> list[Shape]:
        """The value outside in a box."""
        return [outside_plate(self.grid, self.cells, str(self.value), "boxed")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        n = self.grid.size
        return Phrases(
            noun=f"{self.value} sandwich",
            parts=(Part(f"cell of the {self.lane}", self.lane, self.cells),),
            law=f"the digits between the 1 and the {n} make {self.value}",
            spoken=f"A boxed number outside is the total between the 1 and the {n} of that row or column.",
            written=(
                f"A boxed number outside the grid is the sum of the digits strictly between the 1 and the "
                f"{n} in that row or column."
            ),
        )
