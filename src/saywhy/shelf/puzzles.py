"""The puzzles that were sent, and whether they may air."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from saywhy.errors import NotAllowedError, Problem
from saywhy.files import puzzle_id, read_text, write
from saywhy.files.plain import looks_plain
from saywhy.puzzle import Puzzle
from saywhy.shelf import checking
from saywhy.shelf.absent import absent
from saywhy.shelf.rows import columns, value
from saywhy.shelf.setters import planned_to_air
from saywhy.shelf.values import Judged, Permission, Said, ShelfPuzzle

if TYPE_CHECKING:
    from saywhy.shelf.shelf import Shelf

_SELECT = "SELECT puzzle.*, puzzle.id IN (SELECT puzzle FROM cleared) AS cleared FROM puzzle"


class Puzzles:
    """The puzzles of a shelf."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf

    def all(
        self,
        *,
        setter: int | None = None,
        permission: Permission | None = None,
        cleared: bool | None = None,
        verdict: str | None = None,
    ) -> list[ShelfPuzzle]:
        """Give the puzzles of which all this is so, the last that came first; None asks for nothing."""
        rows = self._shelf.rows(
            f"SELECT * FROM ({_SELECT}) WHERE (?1 IS NULL OR setter = ?1) AND (?2 IS NULL OR permission = ?2)"
            " AND (?3 IS NULL OR cleared = ?3) AND (?4 IS NULL OR verdict = ?4)"
            " ORDER BY received DESC, id DESC",
            (setter, permission and permission.value, cleared, verdict),
        )
        return [value(row, ShelfPuzzle) for row in rows]

    def get(self, number: int) -> ShelfPuzzle:
        """
        Give one puzzle.

        Raises:
            NotAllowedError: There is none of this number.
        """
        rows = self._shelf.rows(f"{_SELECT} WHERE puzzle.id = ?", (number,))
        if not rows:
            raise absent(self._shelf.rows, "puzzle", number)
        return value(rows[0], ShelfPuzzle)

    def saying(self, puzzle: Puzzle) -> list[ShelfPuzzle]:
        """Give the puzzles that say exactly what this one says, title and setter aside."""
        rows = self._shelf.rows(f"{_SELECT} WHERE identity = ? ORDER BY puzzle.id", (puzzle_id(puzzle),))
        return [value(row, ShelfPuzzle) for row in rows]

    def alike(self, key: str, by: Literal["same", "near"] = "same") -> list[ShelfPuzzle]:
        """Give the puzzles that share a key: turned, mirrored or relabelled, or merely of the same shapes."""
        rows = self._shelf.rows(f"{_SELECT} WHERE puzzle.{by} = ? ORDER BY puzzle.id", (key,))
        return [value(row, ShelfPuzzle) for row in rows]

    def add(  # noqa: PLR0913 - one argument a field
        self,
        text: str,
        *,
        setter: int | str | None = None,
        received: str | None = None,
        source: str = "",
        judged: Judged | None = None,
        said: Said | None = None,
        licence: str = "",
        remarks: str = "",
    ) -> ShelfPuzzle:
        """
        Put a puzzle on the shelf.

        Args:
            text: Its file: TOML, or one line of digits.
            setter: Number of its setter; or a credit, which finds the setter of this credit or adds one;
                None for the credit in the file, if it has one.
            received: The day that it came; None for today.
            source: The file or mail that it came in.
            judged: What is known of it.
            said: What its setter says to airing it.
            licence: Its licence, as the setter gave it.
            remarks: The host's own.

        Raises:
            SaywhyError: The text is not one puzzle; or a field does not fit.
        """
        puzzle, kept = _read(text)
        row = {
            **said_by(puzzle, kept),
            "title": checking.line(puzzle.title, "title"),
            "licence": checking.line(licence, "licence"),
            "source": checking.line(source, "source"),
            "received": checking.today() if received is None else checking.day(received, "received"),
            "remarks": checking.words(remarks, "remarks"),
            "added": checking.now(),
            **_permission(said),
            **_judged(judged),
        }
        with self._shelf.deed(f"{puzzle.title or 'an untitled puzzle'} was put on the shelf") as deed:
            row["setter"] = self._setter(puzzle.setter if setter is None else setter)
            return self.get(deed.insert("puzzle", columns(row)))

    def judge(self, number: int, judged: Judged) -> ShelfPuzzle:
        """Keep what was found out about a puzzle; fields that are None leave what is known."""
        held = self.get(number)
        with self._shelf.deed(f"{_name(held)} was judged") as deed:
            deed.update("puzzle", number, columns(_judged(judged)))
            return self.get(number)

    def mend(self, number: int, text: str, judged: Judged | None = None) -> ShelfPuzzle:
        """
        Put a new form of a puzzle in place of the one here; what was known of that one no longer counts.

        Raises:
            SaywhyError: The text is not one puzzle.
        """
        held = self.get(number)
        puzzle, kept = _read(text)
        row = {**said_by(puzzle, kept), "title": checking.line(puzzle.title, "title") or held.title}
        nothing: dict[str, object] = {"verdict": None, "effort": None, "same": None, "near": None}
        with self._shelf.deed(f"{_name(held)} was mended") as deed:
            deed.update("puzzle", number, columns({**row, **nothing, **_judged(judged)}))
            return self.get(number)

    def permit(self, number: int, said: Said, *, unplan: bool = False) -> ShelfPuzzle:
        """
        Keep what a setter says to airing a puzzle.

        Args:
            number: The puzzle.
            said: Their word; it counts before their standing one.
            unplan: Take it off the plan if it may not air any more.

        Raises:
            NotAllowedError: Granted without day or words, or it is planned and would lose its permission.
        """
        held = self.get(number)
        lost = said.permission is not Permission.GRANTED and not self._stands(held, said)
        planned = self._shelf.rows(_PLANNED, (number,)) if lost else []
        if planned and not unplan:
            raise planned_to_air(planned)
        with self._shelf.deed(f"{_name(held)} was marked {said.permission}") as deed:
            for row in planned:
                deed.delete("episode", row["id"])
            deed.update("puzzle", number, columns(_permission(said)))
            return self.get(number)

    def change(  # noqa: PLR0913 - one argument a field
        self,
        number: int,
        *,
        title: str | None = None,
        setter: int | str | None = None,
        received: str | None = None,
        licence: str | None = None,
        remarks: str | None = None,
    ) -> ShelfPuzzle:
        """
        Change what is known of a puzzle; None leaves a field as it is, and the file stays as it came.

        Args:
            number: The puzzle.
            title: As it is published.
            setter: Number or credit of its setter; an empty text for nobody.
            received: The day that it came.
            licence: Its licence.
            remarks: The host's own.

        Raises:
            NotAllowedError: There is no such puzzle, or a field does not fit.
        """
        held = self.get(number)
        changed: dict[str, object] = {
            "title": None if title is None else checking.line(title, "title"),
            "received": None if received is None else checking.day(received, "received"),
            "licence": None if licence is None else checking.line(licence, "licence"),
            "remarks": None if remarks is None else checking.words(remarks, "remarks"),
        }
        with self._shelf.deed(f"{_name(held)} was changed") as deed:
            row = {name: new for name, new in changed.items() if new is not None}
            if setter is not None:
                row["setter"] = self._setter(setter)
            deed.update("puzzle", number, columns(row))
            return self.get(number)

    def remove(self, number: int) -> None:
        """Take a puzzle off the shelf with its episodes, recordings and reviews; it can be taken back."""
        held = self.get(number)
        with self._shelf.deed(f"{_name(held)} was removed") as deed:
            for table, question in _GOES_WITH.items():
                for row in self._shelf.rows(question, (number,)):
                    deed.delete(table, row["id"])
            deed.delete("puzzle", number)

    def goes_with(self, number: int) -> dict[str, int]:
        """Count what goes with a puzzle that is removed: reviews, recordings and episodes."""
        return {table: len(self._shelf.rows(question, (number,))) for table, question in _GOES_WITH.items()}

    def _setter(self, asked: int | str) -> int | None:
        if isinstance(asked, int):
            return self._shelf.setters.get(asked).id
        if not asked.strip():
            return None
        held = self._shelf.setters.named(asked)
        return held[0].id if held else self._shelf.setters.add(asked).id

    def _stands(self, held: ShelfPuzzle, said: Said) -> bool:
        """Say whether the setter's standing permission lets a puzzle air with this word on it."""
        if held.setter is None or said.permission is Permission.REFUSED:
            return False
        return self._shelf.setters.get(held.setter).standing is Permission.GRANTED


_PLANNED = "SELECT id, puzzle, airs FROM episode WHERE puzzle = ? AND state = 'planned'"
_GOES_WITH = {
    "review": "SELECT review.id FROM review JOIN recording ON recording.id = recording WHERE puzzle = ?",
    "recording": "SELECT id FROM recording WHERE puzzle = ?",
    "episode": "SELECT id FROM episode WHERE puzzle = ?",
}


def _read(text: str) -> tuple[Puzzle, str]:
    """Give the one puzzle of a text, and the text that is kept."""
    found = read_text(text)
    if len(found) > 1:
        raise NotAllowedError(Problem("the file holds several puzzles", "Send them one by one"))
    return found[0], write(found[0]) if looks_plain(text) else text


def said_by(puzzle: Puzzle, kept: str) -> dict[str, object]:
    """Give the columns that a puzzle itself fills; ``kept`` is its file."""
    rules = [*puzzle.rules, *puzzle.all_given, *(clue.rule for clue in puzzle.clues)]
    return {
        "text": kept,
        "identity": puzzle_id(puzzle),
        "size": puzzle.grid.size,
        "rules": sorted(set(rules)),
    }


def _permission(said: Said | None) -> dict[str, object]:
    if said is None:
        return {}
    held = checking.said(said)
    return {"permission": held.permission, "permission_on": held.on, "permission_words": held.words}


def _judged(judged: Judged | None) -> dict[str, object]:
    if judged is None:
        return {}
    held = {name: getattr(judged, name) for name in ("verdict", "effort", "same", "near")}
    return {name: told for name, told in held.items() if told is not None}


def _name(held: ShelfPuzzle) -> str:
    return held.title or f"puzzle p{held.id}"
