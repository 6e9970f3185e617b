"""The two boards in a puzzle file, givens and regions: from text to one value a cell."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass

_RULING = re.compile(r"[\s|+-]*")
SHOWN = 12  #: characters of a stranger's text that a message repeats


@dataclass(frozen=True)
class BoardProblem:
    """What is wrong in a board: ``line`` counts within its text, from 0; None for the whole."""

    line: int | None
    what: str
    mend: str


def shown(text: str) -> str:
    """Give a stranger's text as a message may repeat it: short, in quotes, nothing unprintable."""
    return repr(text if len(text) <= SHOWN else text[:SHOWN] + "...")


def read_givens(text: str, size: int) -> tuple[tuple[int, ...], list[BoardProblem]]:
    """
    Read givens.

    Returns:
        One digit a cell, 0 where empty, and everything found wrong; only without problems do the
        digits mean anything.
    """
    rows, problems = _rows(text, size, words=size > 9)
    digits: list[int] = []
    for line, symbols in rows:
        wrong = []
        for symbol in symbols:
            if symbol in {".", "0"}:
                digits.append(0)
            elif symbol.isascii() and symbol.isdigit() and len(symbol) < 4 and 1 <= int(symbol) <= size:
                digits.append(int(symbol))
            else:
                wrong.append(shown(symbol))
                digits.append(0)
        if wrong:
            named = ", ".join(dict.fromkeys(wrong[:3]))
            what = f"{named} is not a digit from 1 to {size}"
            problems.append(BoardProblem(line, what, f"Write digits from 1 to {size}, '.' for an empty cell"))
    return tuple(digits), problems


def read_regions(text: str, size: int) -> tuple[tuple[int, ...], list[BoardProblem]]:
    """
    Read regions.

    Returns:
        For each cell the number of its region from 0, numbered in reading order of their first cells,
        and everything found wrong.
    """
    rows, problems = _rows(text, size, words=None)
    symbols = [symbol for _, held in rows for symbol in held]
    if problems:
        return (), problems
    numbers = {symbol: number for number, symbol in enumerate(dict.fromkeys(symbols))}
    if len(numbers) != size:
        what = f"there are {len(numbers)} regions and a grid of this size has {size}"
        problems.append(BoardProblem(None, what, f"Use {size} different symbols, each for {size} cells"))
    else:
        for symbol, held in Counter(symbols).items():
            if held != size:
                what = f"region {shown(symbol)} has {held} cells and needs {size}"
                problems.append(BoardProblem(None, what, f"Give every region {size} cells"))
    return tuple(numbers[symbol] for symbol in symbols), problems


def _rows(
    text: str, size: int, *, words: bool | None
) -> tuple[list[tuple[int, list[str]]], list[BoardProblem]]:
    """
    Split a board into rows of symbols, rulings left out.

    Args:
        text: The board.
        size: Rows and columns.
        words: Whether symbols are parted by spaces; None where a row may do either.
    """
    rows = [
        (line, _symbols(row, size, words))
        for line, row in enumerate(text.replace("\r", "\n").split("\n"))
        if not _RULING.fullmatch(row)
    ]
    if len(rows) == 1 and len(rows[0][1]) == size * size:
        line, symbols = rows[0]
        return [(line, symbols[row * size : (row + 1) * size]) for row in range(size)], []
    if len(rows) != size:
        what = f"{size} rows were expected and {len(rows)} came"
        return rows, [BoardProblem(None, what, f"Write {size} rows, one a line, or mend size")]
    mend = f"Write {size} cells in every row"
    if size > 9:
        mend += ", parted by spaces"
    return rows, [
        BoardProblem(line, f"row {row} has {len(symbols)} cells and needs {size}", mend)
        for row, (line, symbols) in enumerate(rows, 1)
        if len(symbols) != size
    ]


def _symbols(row: str, size: int, words: bool | None) -> list[str]:
    parted = row.replace("|", " ").split()
    if words or (words is None and len(parted) in {size, size * size}):
        return parted
    return list("".join(parted))
