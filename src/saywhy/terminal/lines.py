"""One JSON object a line, and errors in text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import click
import msgspec

from saywhy.errors import Problem
from saywhy.files import Entry
from saywhy.files.titles import plain
from saywhy.grid import Grid
from saywhy.terminal.codes import Exit


def print_json(held: Mapping[str, Any]) -> None:
    """Print one object on one line of the standard output, at once."""
    click.echo(msgspec.json.encode(held).decode())


def print_error(entry: Entry, *, as_json: bool) -> Exit:
    """
    Tell what is wrong with an entry that has no puzzle.

    Every problem goes to the standard error in text, and with ``--json`` all as one object to the output.

    Returns:
        The exit code.
    """
    problems = [] if entry.error is None else entry.error.problems
    source = (entry.error and entry.error.source) or entry.source
    for problem in problems:
        click.echo(plain(f"{source}: {problem}"), err=True)
    if as_json:
        print_json({"file": entry.source, "error": [_problem_json(problem) for problem in problems]})
    return Exit.BAD_INPUT


def rows_json(digits: tuple[int, ...] | list[int], grid: Grid) -> list[str] | list[list[int]]:
    """Give a filled grid row by row: strings up to size 9, lists above."""
    rows = [list(digits[row * grid.size : (row + 1) * grid.size]) for row in range(grid.size)]
    return rows if grid.size > 9 else ["".join(map(str, row)) for row in rows]


def _problem_json(problem: Problem) -> dict[str, Any]:
    return {
        "what": problem.what,
        "mend": problem.mend,
        "field": problem.field,
        "line": problem.line,
        "column": problem.column,
    }
