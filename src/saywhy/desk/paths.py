"""The path of a puzzle for the pages: as a card that spoils nothing, and whole once it is revealed."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING, Any

import msgspec

from saywhy.files import puzzle_id
from saywhy.puzzle import Puzzle
from saywhy.rules_text import ground_spoken, rules_text

if TYPE_CHECKING:
    from saywhy.reasoning.explain import Path

#: Paths kept in memory.
MOST = 32


class Read(msgspec.Struct, frozen=True, kw_only=True):
    """
    One rule read out.

    Attributes:
        title: Its name for people.
        text: What is said.
        cells: What to light up meanwhile, row by row from 0; empty for the rule of the grid itself.
    """

    title: str
    text: str
    cells: list[int]


class Fit(msgspec.Struct, frozen=True, kw_only=True):
    """
    The card that says whether a puzzle is fit to air; nothing in it names a cell, a digit or a beginning.

    Attributes:
        verdict: ``unique``, ``none``, ``many`` or ``undecided``.
        complete: Whether the path fills the grid.
        effort: The profile; None where there is no path.
        climb: Effort of each beat in order, its hardest step counting.
        rules: The rules as they are read out.
        rules_s: How long that takes.
    """

    verdict: str
    complete: bool
    effort: dict[str, Any] | None
    climb: list[float]
    rules: list[Read]
    rules_s: float


class Paths:
    """Paths by puzzle, each worked out once at a time."""

    def __init__(self) -> None:
        self._held: OrderedDict[str, Path] = OrderedDict()
        self._working = Lock()

    def path(self, puzzle: Puzzle) -> Path:
        """Give the path of a puzzle; the first time this takes as long as ``explain``."""
        from saywhy.reasoning.explain import explain

        key = puzzle_id(puzzle)
        with self._working:
            if key not in self._held:
                self._held[key] = explain(puzzle)
            self._held.move_to_end(key)
            while len(self._held) > MOST:
                self._held.popitem(last=False)
            return self._held[key]

    def fit(self, puzzle: Puzzle) -> Fit:
        """Give the card of a puzzle."""
        path = self.path(puzzle)
        climb: dict[int, float] = {}
        for step in path.steps:
            climb[step.beat] = max(climb.get(step.beat, 0.0), step.step.effort)
        told = rules_text(puzzle)
        return Fit(
            verdict=path.verdict,
            complete=path.complete,
            effort=path.effort.as_json() if path.effort else None,
            climb=[round(climb[beat], 2) for beat in sorted(climb)],
            rules=rules_read(puzzle),
            rules_s=round(told.seconds, 1),
        )

    def revealed(self, puzzle: Puzzle) -> dict[str, Any]:
        """Give the whole path with its beats; it spoils everything."""
        path = self.path(puzzle)
        return {**path.as_json(""), "beats": list(path.beats)}


def rules_read(puzzle: Puzzle) -> list[Read]:
    """Give the rules of a puzzle as they are read to viewers, each with what to light up."""
    told = rules_text(puzzle)
    return [
        Read(title="The grid", text=ground_spoken(puzzle.grid), cells=[]),
        *(Read(title=held.title, text=held.spoken, cells=list(held.cells)) for held in told.examples),
    ]
