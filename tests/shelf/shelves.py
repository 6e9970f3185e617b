"""What the tests put on a shelf, and a shelf as one value to compare."""

from __future__ import annotations

from typing import Any

from saywhy.shelf import Permission, Said, Shelf

#: A small puzzle of the harbour town, by title and setter.
PUZZLE = """format = 1
title = "{title}"
setter = "{setter}"
size = 4
givens = '''
1 . . .
. . 4 .
. 2 . .
. . . {last}
'''
"""

GRANTED = Said(permission=Permission.GRANTED, on="2026-11-20", words="Air it, with pleasure")
REFUSED = Said(permission=Permission.REFUSED, on="2026-11-21", words="Rather not")
ASKED = Said(permission=Permission.ASKED, on="2026-11-19")

#: Two first lines of a recording and its acts, of the puzzle whose name is put in.
LOG = (
    '{{"format":1,"puzzle":"{identity}","blind":true,"started":"2026-11-25T20:00:00.000+00:00"}}\n'
    '{{"do":"place","t":12.5,"cell":"r1c2","digit":4}}\n'
    '{{"do":"finish","t":30.0}}\n'
)


def text(title: str = "Low tide", setter: str = "oarlock", last: int = 3) -> str:
    """Give the file of a puzzle."""
    return PUZZLE.format(title=title, setter=setter, last=last)


def log(identity: str) -> bytes:
    """Give a recording of a puzzle."""
    return LOG.format(identity=identity).encode()


def picture(shelf: Shelf, *, times: bool = True) -> dict[str, Any]:
    """Give all that stands on a shelf; without ``times`` the moments at which it came are left out."""
    tables = ("setter", "puzzle", "episode", "recording", "review")
    held = {
        table: [dict(row) for row in shelf.rows(f"SELECT * FROM {table} ORDER BY id")] for table in tables
    }
    held["words"] = [dict(row) for row in shelf.rows("SELECT rowid AS n, * FROM words ORDER BY rowid")]
    if not times:
        for rows in held.values():
            for row in rows:
                row.pop("added", None)
    return held


def sound(shelf: Shelf) -> None:
    """Check that the database is whole, and that its search says what its tables say."""
    assert [row[0] for row in shelf.rows("PRAGMA integrity_check")] == ["ok"]
    assert shelf.rows("PRAGMA foreign_key_check") == []
    shelf.rows("INSERT INTO words (words, rank) VALUES ('integrity-check', 1)")
    parts = " UNION ALL ".join(
        f"SELECT n, title, people, rules, remarks FROM {kind}_words"
        for kind in ("puzzle", "setter", "episode")
    )
    assert picture(shelf)["words"] == [dict(row) for row in shelf.rows(f"{parts} ORDER BY n")]
