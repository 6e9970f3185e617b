"""
Quadruple.

Meaning:
    The printed digits all appear among the four cells that meet at the corner; a digit printed twice
    appears twice.
Drawn as:
    A plate with the digits on the corner.
Example:
    2 2 7 on a corner of 2, 7, 5 and 2.
Often confused with:
    A killer cage of four cells, whose number is a sum.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton
from saywhy.ranges import check_range
from saywhy.rule import CellsRule, Form, Part, Phrases, RuleError
from saywhy.shapes import Corner, Shape


@lru_cache(maxsize=256)
def contains(digits: tuple[int, ...], size: int) -> Automaton:
    """Give the automaton that crosses out the printed digits, one cell for one of them, until none is "
    "left.
    """

    def step(state: tuple[int, ...], digit: int) -> tuple[int, ...]:
        if digit not in state:
            return state
        place = state.index(digit)
        return state[:place] + state[place + 1 :]

    return automaton(4, size, digits, step, lambda state: not state)


@dataclass(frozen=True)
class Quadruple(CellsRule):
    """
    Four cells that hold the printed digits.

    Attributes:
        digits: The printed digits, one to four, ascending.
    """

    name: ClassVar[str] = "quadruple"
    title: ClassVar[str] = "Quadruple"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "quadruple"
cells = "r1c2 r1c3 r2c2 r2c3"
digits = [1, 5]

[[clue]]
rule = "quadruple"
cells = "r4c3 r4c4 r5c3 r5c4"
digits = [2, 2, 6]
"""
    form: ClassVar[Form] = Form.CORNER
    needs: ClassVar[frozenset[str]] = frozenset({"digits"})

    digits: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        check_range("digits", len(self.digits), 1, 4, "the number of printed digits")
        for digit in self.digits:
            check_range("digits", digit, 1, self.grid.size, "a printed digit")
            if self.digits.count(digit) > 2:
                what = (
                    f"{digit} is printed {self.digits.count(digit)} times, and two by two cells hold it twice"
                )
                raise RuleError("digits", f"{what} at most", f"Print {digit} once or twice")
        object.__setattr__(self, "digits", tuple(sorted(self.digits)))

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether each printed digit stands there at least as often as it is printed."""
        held = self.held(digits)
        if held is None:
            return None
        return all(held.count(digit) >= self.digits.count(digit) for digit in self.digits)

    def compile(self) -> list[Primitive]:
        """An automaton that crosses the printed digits out."""
        return [Regular(self.cells, contains(self.digits, self.grid.size))]

    def draw(self) -> list[Shape]:
        """A plate on the corner."""
        top_left, top_right, left, right = sorted(self.cells)
        return [Corner((top_left, top_right, left, right), " ".join(map(str, self.digits)))]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        printed = " ".join(map(str, self.digits))
        return Phrases(
            noun=f"corner {printed}",
            parts=(Part("cell at the corner", "cells at the corner", self.cells),),
            law=f"the four around the corner include {printed}",
            spoken="Digits on a corner all stand somewhere among the four cells around it.",
            written=(
                "The digits printed on a corner all stand among the four cells that meet there; one "
                "printed twice stands there twice."
            ),
        )
