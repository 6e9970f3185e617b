"""
Search by words, whatever is typed: nothing of it is read as a query.

Each word is quoted and matches at the beginning of a word; all must stand in the same entry.
"""

from __future__ import annotations

import sqlite3
from typing import cast

import msgspec

from saywhy.shelf.values import Kind

#: Words of a search that count, and characters of each.
MOST_WORDS, LONGEST_WORD = 12, 60
_KINDS: tuple[Kind, ...] = ("puzzle", "setter", "episode")


class Found(msgspec.Struct, frozen=True, kw_only=True):
    """
    One thing found.

    Attributes:
        kind: What it is.
        id: Its number.
        title: Title of the puzzle or episode, or the setter's credit.
        people: Credit and name of its setter; may be empty.
    """

    kind: Kind
    id: int
    title: str
    people: str


def find(base: sqlite3.Connection, text: str, most: int) -> list[Found]:
    """Give what holds all these words, the best first; nothing for a text without a letter or figure."""
    asked = query(text)
    if not asked:
        return []
    rows = base.execute(
        "SELECT rowid AS n, title, people FROM words WHERE words MATCH ?"
        " ORDER BY bm25(words, 4.0, 3.0, 1.0, 1.0), rowid LIMIT ?",
        (asked, most),
    ).fetchall()
    return [_found(row) for row in rows]


def query(text: str) -> str:
    """Give a text as a query in which every word is quoted; empty where it has none."""
    words = []
    for word in text.replace("\0", " ").split():
        bare = "".join(letter for letter in word if not 0xD800 <= ord(letter) <= 0xDFFF)[:LONGEST_WORD]
        if any(letter.isalnum() for letter in bare):
            quoted = bare.replace('"', '""')
            words.append(f'"{quoted}"*')
    return " ".join(words[:MOST_WORDS])


def _found(row: sqlite3.Row) -> Found:
    number, kind = divmod(row["n"], 3)
    title = row["people"] if kind == 1 else row["title"]
    return Found(kind=cast(Kind, _KINDS[kind]), id=number, title=title.strip(), people=row["people"].strip())
