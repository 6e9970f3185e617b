"""Read a puzzle file of format 1."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Container
from typing import Any

import msgspec

from saywhy import rules
from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files import boards, clues, limits, titles
from saywhy.files.fields import convert, meant
from saywhy.files.format1 import PuzzleFields
from saywhy.files.layout import Layout, scan
from saywhy.grid import BOXES, Grid
from saywhy.puzzle import Puzzle
from saywhy.rule import GridRule, RuleError

_AT = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")


def read_toml(text: str, source: str | None = None) -> Puzzle:
    """
    Read a puzzle from the text of a TOML file.

    Args:
        text: At most ``limits.MOST_BYTES`` long (the caller sees to that).
        source: File name, for the error.

    Raises:
        UnreadableError: Not TOML.
        NotAllowedError: Not format 1, or not a puzzle; all problems at once.
    """
    table, layout = parse_toml(text, source)
    puzzle, problems = read_table(table, layout)
    if problems or puzzle is None:
        raise NotAllowedError(in_order(problems), source)
    return puzzle


def parse_toml(text: str, source: str | None = None) -> tuple[dict[str, Any], Layout]:
    """
    Give the table that a TOML text holds, and where its fields stand.

    Raises:
        UnreadableError: Not TOML.
    """
    text = text.replace("\r\n", "\n")
    try:
        layout = scan(text)  # first: the parser must not see what wears it out
        return _parse(text), layout
    except UnreadableError as error:
        raise UnreadableError(error.problems, source) from None


def read_table(
    table: dict[str, Any], layout: Layout, skipped: Container[int] = ()
) -> tuple[Puzzle | None, list[Problem]]:
    """
    Read a puzzle from the table of a TOML text.

    Args:
        table: As the TOML parser gives it.
        layout: Its lines.
        skipped: Places of clues that are left alone.

    Returns:
        The puzzle, None where something is wrong, and everything found wrong.
    """
    reader = _Reader(dict(table), layout, skipped)
    return reader.puzzle(), reader.problems


def _parse(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        problem = Problem("this is nested too deep", "Keep to the fields of format 1")
    except ValueError as error:  # a number of thousands of digits is one, not a TOMLDecodeError
        what = str(error)
        at = _AT.search(what)
        what = titles.plain(what[: at.start()] if at else what)[:200]
        if what.startswith("Exceeds the limit"):
            what = "A number is far too long"
        problem = Problem(
            f"this is not TOML: {what[:1].lower()}{what[1:]}",
            'Write name = value, texts in quotes, cells as "r1c1 r1c2"',
            line=int(at[1]) if at and at[1] else text.count("\n") + 1 if at else None,
            column=int(at[2]) if at and at[2] else None,
        )
    raise UnreadableError(problem)


def in_order(problems: list[Problem]) -> list[Problem]:
    """Give problems in the order of the file, those without a line last, cut where there are too many."""
    ordered = sorted(problems, key=lambda problem: problem.line or 10**9)
    if len(ordered) > limits.MOST_PROBLEMS:
        more = Problem("there are more problems than these", "Mend these first and read the file again")
        ordered[limits.MOST_PROBLEMS :] = [more]
    return ordered


class _Reader:
    """Turns one table into a puzzle and collects what is wrong with it."""

    def __init__(self, table: dict[str, Any], layout: Layout, skipped: Container[int] = ()) -> None:
        self.layout = layout
        self.skipped = skipped
        self.problems: list[Problem] = []
        self.clue_tables = self._clue_tables(table.pop("clue", []))
        fields, wrong = convert(table, PuzzleFields, None, layout.fields.get)
        self.problems += wrong
        # without `format` the rest is still worth checking
        self.fields = fields or convert({**table, "format": 1}, PuzzleFields, None, lambda _: None)[0]
        self.size_is_wrong = any(problem.field == "size" for problem in wrong)

    def puzzle(self) -> Puzzle | None:
        """Give the puzzle, as far as it could be read."""
        fields = self.fields
        if fields is None or self.size_is_wrong:
            return None
        for name in ("title", "setter"):
            if wrong := titles.wrong_with(getattr(fields, name)):
                self._wrong(*wrong, name)
        grid = self._grid(fields)
        givens = self._givens(fields)
        wide = self._grid_rules(fields.rules, grid)
        all_given = self._all_given(fields.all_given)
        placed = clues.read_clues(self.clue_tables, grid, self.layout, self.problems, self.skipped)
        if self.problems or grid is None:
            return None
        puzzle = Puzzle(grid, givens, wide, all_given, placed, fields.title, fields.setter)
        if all_given:
            self._check_all_given(puzzle)
        return puzzle

    def _wrong(self, what: str, mend: str, name: str, line: int | None = None) -> None:
        self.problems.append(Problem(what, mend, name, line or self.layout.fields.get(name)))

    def _clue_tables(self, held: object) -> list[dict[str, Any]]:
        if not isinstance(held, list) or not all(isinstance(table, dict) for table in held):
            self._wrong("clues were expected as tables", "Begin every clue with a line [[clue]]", "clue")
            return []
        if len(held) > limits.MOST_CLUES:
            what = f"there are {len(held)} clues and {limits.MOST_CLUES} are the most"
            self._wrong(what, "Remove clues, or say it by a grid-wide rule", "clue")
            return []
        return held

    def _grid(self, fields: PuzzleFields) -> Grid | None:
        size, text = fields.size, fields.regions
        if isinstance(text, msgspec.UnsetType):
            if size in BOXES:
                return Grid.standard(size)
            self._wrong(
                f"size {size} has no usual boxes",
                'Add regions = """...""" with one symbol a cell, or regions = "none" for a Latin square',
                "size",
            )
            return None
        if text.strip() == "none":
            return Grid(size, None)
        regions, wrong = boards.read_regions(text, size)
        self._board("regions", text, wrong)
        return None if wrong else Grid(size, regions)

    def _givens(self, fields: PuzzleFields) -> tuple[int, ...]:
        if isinstance(fields.givens, msgspec.UnsetType):
            return (0,) * (fields.size * fields.size)
        givens, wrong = boards.read_givens(fields.givens, fields.size)
        self._board("givens", fields.givens, wrong)
        return givens

    def _board(self, name: str, text: str, wrong: list[boards.BoardProblem]) -> None:
        for found in wrong:
            line = None if found.line is None else self.layout.row(name, text, found.line)
            self._wrong(found.what, found.mend, name, line)

    def _names(self, names: list[str], field: str) -> list[str]:
        """Give the names without repeats, which are told."""
        for name in dict.fromkeys(name for place, name in enumerate(names) if name in names[:place]):
            self._wrong(f"{boards.shown(name)} stands twice", "Name each rule once", field)
        return list(dict.fromkeys(names))

    def _grid_rules(self, names: list[str], grid: Grid | None) -> tuple[str, ...]:
        for name in self._names(names, "rules"):
            rule = rules.find(name)
            if rule is None or not issubclass(rule, GridRule):
                self._wrong(f"there is no grid-wide rule {boards.shown(name)}", _other_place(name), "rules")
            elif grid is not None:
                try:
                    rule.read(grid)
                except RuleError as error:
                    self._wrong(f"{name}: {error.what}", error.mend, "rules")
        return tuple(names)

    def _all_given(self, names: list[str]) -> tuple[str, ...]:
        if not names:
            return ()
        known = rules.pair_rules()
        for name in self._names(names, "all-given"):
            if name not in known:
                what = f"{boards.shown(name)} is not a rule between two neighbours"
                self._wrong(what, meant(name, known, f"Name any of {', '.join(known)}"), "all-given")
        return tuple(names)

    def _check_all_given(self, puzzle: Puzzle) -> None:
        try:
            rules.placed(puzzle)
        except RuleError as error:
            self._wrong(error.what, error.mend, "all-given")


def _other_place(name: str) -> str:
    """Give how to mend a name that is no grid-wide rule."""
    if name == "all-given":
        return 'Write all-given = ["white-dot"] on a line of its own'
    if name in rules.clue_rules():
        return "It belongs to cells: write it as a [[clue]]"
    return meant(name, rules.grid_rules(), "Remove it")
