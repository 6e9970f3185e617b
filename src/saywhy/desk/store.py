"""
What the desk keeps: puzzles and the list of recordings in SQLite, each recording in a file of its own.

One connection writes, guarded by a lock, with the rollback journal; a second desk on the same folder is
refused. The acts of a recording are not in the database: an appended line is on disk sooner, and any
program can read it.
"""

from __future__ import annotations

import os
import re
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from threading import Lock
from typing import Any

from saywhy.desk.lasting import finished
from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.files import puzzle_id, read_text, write
from saywhy.puzzle import Puzzle
from saywhy.recording import Header, Log, Recording, read, written
from saywhy.shelf import Shelf
from saywhy.shelf.folder import lock
from saywhy.shelf.migrating import migrate

_KEY = re.compile(r"[a-z0-9]{12}")
_LETTERS = "abcdefghijkmnpqrstuvwxyz23456789"


@dataclass(frozen=True)
class KeptPuzzle:
    """A puzzle on the desk; ``changed`` is RFC 3339."""

    key: str
    text: str
    title: str
    setter: str
    size: int
    changed: str

    @property
    def puzzle(self) -> Puzzle:
        """The puzzle itself."""
        return read_text(self.text)[0]

    @property
    def form(self) -> str:
        """Which form of the puzzle this is: another one after every change."""
        return sha256(self.text.encode()).hexdigest()[:16]


@dataclass(frozen=True)
class KeptRecording:
    """A recording on the desk; ``puzzle`` is a key, ``text`` the puzzle as it was solved."""

    key: str
    puzzle: str
    text: str
    title: str
    blind: bool
    started: str


class Store:
    """
    The desk's folder.

    Args:
        folder: Made if it is not there, for its owner alone.

    Raises:
        NotAllowedError: Another desk has this folder, or it comes from a later Saywhy.
        UnreadableError: The folder cannot be used, or the file in it is not a desk's.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.recordings = folder / "recordings"
        self._lock = Lock()
        try:
            self.recordings.mkdir(parents=True, exist_ok=True, mode=0o700)
            self._guard = os.open(folder / "lock", os.O_RDWR | os.O_CREAT, 0o600)
        except OSError as error:
            what = f"the desk cannot use this folder: {(error.strerror or str(error)).lower()}"
            mend = "Name a folder of your own with --folder"
            raise UnreadableError(Problem(what, mend), str(folder)) from None
        try:
            if not lock(self._guard):
                what = "another desk is open on this folder"
                raise NotAllowedError(Problem(what, "Use that one, or name another folder"), str(folder))
            self._base = self._opened(folder / "desk.sqlite")
        except BaseException:
            os.close(self._guard)
            raise

    def _opened(self, path: Path) -> sqlite3.Connection:
        try:
            base = sqlite3.connect(path, check_same_thread=False)
            try:
                base.execute("PRAGMA synchronous = FULL")
                base.execute("PRAGMA secure_delete = ON")
                migrate(base, "saywhy.desk", str(self.folder))
            except BaseException:
                base.close()
                raise
        except sqlite3.Error as error:
            what = f"this is not the file of a desk, or it is damaged: {error}"
            mend = "Move it away, or name another folder with --folder; the recordings beside it stay"
            raise UnreadableError(Problem(what, mend), str(path)) from None
        return base

    @cached_property
    def shelf(self) -> Shelf:
        """
        The shelf of the same folder, opened when it is first asked for; others may write to it too.

        Raises:
            SaywhyError: It cannot be opened.
        """
        return Shelf(self.folder)

    def lay(self, puzzle: Puzzle) -> str:
        """Give the key of a puzzle on the desk; one that is not here yet is kept."""
        return self.same_puzzle(puzzle) or self.keep_puzzle(puzzle)

    def close(self) -> None:
        """Let go of the folder."""
        if "shelf" in self.__dict__:
            self.shelf.close()
        self._base.close()
        os.close(self._guard)

    def puzzles(self) -> list[KeptPuzzle]:
        """Give all puzzles, the last changed first."""
        rows = self._rows(
            "SELECT key, text, title, setter, size, changed FROM puzzle ORDER BY changed DESC, key"
        )
        return [KeptPuzzle(*row) for row in rows]

    def puzzle(self, key: str) -> KeptPuzzle | None:
        """Give one puzzle; None if there is none of this key."""
        rows = self._rows("SELECT key, text, title, setter, size, changed FROM puzzle WHERE key = ?", (key,))
        return KeptPuzzle(*rows[0]) if rows else None

    def keep_puzzle(self, puzzle: Puzzle, key: str | None = None) -> str:
        """Keep a puzzle under a key of its own, or in place of the one that has the key; give the key."""
        held = key or _new_key()
        grid = puzzle.grid
        row = (held, write(puzzle), puzzle_id(puzzle), puzzle.title, puzzle.setter, grid.size, _now())
        with self._writing() as base:
            base.execute("INSERT OR REPLACE INTO puzzle VALUES (?, ?, ?, ?, ?, ?, ?)", row)
        return held

    def same_puzzle(self, puzzle: Puzzle) -> str | None:
        """Give the key of a puzzle that says the same and is called the same."""
        rows = self._rows(
            "SELECT key FROM puzzle WHERE identity = ? AND title = ? AND setter = ?",
            (puzzle_id(puzzle), puzzle.title, puzzle.setter),
        )
        return str(rows[0][0]) if rows else None

    def drop_puzzle(self, key: str) -> None:
        """Take a puzzle off the desk; its recordings stay."""
        with self._writing() as base:
            base.execute("DELETE FROM puzzle WHERE key = ?", (key,))

    def forget(self, names: set[str]) -> int:
        """
        Take setters' names off everything here, for good: off puzzles, and off what recordings were made of.

        Args:
            names: Credits and names, capitals aside.

        Returns:
            How many puzzles and recordings had one of them.
        """
        gone = {name.casefold() for name in names if name}
        found = 0
        with self._writing() as base:
            for table in ("puzzle", "recording"):
                for key, text in base.execute(f"SELECT key, text FROM {table}").fetchall():
                    puzzle = read_text(text)[0]
                    if puzzle.setter.strip().casefold() in gone:
                        found += 1
                        bare = write(replace(puzzle, setter=""))
                        base.execute(f"UPDATE {table} SET text = ? WHERE key = ?", (bare, key))
                        if table == "puzzle":
                            base.execute("UPDATE puzzle SET setter = '' WHERE key = ?", (key,))
        with self._lock:
            self._base.execute("VACUUM")
        return found

    def all_recordings(self, puzzle: str | None = None) -> list[KeptRecording]:
        """Give the recordings, of one puzzle or all, the latest first."""
        rows = self._rows(
            "SELECT key, puzzle, text, title, blind, started FROM recording"
            " WHERE ?1 IS NULL OR puzzle = ?1 ORDER BY started DESC, key",
            (puzzle,),
        )
        return [
            KeptRecording(key, of, text, title, bool(blind), started)
            for key, of, text, title, blind, started in rows
        ]

    def finished_first(self, recordings: list[KeptRecording]) -> list[KeptRecording]:
        """Give recordings in their order, those that are finished before the others."""
        return sorted(recordings, key=lambda held: not finished(self.file(held.key)))

    def recording(self, key: str) -> KeptRecording | None:
        """Give one recording; None if there is none of this key."""
        return next((held for held in self.all_recordings() if held.key == key), None)

    def begin_recording(self, puzzle: KeptPuzzle, *, blind: bool) -> str:
        """Begin a recording of a puzzle and give its key; its first line is on disk."""
        started = datetime.now(UTC).isoformat(timespec="milliseconds")
        header = Header(format=1, puzzle=puzzle_id(puzzle.puzzle), blind=blind, started=started)
        key = _new_key()
        Log.create(self.file(key), header).close()
        self._list_recording(key, puzzle, blind, started)
        return key

    def keep_recording(self, puzzle: KeptPuzzle, recording: Recording) -> str:
        """Keep a recording that came from elsewhere and give its key."""
        key = _new_key()
        file = self.file(key)
        with file.open("xb") as held:
            held.write(written(recording))
            held.flush()
            os.fsync(held.fileno())
        self._list_recording(key, puzzle, recording.header.blind, recording.header.started)
        return key

    def read_recording(self, key: str) -> Recording:
        """
        Read a recording; a last line that breaks off is left out.

        Raises:
            SaywhyError: The file is gone, or damaged elsewhere.
        """
        return read(self.file(key), salvage=True)

    def file(self, key: str) -> Path:
        """
        Give the file of a recording.

        Raises:
            ValueError: Not a key; nothing outside the folder can be named.
        """
        if not _KEY.fullmatch(key):
            raise ValueError("not the key of a recording")
        return self.recordings / f"{key}.jsonl"

    def _list_recording(self, key: str, puzzle: KeptPuzzle, blind: bool, started: str) -> None:
        row = (key, puzzle.key, puzzle.text, puzzle.title, int(blind), started)
        with self._writing() as base:
            base.execute("INSERT INTO recording VALUES (?, ?, ?, ?, ?, ?)", row)

    def _rows(self, question: str, given: tuple[object, ...] = ()) -> list[tuple[Any, ...]]:
        with self._lock:
            return self._base.execute(question, given).fetchall()

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        with self._lock, self._base:
            yield self._base


def _new_key() -> str:
    return "".join(secrets.choice(_LETTERS) for _ in range(12))


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")
