"""
The shelf: one SQLite file in the host's folder, with one writer at a time.

SQLite's write-ahead log lets others read while one writes. Releases before 3.51.3 are reported to be able to
damage such a database when two connections write or checkpoint at once, so whoever writes, or closes,
holds a lock on a file beside it.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from threading import RLock
from typing import Self

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.recording.log import sync_folder
from saywhy.shelf import migrating
from saywhy.shelf.deeds import Deed, DeedTold, deeds, take_back
from saywhy.shelf.episodes import Episodes
from saywhy.shelf.finding import Found, find
from saywhy.shelf.puzzles import Puzzles
from saywhy.shelf.recordings import Recordings
from saywhy.shelf.setters import Setters
from saywhy.shelf.turns import Turns

PACKAGE = "saywhy.shelf"
FILE = "shelf.sqlite"
#: Seconds that a writer waits for another one.
WAIT_S = 5.0
#: What triggers of the database say, as people are told it.
_GUARDS = {
    "no permission to air": "Record the setter's permission first: granted, with its day and words",
    "it is planned to air": "Take it off the plan first",
    "the setter has puzzles here": "Let them go first, or give them another setter",
}


class Shelf:
    """
    The shelf of a folder.

    Args:
        folder: Made if it is not there, for its owner alone.
        wait_s: How long to wait for another writer.

    Attributes:
        setters: Who sets puzzles.
        puzzles: What they sent.
        episodes: What is planned, recorded and published.
        recordings: Recorded solves and their reviews.

    Raises:
        NotAllowedError: It comes from a later Saywhy, or another program writes all the time.
        UnreadableError: The file is not a shelf, or is damaged.
    """

    def __init__(self, folder: Path, wait_s: float = WAIT_S) -> None:
        self.folder = folder
        self.path = folder / FILE
        self._wait_s = wait_s
        self._threads = RLock()
        self._deed: Deed | None = None
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            self._turns = Turns(folder)
            if not self.path.exists():
                os.close(os.open(self.path, os.O_RDWR | os.O_CREAT, 0o600))
                sync_folder(folder)
        except OSError as error:
            reason = (error.strerror or str(error)).lower()
            what = f"the shelf cannot be opened: {reason}"
            raise UnreadableError(Problem(what, "Name a folder of your own"), str(folder)) from None
        try:
            self._base = self._opened()
        except BaseException:
            self._turns.close()
            raise
        self.setters = Setters(self)
        self.puzzles = Puzzles(self)
        self.episodes = Episodes(self)
        self.recordings = Recordings(self)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let go of it."""
        with self._threads:
            # The last one to close tidies the log away, which is writing.
            self._turns.take(self._wait_s)
            self._base.close()
            self._turns.close()

    @contextmanager
    def deed(self, words: str) -> Iterator[Deed]:
        """
        Change the shelf: all that is done inside is on disk when this ends, or none of it.

        A deed inside another is a part of that one, and fails alone if its error is caught there.

        Args:
            words: What is done, for whoever wants to take it back: ``Harbour lights was put here``.

        Raises:
            NotAllowedError: Another program is writing, or what is done is not allowed.
        """
        with self._threads:
            if self._deed is not None:
                with self._part(self._deed):
                    yield self._deed
                return
            with self.writing() as base:
                self._deed = Deed(base, words)
                try:
                    yield self._deed
                    self._deed.close()
                finally:
                    self._deed = None

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Write as the only one, in one transaction that nobody can take back; ``deed`` is what to use."""
        with self._threads, self._alone():
            try:
                self._base.execute("BEGIN IMMEDIATE")
                yield self._base
                self._base.execute("COMMIT")
            except BaseException as error:
                if self._base.in_transaction:
                    self._base.execute("ROLLBACK")
                if isinstance(error, sqlite3.Error):
                    raise self._told(error) from error
                raise

    def deeds(self) -> list[DeedTold]:
        """Give what can be taken back, the last first."""
        with self._threads:
            return deeds(self._base)

    def undo(self) -> DeedTold | None:
        """Take back the last deed and give it; None where there is none."""
        with self.writing() as base:
            return take_back(base)

    def find(self, text: str, most: int = 50) -> list[Found]:
        """Give the puzzles, setters and episodes in which all these words stand, the best first."""
        with self._threads:
            return find(self._base, text, most)

    def rows(self, question: str, given: Sequence[object] = ()) -> list[sqlite3.Row]:
        """Read; inside a deed also what it has done so far."""
        with self._threads:
            try:
                found: list[sqlite3.Row] = self._base.execute(question, given).fetchall()
            except sqlite3.DatabaseError as error:
                raise self._told(error) from error
            except OverflowError:  # a number larger than any that was given
                return []
            return found

    @contextmanager
    def at_one_moment(self) -> Iterator[None]:
        """Read several times, and see the same shelf each time whoever writes meanwhile."""
        with self._threads:
            if self._base.in_transaction:
                yield
                return
            self._base.execute("BEGIN")
            try:
                yield
            finally:
                self._base.execute("COMMIT")

    def copy_into(self, file: Path) -> None:
        """Copy the whole database into a file, whoever writes; ``backups.backup`` is what to use."""
        with self._threads, closing(sqlite3.connect(file)) as target:
            try:
                self._base.backup(target, pages=512, sleep=0.01)
                target.execute("PRAGMA journal_mode = DELETE")
            except sqlite3.Error as error:
                raise self._told(error) from error

    def copy_from(self, file: Path) -> None:
        """Put a database in the place of this one; ``backups.restore`` is what to use."""
        with self._threads, self._alone(), closing(sqlite3.connect(file)) as source:
            try:
                source.backup(self._base)
                self._base.execute("PRAGMA journal_mode = WAL")
                migrating.migrate(self._base, PACKAGE, str(self.folder))
            except sqlite3.Error as error:
                raise self._told(error) from error

    def scrub(self) -> None:
        """
        Write over what was erased: in free pages, in the search and in the log.

        Raises:
            NotAllowedError: Another program keeps it from being done; it is done at the next opening.
        """
        with self._threads, self._alone():
            self._scrub()

    def _scrub(self) -> None:
        base = self._base
        base.execute("INSERT INTO words (words) VALUES ('rebuild')")
        base.execute("VACUUM")
        if _checkpoint(base, self._wait_s):
            base.execute("DELETE FROM chore WHERE name = 'scrub'")
            return
        what = "another program reads the shelf, and so what was erased is still in its log"
        mend = "End that program, then open the shelf once more"
        raise NotAllowedError(Problem(what, mend), str(self.path))

    def _opened(self) -> sqlite3.Connection:
        base = sqlite3.connect(self.path, timeout=self._wait_s, isolation_level=None, check_same_thread=False)
        try:
            base.row_factory = sqlite3.Row
            base.create_function("casefold", 1, str.casefold, deterministic=True)
            # What is erased is written over; a commit is on disk when it returns.
            for setting in ("foreign_keys = ON", "synchronous = FULL", "secure_delete = ON"):
                base.execute(f"PRAGMA {setting}")
            where = str(self.folder)
            if migrating.behind(base, PACKAGE, where):
                with self._alone():
                    migrating.migrate(base, PACKAGE, where)
            if base.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
                with self._alone():
                    base.execute("PRAGMA journal_mode = WAL")
            self._base = base
            if base.execute("SELECT 1 FROM chore WHERE name = 'scrub'").fetchone():
                with suppress(NotAllowedError), self._alone():
                    self._scrub()
        except sqlite3.Error as error:
            base.close()
            raise self._told(error) from error
        except BaseException:
            base.close()
            raise
        return base

    @contextmanager
    def _alone(self) -> Iterator[None]:
        if not self._turns.take(self._wait_s):
            who = self._turns.holder()
            told = "" if who is None else f" (process {who})"
            what = f"another program has been writing to the shelf for {self._wait_s:g} s{told}"
            raise NotAllowedError(Problem(what, "Wait for it to end, then try again"), str(self.path))
        try:
            yield
        finally:
            self._turns.give()

    @contextmanager
    def _part(self, deed: Deed) -> Iterator[None]:
        held = deed.mark()
        self._base.execute("SAVEPOINT part")
        try:
            yield
        except BaseException:
            self._base.execute("ROLLBACK TO part")
            self._base.execute("RELEASE part")
            deed.back_to(held)
            raise
        self._base.execute("RELEASE part")

    def _told(self, error: sqlite3.Error) -> NotAllowedError | UnreadableError:
        """Give an error of the database as people are told it."""
        text, where = str(error), str(self.path)
        if text in _GUARDS:
            return NotAllowedError(Problem(text, _GUARDS[text]), where)
        if isinstance(error, sqlite3.OperationalError) and "locked" in text:
            what = "another program is writing to the shelf"
            return NotAllowedError(Problem(what, "Wait for it to end, then try again"), where)
        if isinstance(error, sqlite3.IntegrityError):
            return NotAllowedError(Problem(f"this does not fit the shelf: {text}", "Mend it"), where)
        if isinstance(error, sqlite3.OperationalError):
            return UnreadableError(Problem(f"the shelf cannot be used: {text}", "Look at the disk"), where)
        what = f"this is not a shelf, or it is damaged: {text}"
        return UnreadableError(Problem(what, "Put a backup in its place"), where)


def _checkpoint(base: sqlite3.Connection, wait_s: float) -> bool:
    """Empty the log into the file; False where a reader keeps it for so long."""
    until = time.monotonic() + wait_s
    while base.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]:
        if time.monotonic() >= until:
            return False
        time.sleep(0.02)
    return True
