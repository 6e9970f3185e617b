"""
A setter's personal data: all of it as one JSON object, and its erasure.

Erased is erased: from the tables, the search, what could be taken back, free pages and the log. What lies
outside the shelf cannot be erased from here, so backups, exports and texts that still name the person are
told.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Literal

import msgspec

from saywhy.files import read_text, write
from saywhy.shelf.backups import Copy, copies
from saywhy.shelf.checking import now
from saywhy.shelf.rows import columns
from saywhy.shelf.shelf import Shelf
from saywhy.shelf.values import Permission, Setter, ShelfPuzzle

#: What is left of the words of a permission when its giver is erased.
WORDS_GONE = "(the words went with the setter's data)"
#: Shorter names are not looked for: they stand in too many words.
SHORTEST_NAME = 3

#: Texts in which a person may still be named.
_TEXTS = {
    "puzzle": ("title", "text", "licence", "source", "permission_words", "remarks"),
    "episode": ("title", "link", "remarks"),
    "setter": ("credit", "called", "contact", "standing_words", "remarks"),
}


class Still(msgspec.Struct, frozen=True, kw_only=True):
    """A place on the shelf where an erased person is still named: a host wrote or published it."""

    kind: Literal["puzzle", "episode", "setter"]
    id: int
    field: str


class Erased(msgspec.Struct, frozen=True, kw_only=True):
    """
    What an erasure did.

    Attributes:
        puzzles: Numbers of the setter's puzzles, that stayed without a name or went.
        stayed: Whether they stayed.
        still: Texts that still name the person.
        copies: Backups and exports that were made before.
    """

    puzzles: list[int]
    stayed: bool
    still: list[Still]
    copies: list[Copy]


def personal_data(shelf: Shelf, number: int) -> dict[str, Any]:
    """
    Give all that the shelf knows of a setter, for the setter.

    Raises:
        NotAllowedError: There is no such setter.
    """
    with shelf.at_one_moment():
        setter = shelf.setters.get(number)
        puzzles = shelf.puzzles.all(setter=number)
        of = {held.id for held in puzzles}
        episodes = [held for held in shelf.episodes.all() if held.puzzle in of]
        recordings = [held for held in shelf.recordings.all() if held.puzzle in of]
        deeds = shelf.rows("SELECT at, words, rows FROM deed ORDER BY id")
        places = copies(shelf)
    names = _names(setter)
    told = [row for row in deeds if any(name in (row["words"] + row["rows"]).casefold() for name in names)]
    return {
        "told": now(),
        "setter": msgspec.to_builtins(setter),
        "puzzles": [msgspec.to_builtins(held) for held in puzzles],
        "episodes": [msgspec.to_builtins(held) for held in episodes],
        "recordings": [
            {"id": held.id, "puzzle": held.puzzle, "started": held.started, "seconds": held.seconds}
            for held in recordings
        ],
        "can_be_taken_back": [{"at": row["at"], "what": row["words"]} for row in told],
        "copies": [msgspec.to_builtins(held) for held in places],
    }


def erase(shelf: Shelf, number: int, *, puzzles: Literal["stay", "go"]) -> Erased:
    """
    Erase a setter for good; nothing done before can be taken back afterwards.

    Args:
        shelf: The shelf.
        number: The setter.
        puzzles: ``stay``: without a name, and with the permission that they had, whose words are gone.
            ``go``: erased with their episodes, recordings and reviews.

    Raises:
        NotAllowedError: There is no such setter; or another program reads the shelf, so that the log
            still holds what was erased until the shelf is next opened.
    """
    setter = shelf.setters.get(number)
    with shelf.writing() as base:
        held = shelf.puzzles.all(setter=number)
        for puzzle in held:
            if puzzles == "stay":
                row = columns(_without_name(puzzle, setter))
                names = ", ".join(f"{name} = ?" for name in row)
                base.execute(f"UPDATE puzzle SET {names} WHERE id = ?", (*row.values(), puzzle.id))
            else:
                of = "(SELECT id FROM recording WHERE puzzle = ?)"
                base.execute(f"DELETE FROM review WHERE recording IN {of}", (puzzle.id,))
                for table, column in (("recording", "puzzle"), ("episode", "puzzle"), ("puzzle", "id")):
                    base.execute(f"DELETE FROM {table} WHERE {column} = ?", (puzzle.id,))
        base.execute("DELETE FROM setter WHERE id = ?", (number,))
        base.execute("DELETE FROM deed")
        base.execute("INSERT OR IGNORE INTO chore VALUES ('scrub')")
    shelf.scrub()
    return Erased(
        puzzles=[puzzle.id for puzzle in held],
        stayed=puzzles == "stay",
        still=_still(shelf, _names(setter)),
        copies=copies(shelf),
    )


def _without_name(puzzle: ShelfPuzzle, setter: Setter) -> dict[str, object]:
    text = write(replace(read_text(puzzle.text)[0], setter=""))  # remarks in the file go too
    row: dict[str, object] = {"setter": None, "text": text, "source": ""}
    if puzzle.permission is Permission.GRANTED:
        row |= {"permission_words": WORDS_GONE}
    elif puzzle.cleared:
        row |= {"permission": Permission.GRANTED, "permission_on": setter.standing_on}
        row |= {"permission_words": WORDS_GONE}
    else:
        row |= {"permission_words": ""}
    return row


def _names(setter: Setter) -> list[str]:
    held = {setter.credit, setter.called, setter.contact}
    return sorted({name.casefold() for name in held if len(name) >= SHORTEST_NAME})


def _still(shelf: Shelf, names: list[str]) -> list[Still]:
    found = []
    for table, fields in _TEXTS.items():
        for row in shelf.rows(f"SELECT id, {', '.join(fields)} FROM {table} ORDER BY id"):
            for name in fields:
                if any(asked in row[name].casefold() for asked in names):
                    found.append(Still(kind=table, id=row["id"], field=name))  # type: ignore[arg-type]
    return found
