"""
Puzzle files in and out: format 1 (TOML, one puzzle) and files of puzzle lines.

``read`` gives the puzzles of a file or raises one error with everything that is wrong in it;
``entries`` goes through a file puzzle by puzzle, for files too long to hold; ``write`` gives the text
of a file; ``puzzle_id`` names a puzzle by what it says.
"""

from __future__ import annotations

from pathlib import Path

from saywhy.errors import AmbiguousError, NotAllowedError, Problem, UnreadableError
from saywhy.files import limits
from saywhy.files.plain import looks_plain, read_line
from saywhy.files.source import Entry, entries
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
        AmbiguousError: It could mean two things.
    """
    return _gathered(list(entries(path)), str(path))


def read_text(text: str, source: str | None = None) -> list[Puzzle]:
    """
    Read the puzzles of a text; as ``read``, of what a file would hold.

    Args:
        text: TOML or puzzle lines.
        source: File name, for the error.
    """
    if len(text) > limits.MOST_BYTES:
        what = f"the text is longer than {limits.MOST_BYTES // 1024} thousand characters"
        raise UnreadableError(Problem(what, "Read long files by their name"), source)
    if not looks_plain(text):
        from saywhy.files.toml import read_toml

        return [read_toml(text, source)]
    found = []
    for number, line in enumerate(text.splitlines(), 1):
        puzzle = read_line(line, number, source)
        if puzzle is not None:
            found.append(puzzle)
    return found


def _gathered(held: list[Entry], source: str) -> list[Puzzle]:
    errors = [entry.error for entry in held if entry.error is not None]
    if not errors:
        return [entry.puzzle for entry in held if entry.puzzle is not None]
    problems = [problem for error in errors for problem in error.problems]
    for kind in (UnreadableError, AmbiguousError):
        if all(isinstance(error, kind) for error in errors):
            raise kind(problems, source)
    raise NotAllowedError(problems, source)
