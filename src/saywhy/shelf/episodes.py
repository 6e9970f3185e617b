"""Episodes: planned, recorded, published."""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec

from saywhy.errors import NotAllowedError, Problem
from saywhy.shelf import checking
from saywhy.shelf.absent import absent
from saywhy.shelf.rows import columns, value
from saywhy.shelf.values import How, Permission, ShelfEpisode, ShelfPuzzle, State

if TYPE_CHECKING:
    from saywhy.shelf.shelf import Shelf


class EpisodeFacts(msgspec.Struct, frozen=True, kw_only=True):
    """
    What a pack needs to know of an episode.

    Attributes:
        text: The puzzle's file.
        title: As it is published.
        credit: The setter's credit line; None where nobody is named.
        licence: The puzzle's, as the setter gave it; may be empty.
        cleared: Whether it may air.
        permission: The word that counts: the puzzle's own, or else its setter's standing one.
        permission_on: The day of it.
        permission_words: Their words.
        airs: When it airs.
        next_airs: When the next planned one does.
        link: Where it can be seen.
        how: Blind or rehearsed.
        log: Its latest recording, JSON Lines.
    """

    text: str
    title: str
    credit: str | None
    licence: str
    cleared: bool
    permission: Permission
    permission_on: str | None
    permission_words: str
    airs: str | None
    next_airs: str | None
    link: str
    how: How | None
    log: str | None


class Episodes:
    """The episodes of a shelf."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf

    def all(self, *, state: State | None = None, puzzle: int | None = None) -> list[ShelfEpisode]:
        """Give the episodes of which all this is so, by when they air; None asks for nothing."""
        rows = self._shelf.rows(
            "SELECT * FROM episode WHERE (?1 IS NULL OR state = ?1) AND (?2 IS NULL OR puzzle = ?2)"
            " ORDER BY airs IS NULL, airs, id",
            (state and state.value, puzzle),
        )
        return [value(row, ShelfEpisode) for row in rows]

    def get(self, number: int) -> ShelfEpisode:
        """
        Give one episode.

        Raises:
            NotAllowedError: There is none of this number.
        """
        rows = self._shelf.rows("SELECT * FROM episode WHERE id = ?", (number,))
        if not rows:
            raise absent(self._shelf.rows, "episode", number)
        return value(rows[0], ShelfEpisode)

    def facts(self, number: int) -> EpisodeFacts:
        """Give what a pack needs to know of an episode."""
        held = self.get(number)
        puzzle = self._shelf.puzzles.get(held.puzzle)
        setter = None if puzzle.setter is None else self._shelf.setters.get(puzzle.setter)
        own = puzzle.permission in (Permission.GRANTED, Permission.REFUSED) or setter is None
        said = (
            (puzzle.permission, puzzle.permission_on, puzzle.permission_words)
            if own or setter is None or setter.standing is not Permission.GRANTED
            else (setter.standing, setter.standing_on, setter.standing_words)
        )
        logs = self._shelf.rows("SELECT log FROM recording WHERE episode = ? ORDER BY id DESC", (number,))
        after = [
            other.airs
            for other in self.all(state=State.PLANNED)
            if other.airs is not None and held.airs is not None and other.airs > held.airs
        ]
        return EpisodeFacts(
            text=puzzle.text,
            title=held.title or puzzle.title,
            credit=None if setter is None else setter.credit,
            licence=puzzle.licence,
            cleared=puzzle.cleared,
            permission=said[0],
            permission_on=said[1],
            permission_words=said[2],
            airs=held.airs,
            next_airs=after[0] if after else None,
            link=held.link,
            how=held.how,
            log=logs[0]["log"] if logs else None,
        )

    def plan(
        self, puzzle: int, airs: str, *, title: str = "", pinned: bool = False, remarks: str = ""
    ) -> ShelfEpisode:
        """
        Plan a puzzle to air.

        Args:
            puzzle: Its number.
            airs: A day, or RFC 3339 with its offset.
            title: The episode's own; empty for the puzzle's.
            pinned: Whether a plan must leave it where it is.
            remarks: The host's own.

        Raises:
            NotAllowedError: It may not air, is known to be no good puzzle, or is planned already.
        """
        held = self._shelf.puzzles.get(puzzle)
        self._may_air(held)
        if held.verdict in ("none", "many"):
            what = f"p{puzzle} has {'no solution' if held.verdict == 'none' else 'more than one solution'}"
            raise NotAllowedError(Problem(what, "Have it mended before it is planned"))
        if planned := self.all(state=State.PLANNED, puzzle=puzzle):
            what = f"p{puzzle} is planned already: e{planned[0].id}, {planned[0].airs}"
            raise NotAllowedError(Problem(what, "Move that episode instead"))
        row = {
            "puzzle": puzzle,
            "state": State.PLANNED,
            "airs": checking.moment(airs, "airs"),
            "title": checking.line(title, "title"),
            "pinned": pinned,
            "remarks": checking.words(remarks, "remarks"),
            "added": checking.now(),
        }
        with self._shelf.deed(f"{held.title or f'p{puzzle}'} was planned for {_told(airs)}") as deed:
            return self.get(deed.insert("episode", columns(row)))

    def move(self, number: int, airs: str, *, pinned: bool | None = None) -> ShelfEpisode:
        """
        Move a planned episode to another time, and pin it there or not.

        Raises:
            NotAllowedError: It is not planned, or may not air any more.
        """
        self._planned(number)
        changed: dict[str, object] = {"airs": checking.moment(airs, "airs")}
        if pinned is not None:
            changed["pinned"] = pinned
        with self._shelf.deed(f"{self._name(number)} was moved to {_told(airs)}") as deed:
            deed.update("episode", number, columns(changed))
            return self.get(number)

    def pin(self, number: int, pinned: bool = True) -> ShelfEpisode:
        """Pin a planned episode to its time, or let it go."""
        self._planned(number)
        with self._shelf.deed(f"{self._name(number)} was {'pinned' if pinned else 'unpinned'}") as deed:
            deed.update("episode", number, {"pinned": int(pinned)})
            return self.get(number)

    def record(self, number: int, how: How) -> ShelfEpisode:
        """
        Say that a planned episode was recorded.

        Raises:
            NotAllowedError: It is not planned.
        """
        self._planned(number)
        with self._shelf.deed(f"{self._name(number)} was recorded") as deed:
            deed.update("episode", number, {"state": State.RECORDED.value, "how": how})
            return self.get(number)

    def record_unplanned(self, puzzle: int, how: How) -> ShelfEpisode:
        """Say that a puzzle was recorded that was never planned; it needs permission to be published."""
        held = self._shelf.puzzles.get(puzzle)
        row = {"puzzle": puzzle, "state": State.RECORDED, "how": how, "added": checking.now()}
        with self._shelf.deed(f"{held.title or f'p{puzzle}'} was recorded") as deed:
            return self.get(deed.insert("episode", columns(row)))

    def publish(self, number: int, link: str, *, airs: str | None = None) -> ShelfEpisode:
        """
        Say that a recorded episode was published.

        Args:
            number: The episode.
            link: Where it can be seen.
            airs: When it was; None leaves what was planned, or is today where nothing was.

        Raises:
            NotAllowedError: It was not recorded, or may not air.
        """
        held = self.get(number)
        if held.state is not State.RECORDED:
            what = f"e{number} is {held.state}, not recorded"
            raise NotAllowedError(Problem(what, "Say first that it was recorded, blind or rehearsed"))
        self._may_air(self._shelf.puzzles.get(held.puzzle))
        changed: dict[str, object] = {
            "state": State.PUBLISHED,
            "link": checking.link(link, "link"),
            "airs": checking.moment(airs, "airs") if airs else held.airs or checking.today(),
        }
        with self._shelf.deed(f"{self._name(number)} was published") as deed:
            deed.update("episode", number, columns(changed))
            return self.get(number)

    def change(
        self, number: int, *, title: str | None = None, link: str | None = None, remarks: str | None = None
    ) -> ShelfEpisode:
        """Change what is known of an episode; None leaves a field as it is."""
        self.get(number)
        changed = {
            "title": None if title is None else checking.line(title, "title"),
            "link": None if link is None else checking.link(link, "link"),
            "remarks": None if remarks is None else checking.words(remarks, "remarks"),
        }
        with self._shelf.deed(f"{self._name(number)} was changed") as deed:
            deed.update("episode", number, {name: new for name, new in changed.items() if new is not None})
            return self.get(number)

    def remove(self, number: int) -> None:
        """Take an episode off the shelf; its recordings stay with the puzzle, and it can be taken back."""
        with self._shelf.deed(f"{self._name(number)} was removed") as deed:
            for row in self._shelf.rows("SELECT id FROM recording WHERE episode = ?", (number,)):
                deed.update("recording", row["id"], {"episode": None})
            deed.delete("episode", number)

    def _planned(self, number: int) -> None:
        held = self.get(number)
        if held.state is not State.PLANNED:
            raise NotAllowedError(Problem(f"e{number} is {held.state}, not planned", "Name a planned one"))

    def _name(self, number: int) -> str:
        held = self.get(number)
        title = held.title or self._shelf.puzzles.get(held.puzzle).title
        return f"episode e{number}{f', {title},' if title else ''}"

    @staticmethod
    def _may_air(held: ShelfPuzzle) -> None:
        if not held.cleared:
            told = held.permission.replace("-", " ")
            what = f"p{held.id} has no permission to air: {told}"
            say = f"saywhy shelf permit p{held.id} granted --on DAY --words TEXT"
            mend = f"When its setter agrees, record it: {say}"
            raise NotAllowedError(Problem(what, mend))


def _told(airs: str) -> str:
    """Give a time of airing as a deed tells it."""
    return checking.moment(airs, "airs").replace("T", ", ")
