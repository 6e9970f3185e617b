"""Who sets puzzles."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from typing import TYPE_CHECKING

from saywhy.errors import NotAllowedError, Problem
from saywhy.shelf import checking
from saywhy.shelf.absent import absent
from saywhy.shelf.rows import columns, value
from saywhy.shelf.values import Said, Setter

if TYPE_CHECKING:
    from saywhy.shelf.shelf import Shelf


class Setters:
    """The setters of a shelf."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf

    def all(self) -> list[Setter]:
        """Give every setter, by credit."""
        rows = self._shelf.rows("SELECT * FROM setter ORDER BY credit COLLATE NOCASE, id")
        return [value(row, Setter) for row in rows]

    def get(self, number: int) -> Setter:
        """
        Give one setter.

        Raises:
            NotAllowedError: There is none of this number.
        """
        rows = self._shelf.rows("SELECT * FROM setter WHERE id = ?", (number,))
        if not rows:
            raise absent(self._shelf.rows, "setter", number)
        return value(rows[0], Setter)

    def named(self, name: str) -> list[Setter]:
        """Give the setters whose credit or name is this, capitals aside."""
        rows = self._shelf.rows(
            "SELECT * FROM setter WHERE ?1 <> '' AND ?1 IN (casefold(credit), casefold(called)) ORDER BY id",
            (name.strip().casefold(),),
        )
        return [value(row, Setter) for row in rows]

    def add(
        self,
        credit: str,
        *,
        called: str = "",
        contact: str = "",
        remarks: str = "",
        standing: Said | None = None,
    ) -> Setter:
        """
        Put a setter on the shelf.

        Args:
            credit: The credit line as it is published.
            called: The name that they like to be called by.
            contact: How they are reached.
            remarks: The host's own.
            standing: What they said for whatever they send.

        Raises:
            NotAllowedError: A text does not fit, or the credit is empty.
        """
        row = {
            "credit": _credit(credit),
            "called": checking.line(called, "called"),
            "contact": checking.line(contact, "contact"),
            "remarks": checking.words(remarks, "remarks"),
            "added": checking.now(),
            **_standing(standing),
        }
        with self._shelf.deed(f"setter {row['credit']} was added") as deed:
            number = deed.insert("setter", columns(row))
            return self.get(number)

    def change(
        self,
        number: int,
        *,
        credit: str | None = None,
        called: str | None = None,
        contact: str | None = None,
        remarks: str | None = None,
    ) -> Setter:
        """
        Change what is known of a setter; None leaves a field as it is.

        Raises:
            NotAllowedError: There is no such setter, or a text does not fit.
        """
        held = self.get(number)
        changed = {
            "credit": None if credit is None else _credit(credit),
            "called": None if called is None else checking.line(called, "called"),
            "contact": None if contact is None else checking.line(contact, "contact"),
            "remarks": None if remarks is None else checking.words(remarks, "remarks"),
        }
        with self._shelf.deed(f"setter {held.credit} was changed") as deed:
            deed.update("setter", number, {name: new for name, new in changed.items() if new is not None})
            return self.get(number)

    def permit(self, number: int, said: Said, *, unplan: bool = False) -> Setter:
        """
        Keep what a setter says for whatever they send.

        Args:
            number: The setter.
            said: Their word.
            unplan: Take episodes off the plan that may not air any more.

        Raises:
            NotAllowedError: Granted without day or words, or puzzles are planned that it takes back.
        """
        held = self.get(number)
        planned = self._shelf.rows(_HELD_BY_STANDING, (number, said.permission.value))
        if planned and not unplan:
            raise planned_to_air(planned)
        with self._shelf.deed(f"{held.credit} was marked {said.permission} for all puzzles") as deed:
            for row in planned:
                deed.delete("episode", row["id"])
            deed.update("setter", number, columns(_standing(said)))
            return self.get(number)

    def remove(self, number: int) -> None:
        """
        Take a setter off the shelf; it can be taken back. To erase a person see ``personal.erase``.

        Raises:
            NotAllowedError: They have puzzles here.
        """
        held = self.get(number)
        with self._shelf.deed(f"setter {held.credit} was removed") as deed:
            deed.delete("setter", number)


#: The field of an error about a permission that the plan still needs.
PLAN = "plan"
#: Planned episodes that lose their permission when a setter's standing one becomes the second parameter.
_HELD_BY_STANDING = """
    SELECT episode.id, episode.puzzle, airs FROM episode JOIN puzzle ON puzzle.id = episode.puzzle
    WHERE puzzle.setter = ?1 AND episode.state = 'planned' AND puzzle.permission <> 'granted'
      AND ?2 <> 'granted'
"""


def planned_to_air(planned: Sequence[sqlite3.Row]) -> NotAllowedError:
    """Give the error of a permission that would be lost while these episodes are planned."""
    first = planned[0]
    more = f", and {len(planned) - 1} more" if len(planned) > 1 else ""
    when = first["airs"].replace("T", ", ")
    what = f"p{first['puzzle']} is planned to air on {when}: e{first['id']}{more}"
    return NotAllowedError(Problem(what, "Say that it goes off the plan too", PLAN))


def _credit(text: str) -> str:
    held = checking.line(text, "credit")
    if not held:
        raise NotAllowedError(Problem("the credit is empty", "Write the line that is published", "credit"))
    return held


def _standing(said: Said | None) -> dict[str, object]:
    if said is None:
        return {}
    held = checking.said(said)
    return {"standing": held.permission, "standing_on": held.on, "standing_words": held.words}
