"""Read the ``[[clue]]`` tables of a puzzle file."""

from __future__ import annotations

from collections.abc import Container
from typing import Any

import msgspec

from saywhy import rules
from saywhy.errors import Problem
from saywhy.files import limits
from saywhy.files.boards import shown
from saywhy.files.fields import convert, meant
from saywhy.files.format1 import ClueFields
from saywhy.files.layout import Layout
from saywhy.grid import Grid
from saywhy.puzzle import Clue
from saywhy.rule import ClueRule, RuleError, check_clue

MOST_WORDS_TOLD = 3  #: wrong cells told of one clue


def read_clues(
    tables: list[dict[str, Any]],
    grid: Grid | None,
    layout: Layout,
    problems: list[Problem],
    skipped: Container[int] = (),
) -> tuple[Clue, ...]:
    """
    Read all clues; what is wrong is added to ``problems``.

    Args:
        tables: As the TOML parser gives them.
        grid: None where it could not be read; the cells are then left unchecked.
        layout: The lines.
        problems: Added to.
        skipped: Places of clues that are left alone.
    """
    found = []
    for number, table in enumerate(tables):
        if len(problems) > limits.MOST_PROBLEMS:
            break
        if number in skipped:
            continue
        reader = _ClueReader(number, grid, layout)
        clue = reader.read(table)
        problems += reader.problems
        if clue is not None:
            found.append(clue)
    return tuple(found)


class _ClueReader:
    """Reads one clue and collects what is wrong with it."""

    def __init__(self, number: int, grid: Grid | None, layout: Layout) -> None:
        self.number = number
        self.owner = f"clue {number + 1}"
        self.grid = grid
        self.layout = layout
        self.problems: list[Problem] = []
        self.told: set[str] = set()

    def read(self, table: dict[str, Any]) -> Clue | None:
        """Give the clue; None where there is a problem."""
        rule = rules.find(str(table.get("rule")))
        if rule is not None and issubclass(rule, ClueRule):
            self.owner = f"clue {self.number + 1} ({rule.name})"
        fields, wrong = convert(table, ClueFields, self.owner, self._line)
        self.problems += wrong
        self.told = {(problem.field or "").removeprefix(f"{self.owner}, ") for problem in wrong}
        if fields is None:
            return None
        if rule is None or not issubclass(rule, ClueRule):
            what = f"there is no rule {shown(fields.rule)} for a clue"
            self._wrong("rule", what, _other_place(fields.rule))
        if self.grid is None:
            return None
        clue = self._clue(fields, self.grid)
        if rule is not None and issubclass(rule, ClueRule):
            self._check(rule, clue, self.grid)
        return None if self.problems else clue

    def _line(self, name: str) -> int | None:
        return self.layout.clue(self.number, name)

    def _wrong(self, field: str, what: str, mend: str) -> None:
        name = field.partition(",")[0]
        self.told.add(name)
        self.problems.append(Problem(what, mend, f"{self.owner}, {field}", self._line(name)))

    def _clue(self, fields: ClueFields, grid: Grid) -> Clue:
        groups = [] if isinstance(fields.groups, msgspec.UnsetType) else fields.groups
        cells = "" if isinstance(fields.cells, msgspec.UnsetType) else fields.cells
        return Clue(
            rule=fields.rule,
            cells=self._cells("cells", cells, grid),
            groups=tuple(
                self._cells(f"groups, group {place}", group, grid) for place, group in enumerate(groups, 1)
            ),
            value=_number(fields.value),
            digits=self._digits(fields.digits, grid),
            pill=_number(fields.pill),
            count=_number(fields.count),
            line=self._line(""),
        )

    def _cells(self, field: str, text: str, grid: Grid) -> tuple[int, ...]:
        cells: list[int] = []
        told = 0
        for word in text.split():
            try:
                cells += grid.path(word)
            except ValueError as error:
                told += 1
                if told <= MOST_WORDS_TOLD:
                    last = grid.name(grid.cells[-1])
                    mend = f"Write cells from r1c1 to {last} parted by spaces, straight runs like r1c1-r1c3"
                    self._wrong(field, str(error), mend)
        return tuple(cells)

    def _digits(self, held: list[int] | str | msgspec.UnsetType, grid: Grid) -> tuple[int, ...]:
        if isinstance(held, msgspec.UnsetType):
            return ()
        if isinstance(held, str):
            words = held.split() if " " in held.strip() or grid.size > 9 else list(held.strip())
            if not all(word.isascii() and word.isdigit() for word in words):
                self._wrong("digits", f"{shown(held)} is not a text of digits", "Write digits = [1, 2, 2]")
                return ()
            held = [int(word) for word in words]
        above = [digit for digit in held if not 1 <= digit <= grid.size]
        if above:
            what = f"{above[0]} is not a digit from 1 to {grid.size}"
            self._wrong("digits", what, f"Write digits from 1 to {grid.size}")
        return tuple(held)

    def _check(self, rule: type[ClueRule], clue: Clue, grid: Grid) -> None:
        wrong = check_clue(rule, clue, grid)
        if not wrong and not self.problems:
            try:
                rule.read(clue, grid)
            except RuleError as error:
                wrong = [error]
        told = set(self.told)
        for found in wrong:
            if found.field.partition(",")[0] not in told:
                self._wrong(found.field, found.what, found.mend)


def _number(held: int | msgspec.UnsetType) -> int | None:
    return None if isinstance(held, msgspec.UnsetType) else held


def _other_place(name: str) -> str:
    """Give how to mend a name that is no clue rule."""
    if name in rules.grid_rules():
        return f'It is a rule of the whole grid: write rules = ["{name}"] above the clues'
    return meant(name, rules.clue_rules(), "Name a rule of the rules page")
