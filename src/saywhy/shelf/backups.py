"""Backups of the shelf, made while others use it, and the way back from one."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import Literal

import msgspec

from saywhy.errors import NotAllowedError, Problem, UnreadableError
from saywhy.shelf import checking
from saywhy.shelf.migrating import scripts, version
from saywhy.shelf.shelf import PACKAGE, Shelf


class Copy(msgspec.Struct, frozen=True, kw_only=True):
    """A backup or an export that was made; it may have been moved or deleted since."""

    at: str
    kind: Literal["backup", "export"]
    path: str

    @property
    def there(self) -> bool:
        """Whether something still stands at its place."""
        return Path(self.path).exists()


def copies(shelf: Shelf) -> list[Copy]:
    """Give the backups and exports that were made, the first first."""
    rows = shelf.rows("SELECT at, kind, path FROM copy ORDER BY id")
    return [msgspec.convert(dict(row), Copy) for row in rows]


@contextmanager
def copied(shelf: Shelf, kind: Literal["backup", "export"], path: Path) -> Iterator[None]:
    """Keep where a copy goes, before it is made; forget it if that fails."""
    with shelf.writing() as base:
        told = (checking.now(), kind, str(path.absolute()))
        number = base.execute("INSERT INTO copy (at, kind, path) VALUES (?, ?, ?)", told).lastrowid
    try:
        yield
    except BaseException:
        with shelf.writing() as base:
            base.execute("DELETE FROM copy WHERE id = ?", (number,))
        raise


def backup(shelf: Shelf, file: Path) -> int:
    """
    Copy the shelf into a file, whole and sound, while it may be used.

    Args:
        shelf: The shelf.
        file: Not there yet.

    Returns:
        Its size in bytes.

    Raises:
        NotAllowedError: The file is there, or cannot be written.
    """
    if file.exists():
        what = "there is a file of this name"
        raise NotAllowedError(Problem(what, "Name a new one: a backup is never written over"), str(file))
    made = file.with_name(f".{file.name}.{os.getpid()}.part")
    try:
        with copied(shelf, "backup", file):
            os.close(os.open(made, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o600))
            shelf.copy_into(made)
            _sound(made, made)
            with made.open("rb+") as held:
                os.fsync(held.fileno())
            made.replace(file)
    except OSError as error:
        what = f"the backup cannot be written: {(error.strerror or str(error)).lower()}"
        raise NotAllowedError(Problem(what, "Name a file in a folder that is there"), str(file)) from None
    finally:
        with suppress(OSError):
            made.unlink()
    return file.stat().st_size


def restore(shelf: Shelf, file: Path) -> Path:
    """
    Put a backup in the place of the shelf; what was there is kept in a backup of its own.

    Args:
        shelf: The shelf.
        file: A backup.

    Returns:
        The file that holds what was there.

    Raises:
        UnreadableError: Not a sound shelf.
        NotAllowedError: It comes from a later Saywhy.
    """
    check(file)
    before = shelf.folder / f"before-{datetime.now().strftime('%Y%m%d-%H%M%S-%f')}.sqlite"
    backup(shelf, before)
    made = copies(shelf)
    shelf.copy_from(file)
    known = {(held.at, held.path) for held in copies(shelf)}
    with shelf.writing() as base:  # a backup knows nothing of copies that were made after it
        for held in made:
            if (held.at, held.path) not in known:
                told = (held.at, held.kind, held.path)
                base.execute("INSERT INTO copy (at, kind, path) VALUES (?, ?, ?)", told)
    return before


def check(file: Path) -> None:
    """
    Check that a file is a backup that can be restored.

    Raises:
        UnreadableError: Not a sound shelf.
        NotAllowedError: It comes from a later Saywhy.
    """
    if not file.is_file():
        raise UnreadableError(Problem("there is no such file", "Name a backup"), str(file))
    _sound(file, file)


def _sound(file: Path, told: Path) -> None:
    """Check that a file is a shelf of this version or an earlier one, and whole."""
    try:
        with closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as base:
            found = [row[0] for row in base.execute("PRAGMA integrity_check")]
            known = {row[0] for row in base.execute("SELECT name FROM sqlite_schema")}
            held = version(base)
    except sqlite3.Error as error:
        what = f"this is not a backup of a shelf: {error}"
        raise UnreadableError(Problem(what, "Name another file"), str(told)) from None
    if found != ["ok"]:
        what = f"the file is damaged: {found[0]}"
        raise UnreadableError(Problem(what, "Name another file"), str(told))
    if not {"setter", "puzzle", "episode"} <= known:
        raise UnreadableError(Problem("this is not a backup of a shelf", "Name another file"), str(told))
    if held > len(scripts(PACKAGE)):
        what = "this file was written by a later version of Saywhy"
        raise NotAllowedError(Problem(what, "Use that version, or name another file"), str(told))
