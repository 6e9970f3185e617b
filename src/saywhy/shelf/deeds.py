"""
Writing to the shelf: every change is part of a deed, which is whole or not at all and can be taken back.

A deed remembers each row as it was before. Taking it back puts that back, and removes what was not there;
deeds are taken back from the last one on, so each finds what it left.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping

import msgspec

from saywhy.shelf.checking import now

#: Tables in an order in which rows can be put back; the other way round they can be removed.
TABLES = ("setter", "puzzle", "episode", "recording", "review")
#: Others point at these, and so they go last, when those point elsewhere again.
_LEANED_ON = {"setter", "puzzle"}
#: Deeds that can be taken back.
MOST_DEEDS = 200

Cell = str | int | float | None


class DeedTold(msgspec.Struct, frozen=True, kw_only=True):
    """A deed that can be taken back: its number, when it was done, and what it was."""

    id: int
    at: str
    words: str


class Deed:
    """Rows being changed; made by ``Shelf.deed`` only, inside its transaction."""

    def __init__(self, base: sqlite3.Connection, words: str) -> None:
        self.words = words
        self._base = base
        self._before: dict[tuple[str, int], dict[str, Cell] | None] = {}

    def insert(self, table: str, row: Mapping[str, Cell]) -> int:
        """Add a row and give its number."""
        names, marks = ", ".join(row), ", ".join("?" * len(row))
        done = self._base.execute(f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(row.values()))
        assert done.lastrowid is not None
        self._before.setdefault((table, done.lastrowid), None)
        return done.lastrowid

    def update(self, table: str, number: int, changed: Mapping[str, Cell]) -> None:
        """Change columns of a row."""
        if changed:
            self._remember(table, number)
            names = ", ".join(f"{name} = ?" for name in changed)
            self._base.execute(f"UPDATE {table} SET {names} WHERE id = ?", (*changed.values(), number))

    def delete(self, table: str, number: int) -> None:
        """Remove a row."""
        self._remember(table, number)
        self._base.execute(f"DELETE FROM {table} WHERE id = ?", (number,))

    def mark(self) -> dict[tuple[str, int], dict[str, Cell] | None]:
        """Give what is remembered so far, for ``back_to``."""
        return dict(self._before)

    def back_to(self, held: dict[tuple[str, int], dict[str, Cell] | None]) -> None:
        """Forget what was remembered since."""
        self._before = held

    def close(self) -> None:
        """Keep what was remembered, if anything was changed."""
        if not self._before:
            return
        rows = [[table, number, before] for (table, number), before in self._before.items()]
        told = (now(), self.words, json.dumps(rows, ensure_ascii=False))
        self._base.execute("INSERT INTO deed (at, words, rows) VALUES (?, ?, ?)", told)
        self._base.execute(
            "DELETE FROM deed WHERE id <= (SELECT id FROM deed ORDER BY id DESC LIMIT 1 OFFSET ?)",
            (MOST_DEEDS,),
        )

    def _remember(self, table: str, number: int) -> None:
        if (table, number) in self._before:
            return
        found = self._base.execute(f"SELECT * FROM {table} WHERE id = ?", (number,)).fetchone()
        self._before[table, number] = None if found is None else dict(found)


def deeds(base: sqlite3.Connection) -> list[DeedTold]:
    """Give what can be taken back, the last first."""
    rows = base.execute("SELECT id, at, words FROM deed ORDER BY id DESC").fetchall()
    return [DeedTold(**dict(row)) for row in rows]


def take_back(base: sqlite3.Connection) -> DeedTold | None:
    """Take back the last deed, inside a transaction; None where there is none."""
    found = base.execute("SELECT id, at, words, rows FROM deed ORDER BY id DESC LIMIT 1").fetchone()
    if found is None:
        return None
    rows = sorted(json.loads(found["rows"]), key=lambda row: TABLES.index(row[0]))
    new = [(table, number) for table, number, before in reversed(rows) if before is None]
    for table, number in new:
        if table not in _LEANED_ON:
            base.execute(f"DELETE FROM {table} WHERE id = ?", (number,))
    for table, _, before in rows:
        if before is not None:
            names, marks = ", ".join(before), ", ".join("?" * len(before))
            put = ", ".join(f"{name} = excluded.{name}" for name in before if name != "id")
            base.execute(
                f"INSERT INTO {table} ({names}) VALUES ({marks}) ON CONFLICT (id) DO UPDATE SET {put}",
                tuple(before.values()),
            )
    for table, number in new:
        if table in _LEANED_ON:
            base.execute(f"DELETE FROM {table} WHERE id = ?", (number,))
    base.execute("DELETE FROM deed WHERE id = ?", (found["id"],))
    return DeedTold(id=found["id"], at=found["at"], words=found["words"])
