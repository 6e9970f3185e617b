"""Recorded solves that are kept with a puzzle, and their reviews."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from saywhy.errors import NotAllowedError, Problem
from saywhy.files import read_text
from saywhy.recording import Recording, belongs, read_bytes, written
from saywhy.shelf import checking
from saywhy.shelf.absent import absent
from saywhy.shelf.rows import columns, value
from saywhy.shelf.values import ShelfRecording, ShelfReview

if TYPE_CHECKING:
    from saywhy.shelf.shelf import Shelf


class Recordings:
    """The recordings of a shelf and their reviews."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf

    def all(self, *, puzzle: int | None = None, episode: int | None = None) -> list[ShelfRecording]:
        """Give the recordings of a puzzle or an episode, or all, the first first."""
        rows = self._shelf.rows(
            "SELECT * FROM recording WHERE (?1 IS NULL OR puzzle = ?1) AND (?2 IS NULL OR episode = ?2)"
            " ORDER BY started, id",
            (puzzle, episode),
        )
        return [value(row, ShelfRecording) for row in rows]

    def get(self, number: int) -> ShelfRecording:
        """
        Give one recording.

        Raises:
            NotAllowedError: There is none of this number.
        """
        rows = self._shelf.rows("SELECT * FROM recording WHERE id = ?", (number,))
        if not rows:
            raise absent(self._shelf.rows, "recording", number)
        return value(rows[0], ShelfRecording)

    def keep(self, puzzle: int, log: bytes, *, episode: int | None = None) -> ShelfRecording:
        """
        Keep a recorded solve with its puzzle.

        Args:
            puzzle: The puzzle that was solved.
            log: The recording, JSON Lines; a last line that breaks off is left out.
            episode: The episode that it was recorded for.

        Raises:
            SaywhyError: Not a recording, not of this puzzle, or the episode is another puzzle's.
        """
        held = self._shelf.puzzles.get(puzzle)
        recording = read_bytes(log, salvage=True)
        belongs(recording, read_text(held.text)[0])
        if episode is not None and self._shelf.episodes.get(episode).puzzle != puzzle:
            what = f"e{episode} is not an episode of p{puzzle}"
            raise NotAllowedError(Problem(what, "Name the puzzle's own episode"))
        row = {"puzzle": puzzle, "episode": episode, **told_of(recording), "added": checking.now()}
        with self._shelf.deed(f"a recording of {held.title or f'p{puzzle}'} was kept") as deed:
            return self.get(deed.insert("recording", columns(row)))

    def remove(self, number: int) -> None:
        """Take a recording off the shelf with its reviews; it can be taken back."""
        self.get(number)
        with self._shelf.deed(f"recording r{number} was removed") as deed:
            for held in self.reviews(number):
                deed.delete("review", held.id)
            deed.delete("recording", number)

    def reviews(self, recording: int | None = None) -> list[ShelfReview]:
        """Give the reviews of a recording, or all, the first first."""
        question = "SELECT * FROM review WHERE ?1 IS NULL OR recording = ?1 ORDER BY id"
        return [value(row, ShelfReview) for row in self._shelf.rows(question, (recording,))]

    def keep_review(self, recording: int, told: dict[str, Any]) -> ShelfReview:
        """Keep what ``review --json`` said of a recording."""
        self.get(recording)
        row = {"recording": recording, "told": told, "added": checking.now()}
        with self._shelf.deed(f"a review of recording r{recording} was kept") as deed:
            number = deed.insert("review", columns(row))
            return next(held for held in self.reviews(recording) if held.id == number)


def told_of(recording: Recording) -> dict[str, object]:
    """Give the columns that a recording itself fills."""
    return {
        "log": written(recording).decode(),
        "blind": recording.header.blind,
        "started": recording.header.started,
        "seconds": float(recording.acts[-1].t) if recording.acts else 0.0,
        "acts": len(recording.acts),
    }
