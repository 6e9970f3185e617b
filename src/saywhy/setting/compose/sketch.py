"""A sketch: what is fixed about a puzzle that is still to be made, and what is wished of it."""

from __future__ import annotations

from dataclasses import dataclass, field

from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.reasoning.profile import BANDS
from saywhy.rule import ClueRule, Form
from saywhy.rules import find
from saywhy.setting.compose.patterns import Pattern
from saywhy.setting.symmetry import SYMMETRIES, Symmetry

#: The bands of effort, gentlest first.
EFFORTS = tuple(name for _, name in BANDS)

#: Forms of which shapes can be made up, with the fewest and most cells where none are wished.
LENGTHS: dict[Form, tuple[int, int]] = {
    Form.CELL: (1, 1),
    Form.PAIR: (2, 2),
    Form.CORNER: (4, 4),
    Form.LINE: (3, 5),
    Form.AREA: (2, 4),
    Form.OUTSIDE: (0, 0),
    Form.DIAGONAL: (0, 0),
}
#: Of these forms a length can be wished.
LONG = (Form.LINE, Form.AREA)


@dataclass(frozen=True)
class OpenClue:
    """
    Clues whose cells are still to be found.

    Attributes:
        rule: Name of the rule.
        shapes: How many; 0 for every place where the finished grid allows one.
        least: Fewest cells of a shape.
        most: Most cells of a shape.
        symmetry: Name of the symmetry in which they lie; empty for none.
        value: The number on each; None for none, or for one that is read off the grid.
        value_open: Whether the number is read off the grid.
        digits: How many digits are read off the grid (quadruple).
    """

    rule: str
    shapes: int
    least: int
    most: int
    symmetry: str = ""
    value: int | None = None
    value_open: bool = False
    digits: int = 0

    @property
    def form(self) -> Form:
        """How its cells lie."""
        return rule_of(self.rule).form


@dataclass(frozen=True)
class Wish:
    """
    What is wished of the finished puzzle.

    Attributes:
        least: Fewest givens, those that are drawn counted.
        most: Most givens.
        symmetry: Name of the symmetry of the givens' places; empty for none.
        efforts: The bands that will do, gentlest first.
        pattern: A pattern that the solution hides and no clue speaks of.
        unlike: A filled grid that the solution must not be; empty for none.
    """

    least: int = 0
    most: int = 0
    symmetry: str = ""
    efforts: tuple[str, ...] = EFFORTS
    pattern: Pattern | None = None
    unlike: tuple[int, ...] = ()


@dataclass(frozen=True)
class Sketch:
    """
    A puzzle that is still to be made.

    Attributes:
        puzzle: What is drawn. A clue that is open has any number that its rule allows.
        open_cells: Cells that get a given.
        open_values: Places of clues whose number is read off the grid.
        open_digits: For places of clues, how many of their last digits are read off the grid.
        open_clues: Clues that have no cells yet.
        wish: What is wished.
    """

    puzzle: Puzzle
    open_cells: frozenset[int] = frozenset()
    open_values: frozenset[int] = frozenset()
    open_digits: tuple[tuple[int, int], ...] = ()
    open_clues: tuple[OpenClue, ...] = ()
    wish: Wish = field(default_factory=Wish)

    @property
    def grid(self) -> Grid:
        """The grid."""
        return self.puzzle.grid

    @property
    def drawn(self) -> frozenset[int]:
        """Cells that are given in any case."""
        return self.open_cells | {cell for cell, digit in enumerate(self.puzzle.givens) if digit}

    @property
    def reads_off(self) -> bool:
        """Whether something is read off the grid."""
        return bool(
            self.open_values
            or self.open_digits
            or any(clue.value_open or clue.digits or not clue.shapes for clue in self.open_clues)
        )


def rule_of(name: str) -> type[ClueRule]:
    """Give the clue rule of this name, which is known to be there."""
    rule = find(name)
    assert rule is not None and issubclass(rule, ClueRule), name
    return rule


def symmetry_named(name: str) -> Symmetry | None:
    """Give the symmetry of this name, with or without its article; None where there is none."""
    plain = name.strip().removeprefix("a ")
    return next((kind for kind in SYMMETRIES if kind.name.removeprefix("a ") == plain), None)
