"""
Position files: what stands on somebody's board beside the givens.

JSON: ``{"digits": {"r1c1": 5}, "options": {"r1c2": [1, 2]}}``, either part optional; ``digits`` may also be
the rows of the grid, as strings up to size 9 ('.' or '0' empty) or as lists of numbers (0 empty).
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files import limits
from saywhy.files.boards import shown
from saywhy.grid import Grid

Read = TypeVar("Read")

LARGEST_BYTES = 100_000
MEND = 'Write {"digits": {"r1c1": 5}, "options": {"r1c2": [1, 2]}}'
#: Figures of the longest number that is read as one.
LONGEST_NUMBER = 9


@dataclass(frozen=True)
class Board:
    """
    What stands on a board.

    Attributes:
        digits: By cell.
        options: For a cell, the digits that its notes leave.
    """

    digits: dict[int, int]
    options: dict[int, tuple[int, ...]]


def read_board(path: str | Path, grid: Grid) -> Board:
    """
    Read a position file.

    Args:
        path: The file.
        grid: The grid that it speaks of.

    Raises:
        UnreadableError: The file cannot be opened, is too long or is not JSON.
        NotAllowedError: It is not of this form, a cell is off the grid or a digit is none; all problems at
            once.
    """
    try:
        with Path(path).open("rb") as file:
            held = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        what = f"the position cannot be opened: {(error.strerror or str(error)).lower()}"
        raise UnreadableError(Problem(what, "Check the name and that it can be read"), str(path)) from error
    if len(held) > LARGEST_BYTES:
        raise UnreadableError(Problem("it is longer than 100,000 bytes", "Name a position file"), str(path))
    reader = _Reader(grid)
    board = reader.read(_json(held, str(path)))
    if reader.problems:
        raise NotAllowedError(_cut(reader.problems), str(path))
    return board


class _TwiceError(ValueError):
    """A name stands twice in one object."""


def _json(held: bytes, source: str) -> Any:
    """Give what the JSON of a file holds; numbers too long to be one stay texts."""
    try:
        text = held.decode("utf-8-sig")
    except UnicodeDecodeError:
        problem = Problem("it is not a position, and no text in UTF-8", "Save it as plain text, UTF-8")
        raise UnreadableError(problem, source) from None
    if not text.strip():
        mend = 'Write {} for a board without marks, or {"digits": {"r1c1": 5}}'
        raise UnreadableError(Problem("the file is empty", mend), source)
    try:
        return json.loads(text, object_pairs_hook=_object, parse_int=_whole)
    except json.JSONDecodeError as error:
        what = f"it is not a position: as JSON it breaks off here ({error.msg[:1].lower()}{error.msg[1:]})"
        raise UnreadableError(Problem(what, MEND, line=error.lineno, column=error.colno), source) from None
    except _TwiceError as error:
        raise NotAllowedError(Problem(f"{error} stands twice in it", "Keep one of them"), source) from None
    except RecursionError:
        raise UnreadableError(Problem("it is not a position: it is nested too deep", MEND), source) from None


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        raise _TwiceError(shown(Counter(names).most_common(1)[0][0]))
    return found


def _whole(text: str) -> int | str:
    return int(text) if len(text) <= LONGEST_NUMBER else text


def _cut(problems: list[Problem]) -> list[Problem]:
    if len(problems) <= limits.MOST_PROBLEMS:
        return problems
    more = Problem("there are more problems than these", "Mend these first and read the file again")
    return [*problems[: limits.MOST_PROBLEMS], more]


class _Reader:
    """Turns what a file holds into a board and collects what is wrong with it."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self.problems: list[Problem] = []

    def read(self, held: Any) -> Board:
        """Give the board; only without problems does it mean anything."""
        if not isinstance(held, dict):
            self._wrong(f"it is not a position: {_named(held)} came", MEND)
            held = {}
        for name in held:
            if name not in {"digits", "options"}:
                self._wrong(f"it is not a position: there is no field {shown(name)}", MEND)
        digits, options = held.get("digits", {}), held.get("options", {})
        return Board(
            self._rows(digits) if isinstance(digits, list) else self._by_cell("digits", digits, self._digit),
            self._by_cell("options", options, self._left),
        )

    def _wrong(self, what: str, mend: str, field: str | None = None) -> None:
        self.problems.append(Problem(what, mend, field))

    @property
    def _full(self) -> bool:
        return len(self.problems) > limits.MOST_PROBLEMS

    def _by_cell(self, field: str, held: Any, read: Callable[[Any, str], Read]) -> dict[int, Read]:
        found: dict[int, Read] = {}
        if not isinstance(held, dict):
            self._wrong(f"{_named(held)} came, and an object by cells was expected", MEND, field)
            return found
        for name, value in held.items():
            if self._full:
                break
            try:
                cell = self.grid.cell(name)
            except ValueError as error:
                last = self.grid.name(self.grid.cells[-1])
                self._wrong(str(error), f"Name cells from r1c1 to {last}", field)
            else:
                found[cell] = read(value, f"{field}, {name}")
        return found

    def _digit(self, value: Any, field: str) -> int:
        if isinstance(value, int) and not isinstance(value, bool) and value in self.grid.digits:
            return value
        what = f"{_named(value)} is no digit of this grid"
        self._wrong(what, f"Write a number from 1 to {self.grid.size}", field)
        return 0

    def _left(self, value: Any, field: str) -> tuple[int, ...]:
        if not isinstance(value, list):
            self._wrong(f"{_named(value)} is no list of digits", "Write a list, such as [1, 2]", field)
            return ()
        return tuple(sorted({self._digit(digit, field) for digit in value if not self._full}))

    def _rows(self, rows: list[Any]) -> dict[int, int]:
        size = self.grid.size
        if len(rows) != size:
            what = f"{len(rows)} rows came and {size} were expected"
            self._wrong(what, "Write one row a line of the grid", "digits")
            return {}
        held = [
            (cell, value)
            for number, row in enumerate(rows)
            for cell, value in enumerate(self._row(row, f"digits, row {number + 1}"), number * size)
        ]
        return {
            cell: self._digit(value, f"digits, {self.grid.name(cell)}")
            for cell, value in held
            if (isinstance(value, bool) or value != 0) and not self._full
        }

    def _row(self, row: Any, field: str) -> list[Any]:
        """Give a row's values, 0 where empty; none where something is wrong with the row."""
        size = self.grid.size
        if not isinstance(row, list) and (size > 9 or not isinstance(row, str)):
            what = f"{_named(row)} came, and a list of {size} numbers was expected"
            self._wrong(what, "Write numbers in brackets, 0 where a cell is empty", field)
            return []
        if len(row) != size:
            mend = "Write one sign a cell, '.' where it is empty"
            self._wrong(f"a row of {len(row)} came, and {size} cells were expected", mend, field)
            return []
        if isinstance(row, list):
            return row
        return [0 if sign in ".0" else int(sign) if sign in "123456789" else sign for sign in row]


def _named(value: Any) -> str:
    """Name a value of JSON as a message may repeat it."""
    if isinstance(value, dict | list):
        return "an object" if isinstance(value, dict) else "a list"
    if isinstance(value, str):
        return f"the text {shown(value)}"
    return json.dumps(value)
