"""All shapes of a puzzle, each with the clue or the grid-wide rule that asks for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from saywhy.puzzle import Puzzle
from saywhy.rules import placed
from saywhy.shapes import Shape

S = TypeVar("S", bound=Shape)


@dataclass(frozen=True)
class Drawn:
    """
    One shape on the board.

    Attributes:
        shape: The shape.
        rule: Name of its rule.
        clue: Index of its clue; None for a grid-wide rule.
    """

    shape: Shape
    rule: str
    clue: int | None = None

    @property
    def data(self) -> dict[str, str | int]:
        """What the group around it carries."""
        return {"rule": self.rule} if self.clue is None else {"rule": self.rule, "clue": self.clue}


def collect(puzzle: Puzzle) -> list[Drawn]:
    """Give every shape: grid-wide rules first, then clues in file order."""
    rules = placed(puzzle)
    wide = [Drawn(shape, name) for name, rule in rules.grid_wide.items() for shape in rule.draw()]
    clues = [
        Drawn(shape, clue.rule, index)
        for index, (clue, rule) in enumerate(zip(puzzle.clues, rules.clues, strict=True))
        for shape in rule.draw()
    ]
    return wide + clues


def of_kind(drawn: Sequence[Drawn], kind: type[S]) -> list[tuple[Drawn, S]]:
    """Give the shapes of one kind, in order."""
    return [(item, item.shape) for item in drawn if isinstance(item.shape, kind)]
