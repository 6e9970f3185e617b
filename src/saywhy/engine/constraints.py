"""A puzzle as a list of primitives, each with the clue, house or rule that it comes from."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from saywhy.grid import Grid
from saywhy.primitives import AllDifferent, Primitive
from saywhy.puzzle import Puzzle
from saywhy.rules import placed


class Source(NamedTuple):
    """
    Where a primitive comes from; a plain tuple, since explaining looks up hundreds of thousands.

    Attributes:
        kind: ``house`` (row, column or region), ``rule`` (grid-wide) or ``clue``.
        number: Place in ``grid.houses``, in the puzzle's placed grid-wide rules, or in ``puzzle.clues``.
        name: ``row 3``, ``anti-knight``, ``clue 0``: as the outputs name it.
    """

    kind: str
    number: int
    name: str


@dataclass(frozen=True)
class Constraint:
    """One primitive and its source."""

    primitive: Primitive
    source: Source


@lru_cache(maxsize=64)
def constraints(puzzle: Puzzle) -> tuple[Constraint, ...]:
    """
    Compile a puzzle, givens left out.

    Returns:
        Houses in grid order, then grid-wide rules, then clues in file order.

    Raises:
        RuleError: A rule is not allowed on this grid.
    """
    rules = placed(puzzle)
    found = list(_houses(puzzle.grid))
    for index, (name, rule) in enumerate(rules.grid_wide.items()):
        source = Source("rule", index, name)
        found += [Constraint(primitive, source) for primitive in rule.compile()]
    for index, clue in enumerate(rules.clues):
        source = Source("clue", index, f"clue {index}")
        found += [Constraint(primitive, source) for primitive in clue.compile()]
    return tuple(found)


@lru_cache(maxsize=64)
def _houses(grid: Grid) -> tuple[Constraint, ...]:
    """Give the constraints that every puzzle on a grid has."""
    return tuple(
        Constraint(AllDifferent(house.cells), Source("house", index, house.name))
        for index, house in enumerate(grid.houses)
    )


def starting_domains(puzzle: Puzzle) -> list[int]:
    """Give each cell's mask of digits: one bit for a given, all bits elsewhere."""
    full = (1 << puzzle.grid.size) - 1
    return [1 << (digit - 1) if digit else full for digit in puzzle.givens]
