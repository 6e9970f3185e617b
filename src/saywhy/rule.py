"""
What every rule is: the contract of the files in ``rules/``, and the checks that they share.

A rule knows its meaning (``holds``), its compiled form (``compile``), its drawing (``draw``) and its
words (``phrases``). It knows nothing of the engine's search, of the desk or of the shelf.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar, Self

from saywhy.errors import Problem
from saywhy.grid import Grid, House
from saywhy.primitives import Primitive
from saywhy.puzzle import Clue
from saywhy.shapes import Shape


class Form(StrEnum):
    """How the cells of a clue lie; checked before the rule sees them."""

    CELL = "cell"  #: one cell
    CELLS = "cells"  #: any different cells
    PAIR = "pair"  #: two cells that share a side
    CORNER = "corner"  #: four cells that meet at a corner
    LINE = "line"  #: different cells, each touching the next
    AREA = "area"  #: different cells, joined by sides
    OUTSIDE = "outside"  #: a whole row or column from one side inwards
    DIAGONAL = "diagonal"  #: a whole diagonal from one side inwards
    GROUPS = "groups"  #: ``groups`` of different cells instead of ``cells``


class RuleError(ValueError):
    """
    A clue, or a grid-wide rule, that its rule does not allow.

    Attributes:
        field: The field of the clue that is to blame: ``cells``, ``value`` ...
        what: What was expected and what came.
        mend: How to mend it.
    """

    def __init__(self, field: str, what: str, mend: str) -> None:
        self.field, self.what, self.mend = field, what, mend
        super().__init__(f"{field}: {what}. {mend}.")

    def problem(self, owner: str, line: int | None = None) -> Problem:
        """Give the same as a problem of a file; ``owner`` is such as ``clue 3 (arrow)``."""
        return Problem(self.what, self.mend, f"{owner}, {self.field}", line)


@dataclass(frozen=True)
class Part:
    """
    A named part of a clue, as people speak of it.

    Attributes:
        singular: ``circle``, ``bulb``, ``dot`` ...
        plural: ``circles`` ...
        cells: The cells of this part.
    """

    singular: str
    plural: str
    cells: tuple[int, ...]

    @property
    def noun(self) -> str:
        """The noun in the number that fits its cells."""
        return self.singular if len(self.cells) == 1 else self.plural


@dataclass(frozen=True)
class Phrases:
    """
    The nouns and sentences that the reasoning needs to speak of one placed rule.

    Attributes:
        noun: What it is called with its value, without article: ``15 cage``, ``double arrow``.
        parts: Its named parts; every cell of the clue is in at least one.
        law: What it demands, a clause to follow "because" or "so": ``the circles make what the
            line makes``.
        spoken: The rule read to viewers, one or two short sentences (any clue of this rule).
        written: The rule for a description, exact and complete (any clue of this rule).
    """

    noun: str
    parts: tuple[Part, ...]
    law: str
    spoken: str
    written: str


class Rule(ABC):
    """Common face of grid-wide rules and clue rules; concrete ones are frozen dataclasses."""

    name: ClassVar[str]  #: in files: ``double-arrow``
    title: ClassVar[str]  #: for people: ``Double arrow``
    grid: Grid

    @property
    @abstractmethod
    def scope(self) -> tuple[int, ...]:
        """The cells that it speaks of, each once."""

    @abstractmethod
    def holds(self, digits: Sequence[int]) -> bool | None:
        """
        Say whether the rule holds: the definition, naive on purpose.

        Args:
            digits: One digit for each cell of the grid, 0 where undecided.

        Returns:
            True or False once every cell of the scope is decided (False may come earlier), None while
            undecided.
        """

    @abstractmethod
    def compile(self) -> list[Primitive]:
        """Give the same rule in primitives."""

    @abstractmethod
    def draw(self) -> list[Shape]:
        """Give what is drawn for it."""

    @property
    @abstractmethod
    def phrases(self) -> Phrases:
        """Give the words for it."""

    def houses(self) -> list[House]:
        """Give the further sets of n cells that hold each digit once, if the rule makes such."""
        return []


class GridRule(Rule):
    """A rule of the whole grid, named in a file's ``rules``."""

    @classmethod
    @abstractmethod
    def read(cls, grid: Grid) -> Self:
        """
        Give the rule on this grid.

        Raises:
            RuleError: It has no meaning on this grid.
        """


class ClueRule(Rule):
    """A rule that a ``[[clue]]`` names."""

    form: ClassVar[Form]
    fewest: ClassVar[int] = 1  #: fewest cells (or cells in a group)
    takes: ClassVar[frozenset[str]] = frozenset()  #: of ``value``, ``digits``, ``pill``, ``count``
    needs: ClassVar[frozenset[str]] = frozenset()  #: those of them that must be given

    @classmethod
    @abstractmethod
    def read(cls, clue: Clue, grid: Grid) -> Self:
        """
        Give the placed rule.

        Args:
            clue: Cells on the grid, of the right form and number, and no field that the rule does not take
                (``check_clue`` has seen to that).
            grid: The grid.

        Raises:
            RuleError: A value that can never hold, or another thing only this rule knows.
        """


class PairRule(ClueRule):
    """A rule between two neighbours, of which a puzzle can say that all are given."""

    form = Form.PAIR
    #: Rules with the same mark family may stand in for each other on one border (white and black dots).
    family: ClassVar[str]

    @classmethod
    @abstractmethod
    def relates(cls, a: int, b: int) -> bool:
        """Say whether digits a and b stand in the relation that an unmarked border then rules out."""


def check_clue(rule: type[ClueRule], clue: Clue, grid: Grid) -> list[RuleError]:
    """
    Check what needs no knowledge of the one rule: the fields that are there, and how the cells lie.

    Returns:
        Everything found wrong; empty if nothing.
    """
    found = _check_fields(rule, clue)
    if rule.form is Form.GROUPS:
        if clue.cells or not clue.groups:
            found.append(
                RuleError("groups", f"{rule.name} needs groups of cells", 'Write groups = ["r1c1 r1c2", ...]')
            )
        for number, group in enumerate(clue.groups, 1):
            found.extend(_check_cells(rule, Form.CELLS, f"groups, group {number}", group, grid))
        return found
    if clue.groups or not clue.cells:
        found.append(RuleError("cells", f"{rule.name} needs cells", 'Write cells = "r1c1 r1c2 ..."'))
        return found
    found.extend(_check_cells(rule, rule.form, "cells", clue.cells, grid))
    return found


def _check_fields(rule: type[ClueRule], clue: Clue) -> list[RuleError]:
    given = {name for name in ("value", "digits", "pill", "count") if getattr(clue, name) not in (None, ())}
    takes = rule.takes | rule.needs
    found = [
        RuleError(name, f"{rule.name} takes no {name}", f"Remove {name}") for name in sorted(given - takes)
    ]
    found += [
        RuleError(name, f"{rule.name} needs {name}", f"Add {name} = ...")
        for name in sorted(rule.needs - given)
    ]
    return found


def _check_cells(
    rule: type[ClueRule], form: Form, field: str, cells: tuple[int, ...], grid: Grid
) -> list[RuleError]:
    if len(set(cells)) < len(cells):
        twice = next(cell for place, cell in enumerate(cells) if cell in cells[:place])
        return [RuleError(field, f"{grid.name(twice)} stands twice", "Name each cell once")]
    if len(cells) < rule.fewest:
        what = f"{rule.name} needs at least {rule.fewest} cells and has {len(cells)}"
        return [RuleError(field, what, "Add the missing cells")]
    wrong = _misplaced(form, cells, grid)
    return [] if wrong is None else [RuleError(field, *wrong)]


def _misplaced(form: Form, cells: tuple[int, ...], grid: Grid) -> tuple[str, str] | None:
    """Give what is wrong with how the cells lie and how to mend it; None if nothing."""
    if form is Form.CELL and len(cells) != 1:
        return f"one cell was expected and {len(cells)} came", "Write one clue for each cell"
    if form is Form.PAIR and (len(cells) != 2 or cells[1] not in grid.orthogonal(cells[0])):
        return "two cells that share a side were expected", "Name two neighbours in a row or column"
    if form is Form.CORNER and not _is_corner(cells, grid):
        return "four cells that meet at a corner were expected", "Name the two by two cells around it"
    if form is Form.LINE:
        for a, b in zip(cells, cells[1:], strict=False):
            if not grid.touching(a, b):
                what = f"the line is broken between {grid.name(a)} and {grid.name(b)}"
                return what, "Name the cells in the order of the line, each touching the next"
    if form is Form.AREA and not _is_joined(cells, grid):
        return "the cells do not hang together", "Name cells that are joined by sides"
    if form is Form.OUTSIDE and not _is_ray(cells, grid, straight=True):
        return "a whole row or column was expected", "Name it from the clue's side, such as r1c1-r9c1"
    if form is Form.DIAGONAL and not _is_ray(cells, grid, straight=False):
        return "a whole diagonal was expected", "Name it from the clue's side to the other, such as r1c2-r8c9"
    return None


def _is_corner(cells: tuple[int, ...], grid: Grid) -> bool:
    if len(cells) != 4:
        return False
    top, left = grid.place(min(cells))
    square = {grid.at(top + down, left + right) for down in (0, 1) for right in (0, 1)}
    return set(cells) == square


def _is_joined(cells: tuple[int, ...], grid: Grid) -> bool:
    reached, waiting = {cells[0]}, [cells[0]]
    while waiting:
        fresh = set(grid.orthogonal(waiting.pop())) & set(cells) - reached
        reached |= fresh
        waiting.extend(fresh)
    return len(reached) == len(cells)


def _is_ray(cells: tuple[int, ...], grid: Grid, *, straight: bool) -> bool:
    if len(cells) < 2:
        return not straight and len(cells) == 1
    (row, column), (next_row, next_column) = grid.place(cells[0]), grid.place(cells[1])
    down, right = next_row - row, next_column - column
    if max(abs(down), abs(right)) != 1 or (down == 0 or right == 0) != straight:
        return False
    if grid.at(row - down, column - right) is not None:
        return False
    ray = []
    here: int | None = cells[0]
    while here is not None:
        ray.append(here)
        row, column = row + down, column + right
        here = grid.at(row, column)
    return tuple(ray) == cells
