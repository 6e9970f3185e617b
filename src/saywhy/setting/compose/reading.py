"""
Read a sketch: a puzzle file of format 1 with ``?`` for what is open and a table of wishes.

What is not open is read, and its mistakes are told, by the reader of puzzle files itself: an open number
stands for any that its rule allows, and a clue without cells is left out.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files import limits
from saywhy.files.boards import read_givens
from saywhy.files.layout import Layout
from saywhy.files.source import decode
from saywhy.files.toml import in_order, parse_toml, read_table
from saywhy.grid import LARGEST, SMALLEST
from saywhy.rule import ClueRule
from saywhy.rules import find
from saywhy.setting.compose.fields import MOST_SHAPES, problems_of
from saywhy.setting.compose.open_clues import MOST_DIGITS, USUAL, read_open_clue
from saywhy.setting.compose.sketch import Sketch
from saywhy.setting.compose.values import can_be_open, stand_in
from saywhy.setting.compose.wishes import read_wish


def read_sketch(path: str | Path) -> Sketch:
    """
    Read a sketch.

    Args:
        path: A TOML file.

    Raises:
        UnreadableError: It cannot be opened, is not text or is not TOML.
        NotAllowedError: It reads, but says something that is not allowed; all problems at once.
    """
    try:
        with Path(path).open("rb") as file:
            data = file.read(limits.MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason = str(getattr(error, "strerror", None) or error).lower()
        mend = "Check the name; sketches to begin with lie in examples/sketches"
        problem = Problem(f"the file cannot be opened: {reason}", mend)
        raise UnreadableError(problem, str(path)) from None
    if len(data) > limits.MOST_BYTES:
        what = f"the file is larger than {limits.MOST_BYTES // 1024} KiB, which no sketch needs"
        raise UnreadableError(Problem(what, "Send one sketch a file"), str(path))
    return sketch_of(decode(data, str(path)), str(path))


def sketch_of(text: str, source: str | None = None) -> Sketch:
    """Read a sketch from its text; as ``read_sketch``."""
    table, layout = parse_toml(text, source)
    reader = _Reader(table, layout)
    sketch = reader.sketch()
    if reader.problems or sketch is None:
        raise NotAllowedError(in_order(reader.problems), source)
    return sketch


class _Reader:
    """
    Turns one table into a sketch and collects what is wrong with it.

    Clues are named by their places in the file, from 0.
    """

    def __init__(self, table: dict[str, Any], layout: Layout) -> None:
        self.table = dict(table)
        self.layout = layout
        self.problems: list[Problem] = []
        self.open_values: set[int] = set()
        self.open_digits: dict[int, int] = {}
        self.open_tables: dict[int, dict[str, Any]] = {}
        size = self.table.get("size", 9)
        self.size = size if isinstance(size, int) and SMALLEST <= size <= LARGEST else 0

    def sketch(self) -> Sketch | None:
        """Give the sketch, as far as it could be read."""
        wishes = self.table.pop("wish", {})
        if not isinstance(wishes, dict):
            line = self.layout.fields.get("wish")
            mend = "Begin them with a line [wish]"
            self.problems.append(Problem("wishes were expected as a table", mend, "wish", line))
            wishes = {}
        open_cells = frozenset(self._open_cells())
        self._set_apart()
        puzzle, problems = read_table(self.table, self.layout, self.open_tables)
        self.problems += problems
        read = (
            read_open_clue(number, table, self.size or LARGEST, self.layout, self.problems)
            for number, table in self.open_tables.items()
        )
        open_clues = tuple(clue for clue in read if clue is not None)
        if sum(clue.shapes for clue in open_clues) > MOST_SHAPES:
            what = f"more than {MOST_SHAPES} shapes are left to be found"
            self.problems.append(Problem(what, "Draw some of them", "clue"))
        if puzzle is None:
            return None
        drawn = open_cells | {cell for cell, digit in enumerate(puzzle.givens) if digit}
        wish = read_wish(wishes, puzzle.grid, drawn, self.layout, self.problems)
        if wish is None or self.problems:
            return None
        kept = [number for number in range(len(self._tables())) if number not in self.open_tables]
        places = {number: place for place, number in enumerate(kept)}
        return Sketch(
            puzzle,
            open_cells,
            frozenset(places[number] for number in self.open_values),
            tuple((places[number], many) for number, many in self.open_digits.items()),
            open_clues,
            wish,
        )

    def _tables(self) -> list[Any]:
        held = self.table.get("clue", [])
        return held if isinstance(held, list) and len(held) <= limits.MOST_CLUES else []

    def _open_cells(self) -> list[int]:
        """Give the cells marked ``?`` and leave them empty in the table."""
        text = self.table.get("givens")
        if not isinstance(text, str) or "?" not in text or not self.size or len(text) > limits.LONGEST_BOARD:
            return []
        self.table["givens"] = text.replace("?", ".")
        marked, _ = read_givens(text.replace("?", "1"), self.size)
        plain, _ = read_givens(self.table["givens"], self.size)
        return [cell for cell, (a, b) in enumerate(zip(marked, plain, strict=False)) if a and not b]

    def _set_apart(self) -> None:
        """Set apart clues without cells, and put what is allowed where a number or digit is open."""
        tables = list(self._tables())
        if tables:
            self.table["clue"] = tables
        for number, table in enumerate(tables):
            if not isinstance(table, dict):
                continue
            if table.get("cells") == "?":
                self.open_tables[number] = table
                continue
            rule = find(str(table.get("rule")))
            if rule is not None and issubclass(rule, ClueRule):
                tables[number] = self._filled(number, table, rule)

    def _filled(self, number: int, table: dict[str, Any], rule: type[ClueRule]) -> dict[str, Any]:
        """Give the table of a clue with something allowed in place of every ``?``."""
        digits = table.get("digits")
        if isinstance(digits, str) and "?" in digits and "digits" in rule.needs:
            many = digits.count("?")
            words = digits.replace("?", " ").split() if self.size > 9 else list(digits.replace("?", ""))
            others = [d for d in ("1", "2", "3", "4", "5", "6", "7", "8") if d not in words]
            if many + len(words) <= MOST_DIGITS:  # else the reader of puzzle files tells what is wrong
                self.open_digits[number] = many
                table = {**table, "digits": " ".join([*words, *others[:many]])}
        if table.get("value") != "?" or "value" not in rule.takes | rule.needs:
            return table
        if can_be_open(rule):
            self.open_values.add(number)
            return {**table, "value": self._stand_in(rule, table)}

        def line(field: str) -> int | None:
            return self.layout.clue(number, field)

        problems_of(f"clue {number + 1} ({rule.name})", line, self.problems)("value", *USUAL)
        return {name: held for name, held in table.items() if name != "value"}

    def _stand_in(self, rule: type[ClueRule], table: dict[str, Any]) -> int:
        """Give a number that the rule allows on these cells, or any where the cells are to blame."""
        named = ("format", "size", "regions")
        bare: dict[str, Any] = {name: self.table[name] for name in named if name in self.table}
        for value in stand_in(rule):
            puzzle, _ = read_table({**bare, "clue": [{**table, "value": value}]}, Layout())
            if puzzle is not None:
                return value
        return 1
