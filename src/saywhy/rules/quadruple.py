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

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.outside import blames_of
from saywhy.primitives import Automaton, Primitive, Regular, automaton
from saywhy.ranges import check_range
from saywhy.rule import CellsRule, Form, Part, Phrases, RuleError
from saywhy.shapes import Corner, Shape
from saywhy.thoughts import Said, Thought, counted, listed, lone


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

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """The digits that the corner still wants, and the cells that can take them."""
        del gone
        wanting = list(self.digits)
        for digit in lone(known, self.cells):
            if digit in wanting:
                wanting.remove(digit)
        open_cells = [cell for cell in self.cells if known[cell] & (known[cell] - 1)]
        if not wanting:
            return []
        found: list[Thought] = []
        wants = f"the corner{'' if len(wanting) == len(self.digits) else ' still'} wants {listed(wanting)}"
        if len(wanting) == len(open_cells):
            mask = sum({1 << (digit - 1) for digit in wanting})
            left = {cell: known[cell] & mask for cell in open_cells}
            for digit in set(wanting):
                places = [cell for cell in open_cells if left[cell] >> (digit - 1) & 1]
                if len(places) == wanting.count(digit) == 1:
                    left[places[0]] = 1 << (digit - 1)
            only = "one cell is" if len(open_cells) == 1 else "as many cells are"
            them = "it" if len(wanting) == 1 else "them"
            text = f"{wants}, and just {only} left for {them}"
            if len(wanting) == len(self.cells):
                text = f"the four around the corner are {listed(wanting)}"
            found.append(Thought(((text,),), left))
        for digit in dict.fromkeys(wanting):
            places = [cell for cell in open_cells if known[cell] >> (digit - 1) & 1]
            if len(places) == wanting.count(digit) == 1:
                said = (f"{wants}, and only ", tuple(places), f" can take the {digit}")
                found.append(Thought((said,), {places[0]: 1 << (digit - 1)}))
        return found

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """The digit that no cell is left for, or more digits than cells."""
        wanting = list(self.digits)
        for digit in lone(known, self.cells):
            if digit in wanting:
                wanting.remove(digit)
        open_cells = [cell for cell in self.cells if known[cell] & (known[cell] - 1)]
        if len(wanting) > len(open_cells):
            left = f"{counted(len(open_cells))} cell{'s' if len(open_cells) > 1 else ''} left"
            return (f"the corner would still want {listed(wanting)}, with {left}",)
        for digit in wanting:
            places = sum(known[cell] >> (digit - 1) & 1 for cell in open_cells)
            if places < wanting.count(digit):
                wants = f"two {digit}s" if places else f"its {digit}"
                return (f"the corner would have {'one' if places else 'no'} cell left for {wants}",)
        if len(wanting) < len(open_cells):
            return None
        mask = sum({1 << (digit - 1) for digit in wanting})
        for cell in open_cells:
            if not known[cell] & mask:
                every = "both" if len(open_cells) == 2 else f"all {counted(len(open_cells))}"
                return (f"{every} cells are needed for {listed(wanting)}, and ", (cell,), " is none of them")
        blames = blames_of(sorted(set(wanting)), open_cells, known, "left")
        return blames[0] if blames and len(set(wanting)) == len(open_cells) else None
