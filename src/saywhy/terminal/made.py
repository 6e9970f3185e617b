"""What commands that make puzzles share: the file that is written, and the independent solver's word."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

from saywhy.errors import NotAllowedError, Problem
from saywhy.files import write
from saywhy.puzzle import Puzzle

Made = TypeVar("Made")

#: Seconds for one puzzle in the independent solver.
CERTIFY_S = 120.0


def check_output(output: str, source: str) -> None:
    """
    Say before a long search that what it finds could not be written.

    Args:
        output: File to write.
        source: File that the puzzle came from.

    Raises:
        NotAllowedError: It is the file that the puzzle came from, a folder, or in a folder that is not there.
    """
    out = Path(output)
    try:
        if out.exists() and Path(source).exists() and out.samefile(source):
            what = "this is the file that the puzzle came from, and it is left as it is"
            raise NotAllowedError(Problem(what, "Name another file", "--output"), output)
        wrong = "is a directory" if out.is_dir() else "" if out.parent.is_dir() else "there is no such folder"
    except (OSError, ValueError) as error:
        wrong = (getattr(error, "strerror", None) or str(error)).lower()
    if wrong:
        raise _unwritten(wrong, output)


def check_files(outputs: Mapping[str, str], sources: Sequence[str]) -> None:
    """
    Say before the work that its files could not be written.

    Args:
        outputs: Files to write, by the option that names them.
        sources: Files that are read; none of them is written over.

    Raises:
        NotAllowedError: One is a file that is read or another that is written, a folder, or in a folder that
            is not there.
    """
    taken: dict[Path, str] = {}
    for option, output in outputs.items():
        out = Path(output)
        try:
            wrong = (
                "is a directory" if out.is_dir() else "" if out.parent.is_dir() else "there is no such folder"
            )
            read = out.exists() and any(Path(source).exists() and out.samefile(source) for source in sources)
            other = taken.setdefault(out.resolve(), option)
        except (OSError, ValueError) as error:
            wrong, read, other = (getattr(error, "strerror", None) or str(error)).lower(), False, option
        if wrong:
            raise _unwritten(wrong, output, option)
        if read:
            what = "this is a file that is read here, and it is left as it is"
            raise NotAllowedError(Problem(what, "Name another file", option), output)
        if other != option:
            raise NotAllowedError(Problem(f"{other} writes this file too", "Name two files", option), output)


def write_puzzle(puzzle: Puzzle, output: str, source: str) -> None:
    """
    Write a puzzle into a file.

    Raises:
        NotAllowedError: It cannot be written, or it is the file that the puzzle came from.
    """
    check_output(output, source)
    try:
        Path(output).write_text(write(puzzle), encoding="utf-8")
    except OSError as error:
        raise _unwritten((error.strerror or str(error)).lower(), output) from None


def _unwritten(reason: str, output: str, option: str = "--output") -> NotAllowedError:
    mend = "Name a file in a folder that is there"
    return NotAllowedError(Problem(f"cannot be written: {reason}", mend, option), output)


def chosen(made: Sequence[Made], number: int, noun: str) -> Made:
    """
    Give the one of this number, from 1.

    Args:
        made: What there is to choose from.
        number: The number that was asked for.
        noun: What one of them is called.

    Raises:
        NotAllowedError: There is none of this number.
    """
    if number > len(made):
        if not made:
            raise NotAllowedError(Problem(f"there is no {noun} to write", "Leave -o out", "--output"))
        count = f"{len(made)} {'was' if len(made) == 1 else 'were'} made"
        what = f"there is no {noun} {number}: {count}"
        raise NotAllowedError(Problem(what, "Name one that there is, or leave -o out", "--take"))
    return made[number - 1]


def confirmed(puzzles: Iterable[Puzzle], noun: str) -> bool:
    """
    Say whether each of these has exactly one solution by the independent solver.

    Args:
        puzzles: The puzzles.
        noun: What one of them is called while people wait.

    Raises:
        NotAllowedError: The solver is not installed.
    """
    from saywhy.second_opinion import verdict
    from saywhy.terminal.waiting import waiting

    with waiting(f"Proving every {noun} anew"):
        return all(verdict(puzzle, CERTIFY_S) == "unique" for puzzle in puzzles)
