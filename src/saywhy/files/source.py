"""Open a puzzle file, whatever it turns out to be, and give its puzzles one by one."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from saywhy.errors import NotAllowedError, Problem, SaywhyError, UnreadableError
from saywhy.files import limits
from saywhy.files.foreign import READ, foreign
from saywhy.files.plain import NoGridError, looks_plain, read_line
from saywhy.puzzle import Puzzle

_AT_LINE = re.compile(r"(.+):([1-9]\d{0,8})")


@dataclass(frozen=True)
class Entry:
    """
    One puzzle of a file, or what is wrong with it.

    Attributes:
        source: The file's name; in a file of puzzle lines with the line, ``grids.txt:17``.
        puzzle: None where there is an error.
        error: None where there is a puzzle.
        line: In a file of puzzle lines, the line.
    """

    source: str
    puzzle: Puzzle | None = None
    error: SaywhyError | None = None
    line: int | None = None


def entries(path: str | Path) -> Iterator[Entry]:
    """
    Give the puzzles of a file one by one; what is wrong comes as an entry and is never raised.

    Args:
        path: A TOML file (one puzzle) or a file of puzzle lines; ``grids.txt:17`` is one line of such a
            file, ``-`` the standard input.
    """
    name = str(path)
    at_line = _AT_LINE.fullmatch(name)
    try:
        if at_line and not Path(name).exists():
            yield _single(at_line[1], int(at_line[2]))
            return
        with _opened(path) as file:
            yield from entries_of(file, name)
    except SaywhyError as error:
        yield Entry(name, error=error)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        mend = "Check the name and that it can be read"
        if isinstance(error, IsADirectoryError):
            mend = "Name a file in it; saywhy inbox judges a whole folder"
        problem = Problem(f"the file cannot be opened: {reason}", mend)
        yield Entry(name, error=UnreadableError(problem, name))


def _single(path: str, number: int) -> Entry:
    """Give one line of a file of puzzle lines."""
    for entry in entries(path):
        if entry.line is None and entry.error is not None:
            return entry
        if entry.line is None:
            problem = Problem("the file holds one puzzle and no lines of puzzles", f"Leave out :{number}")
            return Entry(f"{path}:{number}", error=NotAllowedError(problem, path))
        if entry.line == number:
            return entry
    problem = Problem("there is no puzzle on this line", "Name another line", line=number)
    return Entry(f"{path}:{number}", error=NotAllowedError(problem, path))


def entries_of(file: BinaryIO, name: str) -> Iterator[Entry]:
    """
    Give the puzzles of an open file one by one, as ``entries`` does.

    Args:
        file: Open for reading bytes.
        name: Its name, for the entries.
    """
    try:
        head = file.read(limits.HEAD_BYTES)
        if wrong := foreign(head):
            raise UnreadableError(wrong, name)
        if not name.endswith(".toml") and looks_plain(head.decode("utf-8-sig", "replace")):
            yield from _lines(head, file, name)
        else:
            yield Entry(name, puzzle=_whole(head, file, name))
    except SaywhyError as error:
        yield Entry(name, error=error)


@contextmanager
def _opened(path: str | Path) -> Iterator[BinaryIO]:
    if str(path) == "-":
        yield sys.stdin.buffer
    elif "\0" in str(path):
        raise UnreadableError(Problem("the file name holds a NUL character", "Name another file"))
    else:
        with Path(path).open("rb") as file:
            yield file


def _whole(head: bytes, file: BinaryIO, name: str) -> Puzzle:
    data = head + file.read(limits.MOST_BYTES + 1 - len(head))
    if len(data) > limits.MOST_BYTES:
        what = f"the file is larger than {limits.MOST_BYTES // 1024} KiB, which no puzzle needs"
        raise UnreadableError(Problem(what, "Send one puzzle a file, in format 1"), name)
    text = decode(data, name)
    if not text.strip():
        raise UnreadableError(Problem("the file is empty", "Begin it with format = 1"), name)
    from saywhy.files.toml import read_toml

    return read_toml(text, name)


def decode(data: bytes, name: str | None) -> str:
    """
    Give the text of a file.

    Raises:
        UnreadableError: Not UTF-8.
    """
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        problem = Problem("the file is not text in UTF-8", "Save it as plain text, UTF-8", line=line)
        raise UnreadableError(problem, name) from None


def _lines(head: bytes, file: BinaryIO, name: str) -> Iterator[Entry]:
    """Give what the lines of a file hold; where none of them is a grid, that is told once."""
    waiting: list[Entry] | None = []
    for entry in _each_line(head, file, name):
        if waiting is not None and isinstance(entry.error, NoGridError):
            waiting.append(entry)
            continue
        if waiting and entry.line is None:
            what = f"none of its first {len(waiting)} lines is a puzzle, so the rest was left alone"
            raise NotAllowedError(Problem(what, READ), name)
        yield from waiting or ()
        waiting = None
        yield entry
    if waiting and len(waiting) > 1:
        raise NotAllowedError(Problem("no line of it is a puzzle", READ), name)
    yield from waiting or ()


def _each_line(head: bytes, file: BinaryIO, name: str) -> Iterator[Entry]:
    empty = bad = 0
    found = False
    for number, data in enumerate(_split(head, file), 1):
        where = f"{name}:{number}"
        try:
            if len(data) > limits.LONGEST_LINE:
                what = f"the line is longer than {limits.LONGEST_LINE} characters"
                raise UnreadableError(Problem(what, "Write one puzzle a line", line=number), name)
            puzzle = read_line(decode(data, name), number, name)
        except SaywhyError as error:
            at = [Problem(p.what, p.mend, p.field, number) for p in error.problems]
            yield Entry(where, error=type(error)(at, name), line=number)
            bad += 1
            if bad >= limits.MOST_BAD_LINES:
                what = f"{bad} lines do not read, so the rest was left alone"
                yield Entry(name, error=NotAllowedError(Problem(what, "Mend these first"), name))
                return
            continue
        if puzzle is not None:
            empty, found = 0, True
            yield Entry(where, puzzle=puzzle, line=number)
            continue
        empty += 1
        if empty > limits.MOST_EMPTY_LINES:
            what = f"{empty} lines in a row hold no puzzle"
            raise NotAllowedError(Problem(what, "Remove empty lines and remarks", line=number), name)
    if not found and not bad:
        raise NotAllowedError(Problem("the file holds no puzzle", "Write one puzzle a line"), name)


def _split(head: bytes, file: BinaryIO) -> Iterator[bytes]:
    """Give the lines of a file whose beginning was read already; overlong ones are cut."""
    *whole, last = head.split(b"\n")
    yield from whole
    longest = limits.LONGEST_LINE + 1
    if len(last) <= longest:
        last += file.readline(longest + 1 - len(last)) if not last.endswith(b"\n") else b""
    while last:
        yield last.rstrip(b"\r\n")
        ended = last.endswith(b"\n")
        while not ended:  # what is left of an overlong line
            rest = file.readline(64 * 1024)
            ended = not rest or rest.endswith(b"\n")
        last = file.readline(longest + 1)
