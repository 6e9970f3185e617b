"""
What every rule is: the contract of the files in ``rules/``, and the checks that they share.

A rule knows its meaning (``holds``), its compiled form (``compile``), its drawing (``draw``) and its
words (``phrases``). It knows nothing of the engine's search, of the desk or of the shelf.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import Any, ClassVar, Self

from saywhy.errors import Problem
from saywhy.grid import Grid, House
from saywhy.primitives import Primitive
from saywhy.puzzle import Clue
from saywhy.shapes import Outside, Shape
from saywhy.thoughts import Said, Thought


class Form(StrEnum):
    """How the cells of a clue lie; checked before the rule sees them."""

    CELL = "cell"  #: one cell
    CELLS = "cells"  #: any different cells
    PAIR = "pair"  #: two cells that share a side
    CORNER = "corner"  #: four cells that meet at a corner
    LINE = "line"  #: different cells, each touching the next
    AREA = "area"  #: different cells that hang together, by sides or corners
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
        across: For a relation of two cells, where the partner of a cell stands: ``across the dot``.
        unfit: For such a relation, what is wrong with digits that have no partner, said of one digit and
            of several: ``has no half and no double``.
        sees: For a grid-wide relation of two cells, where the one stands from the other: ``a knight's
            move away``.
    """

    noun: str
    parts: tuple[Part, ...]
    law: str
    spoken: str
    written: str
    across: str = ""
    unfit: tuple[str, str] | None = None
    sees: str = ""


class Rule(ABC):
    """Common face of grid-wide rules and clue rules; concrete ones are frozen dataclasses."""

    name: ClassVar[str]  #: in files: ``double-arrow``
    title: ClassVar[str]  #: for people: ``Double arrow``
    #: A small puzzle file, but for its first line, with this rule and its options: for the rules page.
    specimen: ClassVar[str]
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

    @property
    def example(self) -> tuple[int, ...]:
        """The cells that show viewers what the rule speaks of: all of a clue, a telling few of a grid."""
        return self.scope

    def houses(self) -> list[House]:
        """
        Give the further sets of n cells that hold each digit once, if the rule makes such.

        Numbers count within this one rule; a clue's house is told from another clue's by the clue.
        """
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
    #: Whether without its value the clue says a part of what it says with one, and not another thing.
    less_without_value: ClassVar[bool] = False

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

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """
        Give the clue's own reasons for what a step concludes, if the rule has words of its own.

        Args:
            known: For each cell of the clue, the mask of digits left before the step.
            gone: For the cells that the step concludes on, the mask of digits that it rules out.
        """
        del known, gone
        return []

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """
        Say on what a clue fails that cannot be filled: "the 2 and the 7 are too far apart".

        Args:
            known: For each cell of the clue, the mask of digits left.

        Returns:
            A clause that itself shows that it cannot be filled; None where the rule has no words for it.
        """
        del known
        return None

    def fails_apart(self, known: Mapping[int, int], differ: Callable[[int, int], bool]) -> Said | None:
        """
        Say the same of a clue that cannot be filled because some of its cells differ.

        Args:
            known: For each cell of the clue, the mask of digits left.
            differ: Whether two cells differ.
        """
        del known, differ
        return None


@dataclass(frozen=True)
class CellsRule(ClueRule):
    """A clue rule on ``cells``; the further fields of a subclass bear the names of the clue's fields."""

    grid: Grid
    cells: tuple[int, ...]

    @classmethod
    def read(cls, clue: Clue, grid: Grid) -> Self:
        """Give the placed rule: the cells and those of ``value``, ``pill`` ... that the clue gives."""
        given: dict[str, Any] = {name: getattr(clue, name) for name in _given(clue)}
        return cls(grid, clue.cells, **given)

    @property
    def scope(self) -> tuple[int, ...]:
        """Its cells."""
        return self.cells

    def held(self, digits: Sequence[int]) -> tuple[int, ...] | None:
        """Give the digits on its cells, in the order of the clue; None while one is undecided."""
        found = tuple(digits[cell] for cell in self.cells)
        return None if 0 in found else found


@dataclass(frozen=True)
class GroupsRule(ClueRule):
    """
    A clue rule on ``groups`` of cells.

    Attributes:
        tag: A letter that tells this clue from the others of its rule on the same board; empty where it
            is the only one.
    """

    form: ClassVar[Form] = Form.GROUPS

    grid: Grid
    groups: tuple[tuple[int, ...], ...]
    tag: str = ""

    @classmethod
    def read(cls, clue: Clue, grid: Grid) -> Self:
        """Give the placed rule."""
        return cls(grid, clue.groups)

    @property
    def scope(self) -> tuple[int, ...]:
        """The cells of all groups, each once."""
        return tuple(dict.fromkeys(cell for group in self.groups for cell in group))

    def held(self, digits: Sequence[int]) -> tuple[tuple[int, ...], ...] | None:
        """Give the digits on each group, in the order of the clue; None while one is undecided."""
        found = tuple(tuple(digits[cell] for cell in group) for group in self.groups)
        return None if any(0 in group for group in found) else found


class PairRule(CellsRule):
    """A rule between two neighbours, of which a puzzle can say that all are given."""

    form = Form.PAIR
    #: Kind of mark: ``dot`` or ``letter``; either dot may stand between 1 and 2 where both are all given.
    family: ClassVar[str]

    @classmethod
    @abstractmethod
    def relates(cls, a: int, b: int) -> bool:
        """Say whether digits a and b stand in the relation that an unmarked border then rules out."""


class OutsideRule(CellsRule):
    """A rule of a clue outside the grid that looks along a row or column."""

    form = Form.OUTSIDE

    @property
    def lane(self) -> str:
        """What it looks along: ``row`` or ``column``."""
        return "row" if self.cells[0] // self.grid.size == self.cells[1] // self.grid.size else "column"


def outside_plate(
    grid: Grid, cells: tuple[int, ...], text: str, kind: str, *, pointer: bool = False
) -> Outside:
    """
    Give the plate of an outside clue, looking along its cells.

    A diagonal of one cell looks across its corner.
    """
    row, column = grid.place(cells[0])
    if len(cells) > 1:
        next_row, next_column = grid.place(cells[1])
    else:
        next_row, next_column = row + (1 if row == 0 else -1), column + (1 if column else -1)
    return Outside(cells[0], next_row - row, next_column - column, text, pointer, kind)


def check_clue(rule: type[ClueRule], clue: Clue, grid: Grid) -> list[RuleError]:
    """
    Check what needs no knowledge of the one rule: the fields that are there, and how the cells lie.

    Returns:
        Everything found wrong; empty if nothing.
    """
    found = _check_fields(rule, clue)
    if rule.form is Form.GROUPS:
        if clue.cells or len(clue.groups) < 2:
            what = f"{rule.name} needs at least two groups of cells instead of cells"
            found.append(RuleError("groups", what, 'Write groups = ["r1c1 r1c2", "r5c1 r5c2", ...]'))
        for number, group in enumerate(clue.groups, 1):
            found.extend(_check_cells(rule, Form.CELLS, f"groups, group {number}", group, grid))
        return found
    if clue.groups or not clue.cells:
        found.append(RuleError("cells", f"{rule.name} needs cells", 'Write cells = "r1c1 r1c2 ..."'))
        return found
    found.extend(_check_cells(rule, rule.form, "cells", clue.cells, grid))
    return found


def _given(clue: Clue) -> set[str]:
    held = (("value", clue.value), ("digits", clue.digits), ("pill", clue.pill), ("count", clue.count))
    return {name for name, said in held if said is not None and said != ()}


def _check_fields(rule: type[ClueRule], clue: Clue) -> list[RuleError]:
    given = _given(clue)
    if given == rule.needs:
        return []
    takes = rule.takes | rule.needs
    found = [
        RuleError(name, f"{rule.name} takes no {name}", f"Remove {name}") for name in sorted(given - takes)
    ]
    found += [
        RuleError(name, f"{rule.name} needs {name}", f"Add {name} = ... to the clue")
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
    if form is Form.LINE:
        for a, b in pairwise(cells):
            if not grid.touching(a, b):
                what = f"the line is broken between {grid.name(a)} and {grid.name(b)}"
                return what, "Name the cells in the order of the line, each touching the next"
    check, what, mend = _LIE.get(form, (_is_fine, "", ""))
    return None if check(cells, grid) else (what, mend)


def _is_fine(_cells: tuple[int, ...], _grid: Grid) -> bool:
    return True


def _is_single(cells: tuple[int, ...], _grid: Grid) -> bool:
    return len(cells) == 1


def _is_pair(cells: tuple[int, ...], grid: Grid) -> bool:
    if len(cells) != 2:
        return False
    (row, column), (other_row, other_column) = map(grid.place, cells)
    return abs(row - other_row) + abs(column - other_column) == 1


def _is_corner(cells: tuple[int, ...], grid: Grid) -> bool:
    if len(cells) != 4:
        return False
    top, left = grid.place(min(cells))
    square = {grid.at(top + down, left + right) for down in (0, 1) for right in (0, 1)}
    return set(cells) == square


def _is_joined(cells: tuple[int, ...], grid: Grid) -> bool:
    left, waiting = set(cells[1:]), [cells[0]]
    while waiting and left:
        here = waiting.pop()
        near = [cell for cell in left if grid.touching(here, cell)]
        left.difference_update(near)
        waiting += near
    return not left


def _is_ray(cells: tuple[int, ...], grid: Grid, *, straight: bool) -> bool:
    if len(cells) < 2:
        return not straight and all(place in (0, grid.size - 1) for place in grid.place(cells[0]))
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


def _is_lane(cells: tuple[int, ...], grid: Grid) -> bool:
    return _is_ray(cells, grid, straight=True)


def _is_diagonal(cells: tuple[int, ...], grid: Grid) -> bool:
    return _is_ray(cells, grid, straight=False)


#: For each form that one sentence describes: its check, what was expected, how to mend it.
_LIE = {
    Form.CELL: (_is_single, "one cell was expected", "Write one clue for each cell"),
    Form.PAIR: (
        _is_pair,
        "two cells that share a side were expected",
        "Name two neighbours in a row or column",
    ),
    Form.CORNER: (
        _is_corner,
        "four cells that meet at a corner were expected",
        "Name the two by two cells around it",
    ),
    Form.AREA: (_is_joined, "the cells do not hang together", "Name cells that touch one another"),
    Form.OUTSIDE: (
        _is_lane,
        "a whole row or column was expected",
        "Name it from the clue's side, such as r1c1-r9c1 on a 9x9 grid",
    ),
    Form.DIAGONAL: (
        _is_diagonal,
        "a whole diagonal was expected",
        "Name it from the clue's side to the other, such as r1c2-r8c9 on a 9x9 grid",
    ),
}
