"""What lies in the folder: one arrival for each puzzle, or for each file that cannot hold one."""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

from saywhy.errors import Problem
from saywhy.files import entries, limits, write
from saywhy.files.plain import looks_plain
from saywhy.inbox.judgement import Arrival

#: By this file, and how it begins, an output folder is known.
JOURNAL = "journal.jsonl"
HEAD = b'{"saywhy":"inbox","format":1}\n'

#: Bytes from which it is told whether a file is text: no text in UTF-8 holds a NUL or a byte of all ones.
_TELLING = 1024


def arrivals(folder: Path) -> Iterator[Arrival]:
    """
    Give what lies in a folder and the folders within it, in the order of the names.

    Hidden files and what an earlier run put out are left alone, links are not followed, and nothing is
    opened that is no plain file.
    """
    for path in _files(folder):
        yield from _of_file(path, _name(path.relative_to(folder)))


def _files(folder: Path) -> Iterator[Path]:
    for here, folders, files in os.walk(folder):
        kept = (name for name in folders if not name.startswith("."))
        folders[:] = sorted(name for name in kept if not _is_output(Path(here, name)))
        yield from (Path(here, name) for name in sorted(files) if not name.startswith("."))


def _is_output(folder: Path) -> bool:
    path = folder / JOURNAL
    try:
        if not stat.S_ISREG(path.lstat().st_mode):
            return False
        with path.open("rb") as file:
            return file.read(len(HEAD)) == HEAD
    except OSError:
        return False


def _name(path: Path) -> str:
    """Give a path as text, whatever bytes its name has."""
    return os.fsencode(path.as_posix()).decode("utf-8", "backslashreplace")


def _of_file(path: Path, name: str) -> Iterator[Arrival]:
    """Give the arrivals of one file: puzzle lines are read here, all else by the process that judges it."""
    try:
        if not stat.S_ISREG(path.lstat().st_mode):
            yield _nothing(name, "this is a link or a device and no file", "Send the file itself")
            return
        with path.open("rb") as file:
            data = file.read(limits.MOST_BYTES + 1)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        yield _nothing(name, f"the file cannot be opened: {reason}", "Check that it can be read")
        return
    if b"\0" in data[:_TELLING] or data[:_TELLING].count(b"\xff"):
        yield _nothing(
            name, "this is no text but a picture or the like", "Send the puzzle as a file of format 1"
        )
        return
    head = data[: limits.HEAD_BYTES].decode("utf-8-sig", "replace")
    if path.suffix == ".toml" or not looks_plain(head):
        yield Arrival(file=name, line=None, data=data, digest=_digest(data))
        return
    for entry in entries(path):
        problems = () if entry.error is None else tuple(entry.error.problems)
        text = b"" if entry.puzzle is None else write(entry.puzzle).encode()
        said = text or repr(problems).encode()
        yield Arrival(file=name, line=entry.line, data=text, digest=_digest(said), problems=problems)


def _nothing(name: str, what: str, mend: str) -> Arrival:
    problem = Problem(what, mend)
    return Arrival(file=name, line=None, data=b"", digest=_digest(what.encode()), problems=(problem,))


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
