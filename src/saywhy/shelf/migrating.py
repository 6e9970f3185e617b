"""Numbered SQL files that bring a database to the form that this version knows."""

from __future__ import annotations

import sqlite3
from importlib import resources
from importlib.resources.abc import Traversable

from saywhy.errors import NotAllowedError, Problem


def scripts(package: str) -> list[Traversable]:
    """Give a package's migrations, ``001.sql`` first; the place of one in the list is its version less 1."""
    held = resources.files(package).joinpath("migrations").iterdir()
    return sorted((file for file in held if file.name.endswith(".sql")), key=lambda file: file.name)


def version(base: sqlite3.Connection) -> int:
    """Give the version of a database; 0 where it is new."""
    (held,) = base.execute("PRAGMA user_version").fetchone()
    return int(held)


def behind(base: sqlite3.Connection, package: str, where: str) -> bool:
    """
    Say whether a database needs migrating.

    Raises:
        NotAllowedError: It comes from a later Saywhy.
    """
    held, known = version(base), len(scripts(package))
    if held > known:
        what = "this folder was written by a later version of Saywhy"
        raise NotAllowedError(Problem(what, "Use that version, or name another folder"), where)
    return held < known


def migrate(base: sqlite3.Connection, package: str, where: str, upto: int | None = None) -> None:
    """
    Bring a database to the latest version, each step whole or not at all.

    Args:
        base: The database.
        package: Whose migrations.
        where: The folder, for the error.
        upto: A version to stop at; None for the latest.

    Raises:
        NotAllowedError: It comes from a later Saywhy.
    """
    if not behind(base, package, where):
        return
    start = version(base)
    for number, script in enumerate(scripts(package)[start:upto], start + 1):
        text = script.read_text(encoding="utf-8")
        try:
            base.executescript(f"BEGIN IMMEDIATE; {text}; PRAGMA user_version = {number}; COMMIT;")
        except BaseException:
            if base.in_transaction:
                base.execute("ROLLBACK")
            raise
