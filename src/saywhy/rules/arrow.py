"""
Arrow.

Meaning:
    The digits along the shaft sum to the number in the circle. With a pill the first cells together are
    one number, read in the order given. Digits may repeat on the shaft where other rules allow.
Drawn as:
    A circle, or a pill around several cells, and a shaft that ends in a tip.
Example:
    Circle 9, shaft 2, 4 and 3. Pill 1 and 4, shaft 9 and 5.
Often confused with:
    A double arrow, which has a circle at both ends and sums those too; a thermometer, whose bulb is no
    total.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Linear, Primitive
from saywhy.ranges import check_range, loose_range
from saywhy.rule import CellsRule, Form, Part, Phrases, RuleError
from saywhy.shapes import Cap, Line, Ring, Shape, Texture, Weight


@dataclass(frozen=True)
class Arrow(CellsRule):
    """
    A circle or pill that holds the sum of its shaft.

    Attributes:
        pill: How many first cells make the number, 1 (a circle) unless given.
    """

    name: ClassVar[str] = "arrow"
    title: ClassVar[str] = "Arrow"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "arrow"
cells = "r2c2 r2c3 r3c4 r4c4"

[[clue]]
rule = "arrow"
cells = "r6c1 r6c2 r5c3 r5c4 r5c5"
pill = 2
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2
    takes: ClassVar[frozenset[str]] = frozenset({"pill"})

    pill: int = 1

    def __post_init__(self) -> None:
        n = self.grid.size
        check_range("pill", self.pill, 1, len(self.cells) - 1, "the number of pill cells of this arrow")
        if self.pill > 1 and n > 9:
            what = "a pill's cells are the figures of one number, and this grid has digits above 9"
            raise RuleError("pill", what, "Use a circle: leave pill out")
        least, most = loose_range(len(self.shaft), n)
        smallest, greatest = sum(self.weights), n * sum(self.weights)
        if least > greatest:
            what = f"{len(self.shaft)} shaft cells make at least {least}, and the head at most {greatest}"
            raise RuleError("cells", what, "Shorten the shaft")
        if most < smallest:
            what = f"the shaft makes at most {most}, which has fewer figures than the pill has cells"
            raise RuleError("pill", what, "Make the pill shorter")

    @property
    def head(self) -> tuple[int, ...]:
        """The cell of the circle or the cells of the pill."""
        return self.cells[: self.pill]

    @property
    def shaft(self) -> tuple[int, ...]:
        """The cells of the shaft."""
        return self.cells[self.pill :]

    @property
    def weights(self) -> tuple[int, ...]:
        """What each cell of the head counts: 1, or 10 and 1, or 100, 10 and 1 ..."""
        return tuple(10 ** (self.pill - 1 - place) for place in range(self.pill))

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the number in the head is the sum of the shaft."""
        held = self.held(digits)
        if held is None:
            return None
        number = held[0] if self.pill == 1 else int("".join(map(str, held[: self.pill])))
        return number == sum(held[self.pill :])

    def compile(self) -> list[Primitive]:
        """One weighted sum: head less shaft is nothing."""
        return [Linear((*self.weights, *(-1 for _ in self.shaft)), self.cells, 0)]

    def draw(self) -> list[Shape]:
        """A ring, and a shaft that leaves it."""
        shaft = Line(self.cells[self.pill - 1 :], Texture.SOLID, Weight.MEDIUM, ink=1, end=Cap.TIP)
        return [shaft, Ring(self.head, ink=1)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        shaft = Part("shaft cell", "shaft", self.shaft)
        if self.pill == 1:
            return Phrases(
                noun="arrow",
                parts=(Part("circle", "circles", self.head), shaft),
                law="the shaft makes the number in the circle",
                spoken="The digits along an arrow add up to the digit in its circle.",
                written=(
                    "The digits along an arrow's shaft sum to the digit in its circle. They may repeat "
                    "where other rules allow."
                ),
            )
        return Phrases(
            noun="pill arrow",
            parts=(Part("pill cell", "pill", self.head), shaft),
            law="the shaft makes the number in the pill",
            spoken=f"The digits along a pill arrow add up to the {_figures(self.pill)} number in the pill.",
            written=(
                f"The digits along the shaft of an arrow with a pill sum to the {_figures(self.pill)} "
                "number in the pill, read towards the shaft. They may repeat where other rules allow."
            ),
        )


def _figures(count: int) -> str:
    words = {2: "two-digit", 3: "three-digit", 4: "four-digit"}
    return words.get(count, f"{count}-digit")
