"""
Puzzle files in and out: format 1 (TOML, one puzzle) and files of puzzle lines.

``read`` gives the puzzles of a file or raises one error with everything that is wrong in it;
``entries`` goes through a file puzzle by puzzle, for files too long to hold; ``write`` gives the text
of a file; ``puzzle_id`` names a puzzle by what it says.
"""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

from saywhy.errors import NotAllowedError, UnreadableError
from saywhy.files.source import Entry, entries, entries_of
from saywhy.files.writing import canonical, puzzle_id, write
from saywhy.puzzle import Puzzle

__all__ = ["Entry", "canonical", "entries", "puzzle_id", "read", "read_text", "write"]


def read(path: str | Path) -> list[Puzzle]:
    """
    Read the puzzles of a file.

    Args:
        path: A TOML file, which holds one puzzle, or a file of puzzle lines; ``-`` is the standard input.

    Returns:
        At least one puzzle.

    Raises:
        UnreadableError: The file cannot be opened, is not text or is not TOML.
        NotAllowedError: It reads, but says something that is not allowed; all problems at once.
    """
    return _gathered(list(entries(path)), str(path))


def read_text(text: str, source: str | None = None) -> list[Puzzle]:
    """
    Read the puzzles of a text; as ``read``, of what a file would hold.

    Args:
        text: TOML or puzzle lines.
        source: File name, for the error.
    """
    file = BytesIO(text.encode("utf-8", "surrogatepass"))
    return _gathered(list(entries_of(file, source or "")), source)


def _gathered(held: list[Entry], source: str | None) -> list[Puzzle]:
    errors = [entry.error for entry in held if entry.error is not None]
    if not errors:
        return [entry.puzzle for entry in held if entry.puzzle is not None]
    problems = [problem for error in errors for problem in error.problems]
    if all(isinstance(error, UnreadableError) for error in errors):
        raise UnreadableError(problems, source)
    raise NotAllowedError(problems, source)
