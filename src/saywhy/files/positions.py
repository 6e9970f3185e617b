"""
Position files: what stands on somebody's board beside the givens.

JSON: ``{"digits": {"r1c1": 5}, "options": {"r1c2": [1, 2]}}``, either part optional; ``digits`` may also be
the rows of the grid, as strings up to size 9 ('.' or '0' empty) or as lists of numbers (0 empty).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import msgspec

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.grid import Grid

LARGEST_BYTES = 100_000


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


class _File(msgspec.Struct, forbid_unknown_fields=True):
    digits: dict[str, int] | list[str | list[int]] = {}
    options: dict[str, list[int]] = {}


def read_board(path: str | Path, grid: Grid) -> Board:
    """
    Read a position file.

    Args:
        path: The file.
        grid: The grid that it speaks of.

    Raises:
        UnreadableError: The file cannot be opened, is too long or is not JSON of this form.
        NotAllowedError: A cell is off the grid or a digit is none; all problems at once.
    """
    try:
        with Path(path).open("rb") as file:
            held = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        what = f"the position cannot be opened: {(error.strerror or str(error)).lower()}"
        raise UnreadableError(Problem(what, "Check the name and that it can be read"), str(path)) from error
    if len(held) > LARGEST_BYTES:
        raise UnreadableError(Problem("it is longer than 100,000 bytes", "Name a position file"), str(path))
    if not held.strip():
        mend = 'Write {} for a board without marks, or {"digits": {"r1c1": 5}}'
        raise UnreadableError(Problem("the file is empty", mend), str(path))
    try:
        read = msgspec.json.decode(held, type=_File)
    except (msgspec.DecodeError, msgspec.ValidationError, RecursionError) as error:
        what = f"it is not a position ({str(error)[:200]})"
        mend = 'Write {"digits": {"r1c1": 5}, "options": {"r1c2": [1, 2]}}'
        raise UnreadableError(Problem(what, mend), str(path)) from error
    return _board(read, grid, str(path))


def _board(read: _File, grid: Grid, source: str) -> Board:
    problems: list[Problem] = []

    def cell_of(name: str, field: str) -> int | None:
        try:
            return grid.cell(name)
        except ValueError as error:
            problems.append(Problem(str(error), "Name a cell of the grid", field))
            return None

    def good(digit: int, field: str) -> bool:
        if digit in grid.digits:
            return True
        problems.append(Problem(f"{digit} is no digit of this grid", f"Write 1 to {grid.size}", field))
        return False

    digits: dict[int, int] = {}
    if isinstance(read.digits, dict):
        for name, digit in read.digits.items():
            cell = cell_of(name, "digits")
            if good(digit, "digits") and cell is not None:
                digits[cell] = digit
    else:
        digits = {cell: digit for cell, digit in _rows(read.digits, grid, problems) if good(digit, "digits")}
    options: dict[int, tuple[int, ...]] = {}
    for name, left in read.options.items():
        cell = cell_of(name, "options")
        kept = [digit for digit in left if good(digit, "options")]
        if cell is not None:
            options[cell] = tuple(sorted(set(kept)))
    if problems:
        raise NotAllowedError(problems, source)
    return Board(digits, options)


def _rows(rows: list[str | list[int]], grid: Grid, problems: list[Problem]) -> Iterator[tuple[int, int]]:
    if len(rows) != grid.size:
        what = f"{len(rows)} rows came and {grid.size} were expected"
        problems.append(Problem(what, "Write one row a line of the grid", "digits"))
        return
    for number, row in enumerate(rows):
        read = [int(sign) if sign.isdecimal() else 0 for sign in row] if isinstance(row, str) else row
        if len(read) != grid.size:
            what = f"row {number + 1} has {len(read)} cells and {grid.size} were expected"
            problems.append(Problem(what, "Write one sign a cell, '.' where it is empty", "digits"))
            continue
        yield from ((number * grid.size + column, digit) for column, digit in enumerate(read) if digit)
