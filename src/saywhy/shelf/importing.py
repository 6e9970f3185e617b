"""
Read an export back into an empty shelf: strictly, all or nothing, everything that is wrong told at once.

The files may have been edited, or come from strangers: each field is checked as if it had been typed, what
follows from a puzzle's file is worked out anew, and the database has its own word on permissions.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Annotated, Any

import msgspec
from msgspec import Meta

from saywhy.errors import NotAllowedError, Problem, SaywhyError, UnreadableError
from saywhy.files import limits, read_text
from saywhy.recording import belongs, read_bytes
from saywhy.recording.log import MOST_BYTES as MOST_OF_LOG
from saywhy.shelf import checking
from saywhy.shelf.deeds import TABLES
from saywhy.shelf.exporting import ELSEWHERE, FORMAT, WORKED_OUT, file_of
from saywhy.shelf.puzzles import said_by
from saywhy.shelf.recordings import told_of
from saywhy.shelf.rows import columns
from saywhy.shelf.shelf import Shelf
from saywhy.shelf.values import (
    Said,
    Setter,
    ShelfEpisode,
    ShelfPuzzle,
    ShelfRecording,
    ShelfReview,
    Value,
)

MOST_PROBLEMS = 50
LONGEST_LINE = 32 * 1024 * 1024
LARGEST_NUMBER = 2**53

_KINDS: dict[str, type[Value]] = {
    "setter": Setter,
    "puzzle": ShelfPuzzle,
    "episode": ShelfEpisode,
    "recording": ShelfRecording,
    "review": ShelfReview,
}
_POINTS = {
    "puzzle": {"setter": "setter"},
    "episode": {"puzzle": "puzzle"},
    "recording": {"puzzle": "puzzle", "episode": "episode"},
    "review": {"recording": "recording"},
}
_LINES = {"credit", "called", "contact", "title", "licence", "source"}
_TEXTS = {"remarks"}

Number = Annotated[int, Meta(ge=1, le=LARGEST_NUMBER)]


class _Head(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """``shelf.json``."""

    format: int
    next: dict[str, Number]


@dataclass
class _Reader:
    """One import: what was read, and what is wrong."""

    folder: Path
    problems: list[Problem] = field(default_factory=list)
    seen: dict[str, dict[int, Value]] = field(default_factory=dict)

    def wrong(self, file: str, line: int | None, problem: Problem) -> None:
        place = file if problem.field is None else f"{file}, {problem.field}"
        self.problems.append(Problem(problem.what, problem.mend, place, line))
        if len(self.problems) >= MOST_PROBLEMS:
            self.stop()

    def stop(self) -> None:
        if self.problems:
            raise NotAllowedError(self.problems, str(self.folder))


def take_in(shelf: Shelf, folder: Path) -> dict[str, int]:
    """
    Fill an empty shelf from an export; numbers stay what they are.

    Args:
        shelf: A shelf on which nothing stands.
        folder: What ``export`` wrote.

    Returns:
        How many of each kind came.

    Raises:
        NotAllowedError: Something stands on the shelf, or something in the files is not allowed.
        UnreadableError: Not an export.
    """
    reader = _Reader(folder)
    head = _head(folder)
    with shelf.writing() as base:
        if any(base.execute(f"SELECT 1 FROM {table} LIMIT 1").fetchone() for table in TABLES):
            what = "an import needs an empty shelf, and things stand on this one"
            raise NotAllowedError(Problem(what, "Name another folder with --folder"), str(shelf.folder))
        for table in TABLES:
            reader.seen[table] = {}
            for line, value in _values(reader, table):
                _put(reader, base, table, line, value)
        reader.stop()
        for table in TABLES:
            given = max(head.next.get(table, 1) - 1, *reader.seen[table], 0)
            base.execute("DELETE FROM sqlite_sequence WHERE name = ?", (table,))
            base.execute("INSERT INTO sqlite_sequence (name, seq) VALUES (?, ?)", (table, given))
        base.execute("DELETE FROM deed")
    return {table: len(reader.seen[table]) for table in TABLES}


def _head(folder: Path) -> _Head:
    try:
        head = msgspec.json.decode(_bytes(folder / "shelf.json", limits.MOST_BYTES), type=_Head)
    except SaywhyError as error:
        what = f"this is not an export of a shelf: {error.problems[0].what}"
        raise UnreadableError(Problem(what, "Name the folder that holds shelf.json"), str(folder)) from None
    except (ValueError, RecursionError, msgspec.DecodeError) as error:
        raise UnreadableError(
            Problem(f"shelf.json cannot be read: {str(error)[:160]}", "Put back what export wrote"),
            str(folder),
        ) from None
    if head.format != FORMAT:
        what = f"the export is of format {head.format}, and this version reads {FORMAT}"
        raise NotAllowedError(Problem(what, "Use a later version of Saywhy"), str(folder))
    return head


def _values(reader: _Reader, table: str) -> Iterator[tuple[int, Value]]:
    """Give what the lines of a file hold; what is wrong with one is told, and the next is read."""
    file = f"{table}s.jsonl"
    try:
        data = _bytes(reader.folder / file, None)
    except SaywhyError as error:
        reader.wrong(file, None, error.problems[0])
        return
    for number, line in enumerate(data.split(b"\n"), 1):
        if not line.strip():
            continue
        try:
            yield number, _value(reader.folder, table, line)
        except SaywhyError as error:
            for problem in error.problems:
                reader.wrong(file, number, problem)
        except (ValueError, RecursionError, msgspec.DecodeError) as error:
            what = "".join(letter if letter.isprintable() else "?" for letter in str(error))[:160]
            reader.wrong(file, number, Problem(what, "Mend the line"))


def _value(folder: Path, table: str, line: bytes) -> Value:
    if len(line) > LONGEST_LINE:
        raise NotAllowedError(Problem("the line is too long", "Mend the line"))
    told = msgspec.json.decode(line)
    if not isinstance(told, dict):
        raise NotAllowedError(Problem("the line is no JSON object", "Mend the line"))
    for name in (*WORKED_OUT.get(table, ()), *([ELSEWHERE[table]] if table in ELSEWHERE else ())):
        if name in told:
            raise NotAllowedError(Problem(f"{name} does not stand here", "Take it out", name))
    number = told.get("id")
    if not isinstance(number, int) or not 1 <= number <= LARGEST_NUMBER:
        raise NotAllowedError(Problem("the number is no number from 1", "Give each line its own", "id"))
    if table in ELSEWHERE:
        most = limits.MOST_BYTES if table == "puzzle" else MOST_OF_LOG
        told[ELSEWHERE[table]] = _bytes(file_of(folder, table, number), most).decode()
    return msgspec.convert(_checked(table, told), _KINDS[table])


def _checked(table: str, told: dict[str, Any]) -> dict[str, Any]:
    """Check every field as if it had been typed."""
    msgspec.convert(told, _KINDS[table])  # first that each is of its kind
    held = dict(told)
    for name, given in told.items():
        if name in _LINES:
            held[name] = checking.line(given, name)
        elif name in _TEXTS:
            held[name] = checking.words(given, name)
        elif name == "link":
            held[name] = checking.link(given, name)
        elif name == "airs" and given is not None:
            held[name] = checking.moment(given, name)
        elif name == "received":
            held[name] = checking.day(given, name)
        elif name in {"added", "started"}:
            _time(given, name)
    for name in {"permission", "standing"} & told.keys():
        said = msgspec.convert({"permission": told[name]}, Said)
        on, words = told.get(f"{name}_on"), told.get(f"{name}_words", "")
        kept = checking.said(msgspec.structs.replace(said, on=on, words=words))
        held |= {f"{name}_on": kept.on, f"{name}_words": kept.words}
    if table == "setter" and not held["credit"]:
        raise NotAllowedError(Problem("the credit is empty", "Write the line that is published", "credit"))
    if table == "puzzle":
        found = read_text(held["text"])
        if len(found) > 1:
            raise NotAllowedError(Problem("its file holds several puzzles", "Leave one"))
        held |= said_by(found[0], held["text"])
    if table == "recording":
        held |= told_of(read_bytes(held["log"].encode()))
    return held


def _put(reader: _Reader, base: sqlite3.Connection, table: str, line: int, value: Value) -> None:
    """Put one row into the database, if what it points at is there and the database lets it in."""
    seen = reader.seen[table]
    row = {name: getattr(value, name) for name in value.__struct_fields__}
    for name in WORKED_OUT.get(table, ()):
        del row[name]
    try:
        if value.id in seen:
            raise NotAllowedError(Problem(f"the number {value.id} stands here twice", "Mend it", "id"))
        for name, other in _POINTS.get(table, {}).items():
            if row[name] is not None and row[name] not in reader.seen[other]:
                what = f"there is no {other} {row[name]}"
                raise NotAllowedError(Problem(what, f"Mend it, or put the {other} back", name))
        if isinstance(value, ShelfRecording):
            _fits(reader, value)
        names, marks = ", ".join(row), ", ".join("?" * len(row))
        base.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(columns(row).values()))
    except SaywhyError as error:
        for problem in error.problems:
            reader.wrong(f"{table}s.jsonl", line, problem)
    except sqlite3.IntegrityError as error:
        problem = Problem(f"this does not fit the shelf: {error}", "Mend the line, or take it out")
        reader.wrong(f"{table}s.jsonl", line, problem)
    else:
        seen[value.id] = value


def _fits(reader: _Reader, value: ShelfRecording) -> None:
    puzzle = reader.seen["puzzle"][value.puzzle]
    assert isinstance(puzzle, ShelfPuzzle)
    belongs(read_bytes(value.log.encode()), read_text(puzzle.text)[0])
    if value.episode is not None:
        episode = reader.seen["episode"][value.episode]
        assert isinstance(episode, ShelfEpisode)
        if episode.puzzle != value.puzzle:
            what = f"episode {value.episode} is of another puzzle"
            raise NotAllowedError(Problem(what, "Name the puzzle's own episode", "episode"))


def _bytes(path: Path, most: int | None) -> bytes:
    """
    Give what a file of the export holds.

    Raises:
        UnreadableError: It cannot be read, is no plain file, or is too large.
    """
    told = (
        path.name if path.parent.name not in ("puzzles", "recordings") else f"{path.parent.name}/{path.name}"
    )
    try:
        if path.is_symlink() or not path.is_file():
            raise UnreadableError(Problem(f"the file {told} is not there", "Put back what export wrote"))
        with path.open("rb") as held:
            data = held.read() if most is None else held.read(most + 1)
    except OSError as error:
        what = f"the file {told} cannot be read: {(error.strerror or str(error)).lower()}"
        raise UnreadableError(Problem(what, "Make it readable")) from None
    if most is not None and len(data) > most:
        raise UnreadableError(Problem(f"the file {told} is too large", "Put back what export wrote"))
    return data


def _time(given: str, name: str) -> None:
    try:
        fits = datetime.fromisoformat(given).tzinfo is not None
    except ValueError:
        fits = False
    if not fits:
        what = f"{given[:40]!r} is not a time with its offset"
        raise NotAllowedError(Problem(what, f"Write it as {checking.TIME}", name))
