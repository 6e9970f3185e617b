"""
Search by words, whatever is typed: nothing of it is read as a query.

Each word is quoted and matches at the beginning of a word; all must stand in the same entry.
"""

from __future__ import annotations

import sqlite3

import msgspec

from saywhy.shelf.values import Kind

#: Words of a search that count, and characters of each.
MOST_WORDS, LONGEST_WORD = 12, 60
_KINDS: tuple[Kind, ...] = ("puzzle", "setter", "episode")
#: Title and credit of what a row of the search is about: its number is three times theirs and the kind.
_TITLES = (
    "SELECT title, credit FROM puzzle LEFT JOIN setter ON setter.id = setter WHERE puzzle.id = ?",
    "SELECT credit, credit FROM setter WHERE id = ?",
    "SELECT coalesce(nullif(episode.title, ''), puzzle.title), credit FROM episode"
    " JOIN puzzle ON puzzle.id = puzzle LEFT JOIN setter ON setter.id = setter WHERE episode.id = ?",
)


class Found(msgspec.Struct, frozen=True, kw_only=True):
    """
    One thing found.

    Attributes:
        kind: What it is.
        id: Its number.
        title: Title of the puzzle or episode, or the setter's credit; may be empty.
        credit: The setter's; None where nobody is named.
    """

    kind: Kind
    id: int
    title: str
    credit: str | None


def find(base: sqlite3.Connection, text: str, most: int) -> list[Found]:
    """Give what holds all these words, the best first; nothing for a text without a letter or figure."""
    asked = query(text)
    if not asked:
        return []
    rows = base.execute(
        "SELECT rowid AS n FROM words WHERE words MATCH ?"
        " ORDER BY bm25(words, 4.0, 3.0, 1.0, 1.0), rowid LIMIT ?",
        (asked, most),
    ).fetchall()
    return [_found(base, *divmod(row["n"], 3)) for row in rows]


def query(text: str) -> str:
    """Give a text as a query in which every word is quoted; empty where it has none."""
    words = []
    for word in text.replace("\0", " ").split():
        bare = "".join(letter for letter in word if not 0xD800 <= ord(letter) <= 0xDFFF)[:LONGEST_WORD]
        if any(letter.isalnum() for letter in bare):
            quoted = bare.replace('"', '""')
            words.append(f'"{quoted}"*')
    return " ".join(words[:MOST_WORDS])


def _found(base: sqlite3.Connection, number: int, kind: int) -> Found:
    title, credit = base.execute(_TITLES[kind], (number,)).fetchone()
    return Found(kind=_KINDS[kind], id=number, title=title, credit=credit)
