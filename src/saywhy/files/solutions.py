"""A solution as a setter sends it along: digits row by row, in a file or as a word."""

from __future__ import annotations

from pathlib import Path

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files.boards import read_givens
from saywhy.grid import Grid

LARGEST_BYTES = 10_000


def read_solution(text: str, grid: Grid) -> tuple[int, ...]:
    """
    Read a solution.

    Args:
        text: The name of a file, or the digits themselves: one row a line or all in a row, above size 9
            parted by spaces.
        grid: The grid that it fills.

    Raises:
        UnreadableError: The file cannot be read, or is not there.
        NotAllowedError: It is not one digit for each cell.
    """
    if len(text) <= 1_000 and "\n" not in text and Path(text).is_file():
        return solution_of(_content(text), grid, text)
    if len(text) <= 1_000 and text and Path(text).is_dir():
        raise UnreadableError(Problem("this is a folder", "Name the file in it", "solution"), text)
    if any(letter.isalpha() for letter in text):
        what = f"there is no file {text[:300]!r}, and digits it is none"
        raise UnreadableError(Problem(what, "Check the name, or give the digits row by row", "solution"))
    return solution_of(text, grid)


def solution_of(text: str, grid: Grid, source: str | None = None) -> tuple[int, ...]:
    """
    Read a solution from its digits alone.

    Args:
        text: One row a line or all in a row, above size 9 parted by spaces.
        grid: The grid that it fills.
        source: The file that it comes from, for the error.

    Raises:
        NotAllowedError: It is not one digit for each cell.
    """
    digits, problems = read_givens(text, grid.size)
    if problems:
        mend = "Give a file with the solution, or its digits row by row"
        told = [Problem(held.what, held.mend if source else mend, "solution") for held in problems]
        raise NotAllowedError(told[:5], source)
    if 0 in digits:
        what = f"{grid.name(digits.index(0))} is empty"
        raise NotAllowedError(Problem(what, "Give a digit for every cell", "solution"), source)
    return digits


def _content(path: str) -> str:
    try:
        with Path(path).open("rb") as file:
            held = file.read(LARGEST_BYTES + 1)
        if len(held) > LARGEST_BYTES:
            raise UnreadableError(Problem("it is too long for a solution", "Give the digits alone"), path)
        return held.decode()
    except OSError as error:
        raise UnreadableError(
            Problem(f"it cannot be opened ({error.strerror})", "Name a file"), path
        ) from error
    except UnicodeDecodeError as error:
        raise UnreadableError(Problem("it is not text", "Give the digits row by row"), path) from error
