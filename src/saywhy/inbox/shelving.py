"""What the shelf knows of an inbox's puzzles, and how they come to stand on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from saywhy.inbox.arrivals import arrivals
from saywhy.inbox.judgement import Judgement
from saywhy.inbox.likeness import Likeness
from saywhy.inbox.run import Inbox
from saywhy.shelf.folder import usual_folder
from saywhy.shelf.shelf import FILE, Shelf
from saywhy.shelf.values import Judged


class OnShelf:
    """
    The shelf, asked by keys.

    Args:
        shelf: None where there is none.
    """

    def __init__(self, shelf: Shelf | None) -> None:
        self.shelf = shelf

    def alike(self, key: str, by: str) -> list[tuple[str, str]]:
        """Give title and setter's credit of the puzzles that share a key."""
        if self.shelf is None:
            return []
        found = self.shelf.puzzles.alike(key, "same" if by == "same" else "near")
        return [(held.title or f"p{held.id}", self._credit(held.setter)) for held in found]

    def _credit(self, setter: int | None) -> str:
        return "" if setter is None or self.shelf is None else self.shelf.setters.get(setter).credit


@contextmanager
def shelf_of(folder: Path | None, *, make: bool) -> Iterator[OnShelf]:
    """
    Open the shelf of a host's folder.

    Args:
        folder: None for the usual one.
        make: Whether to make one where there is none.

    Raises:
        SaywhyError: It cannot be opened.
    """
    place = usual_folder() if folder is None else folder
    if not make and not (place / FILE).exists():
        yield OnShelf(None)
        return
    with Shelf(place) as shelf:
        yield OnShelf(shelf)


def put(inbox: Inbox, likes: Sequence[Likeness], held: OnShelf) -> int:
    """
    Put the puzzles with exactly one solution on the shelf, those that are there or came before left out.

    Returns:
        How many were put there; it is one deed, and undone as one.
    """
    shelf = held.shelf
    fit = {
        (judgement.file, judgement.line): judgement
        for judgement, like in zip(inbox.judgements, likes, strict=True)
        if judgement.verdict == "unique" and not like.again
    }
    if shelf is None or not fit:
        return 0
    added = 0
    with shelf.deed(f"{len(fit)} of the inbox were put on the shelf"):
        for arrival in arrivals(inbox.folder):
            judgement = fit.get((arrival.file, arrival.line))
            if judgement is not None and judgement.digest == arrival.digest:
                text = arrival.data.decode("utf-8-sig")
                shelf.puzzles.add(text, source=judgement.name[:200], judged=_judged(judgement))
                added += 1
    return added


def _judged(judgement: Judgement) -> Judged:
    return Judged(verdict="unique", effort=judgement.effort, same=judgement.same, near=judgement.near)
