"""
Read puzzles of the classic kind, one a line: 81 symbols for a 9x9, other sizes alike.

A digit stands for itself, ``.`` or ``0`` for an empty cell. Above 9 the digits go on with letters
(common practice, no source): A is 10 ... G is 16. A line of a larger grid that has both ``.`` and 0 counts
from 0, and one that has letters beyond those counts with letters alone; both are renumbered from 1. What
follows the first word of a line, or a ``#``, is a remark.
"""

from __future__ import annotations

from functools import cache

from saywhy.errors import NotAllowedError, Problem
from saywhy.files.boards import shown
from saywhy.grid import BOXES, Grid
from saywhy.puzzle import Puzzle

_standard = cache(Grid.standard)  # one grid for all lines: a long file would make as many as it has lines
_SIZES = {size * size: size for size in BOXES}
_FROM_ONE = "123456789ABCDEFG"
_FROM_ZERO = "0123456789ABCDEF"
_LETTERS = "ABCDEFGHIJKLMNOP"


class NoGridError(NotAllowedError):
    """A line has not the symbols of any grid."""


def looks_plain(text: str) -> bool:
    """Say whether a file that begins with this text holds puzzle lines (TOML has '=' or '[' first)."""
    for line in text.split("\n"):
        bare = line.partition("#")[0].strip()
        if bare:
            return "=" not in bare and bare[0] not in "[\"'"
    return False


def read_line(line: str, number: int | None = None, source: str | None = None) -> Puzzle | None:
    """
    Read one line.

    Args:
        line: With or without its line end.
        number: Its line in the file, for the error.
        source: File name, for the error.

    Returns:
        The puzzle; None where the line is empty or a remark.

    Raises:
        NotAllowedError: Not a puzzle of a known size.
    """
    bare = line.partition("#")[0].strip()
    if not bare:
        return None
    joined = "".join(bare.split())
    if len(joined) not in _SIZES:
        joined = bare.replace(",", " ").replace(";", " ").split()[0] if bare.strip(",; ") else bare
    size = _SIZES.get(len(joined))
    if size is None:
        count = "1 symbol" if len(joined) == 1 else f"{len(joined)} symbols"
        what = f"the line has {count}, which is no grid"
        *others, last = (str(count) for count in _SIZES if count != 81)
        sizes = f"81 symbols for a 9 by 9 grid; other sizes take {', '.join(others)} or {last}"
        mend = f"Write all cells row by row: {sizes}. A puzzle with clues is a TOML file"
        raise NoGridError(Problem(what, mend, line=number), source)
    givens = _digits(joined.upper(), size, number, source)
    return Puzzle(_standard(size), givens)


def _digits(symbols: str, size: int, line: int | None, source: str | None) -> tuple[int, ...]:
    used = set(symbols)
    alphabet, empty = _alphabet(used, size)
    wrong = sorted(used - {*alphabet, *empty})
    if wrong:
        place = Grid(size, None).name(symbols.index(wrong[0]))
        what = f"{shown(wrong[0])} in {place} is not a digit of a {size} by {size} grid"
        mend = f"Write digits {alphabet[0]} to {alphabet[-1]}, '.' or 0 for an empty cell"
        raise NotAllowedError(Problem(what, mend, line=line), source)
    value = {symbol: number for number, symbol in enumerate(alphabet, 1)}
    return tuple(value.get(symbol, 0) for symbol in symbols)


def _alphabet(used: set[str], size: int) -> tuple[str, str]:
    """Give the digits that a line counts with, in order, and the symbols of an empty cell."""
    one, zero, letters = (symbols[:size] for symbols in (_FROM_ONE, _FROM_ZERO, _LETTERS))
    if size > 9 and {"0", "."} <= used <= {".", *zero}:
        return zero, "."  # '.' is the empty cell, so 0 is a digit
    if size > 9 and used <= {".", "0", *letters} and used & {*letters} - {*one}:
        return letters, ".0"
    return one, ".0"
