"""Solving by looks alone, up to a band of effort: no what-ifs, no trials."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from saywhy.puzzle import Puzzle
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position
from saywhy.reasoning.sweep import Sweeper
from saywhy.setting.compose.sketch import EFFORTS


class Looks:
    """
    A puzzle, its givens left aside, that is solved by looks as often as one likes.

    Looks keep what they have shown, so a second solve that differs in a given or two costs little.
    """

    def __init__(self, puzzle: Puzzle, efforts: Sequence[str]) -> None:
        self.frame = Frame(puzzle)
        self._sweeper = Sweeper(self.frame)
        hardest = max(EFFORTS.index(name) for name in efforts)
        self._sweeper.looks = self._sweeper.looks[: 2 + hardest]
        self._sweeper.searches = []

    def opening(self, givens: Mapping[int, int]) -> Position:
        """Give the position with these givens, cell and digit, and nothing else."""
        position = Position(self.frame)
        for cell, digit in givens.items():
            position.place(cell, digit)
        return position

    def end(self, start: Position) -> Position:
        """Give the position in which looks come to rest."""
        return self._sweeper.sweep(start).end

    def rest(self, domains: Sequence[int], fixed: Iterable[tuple[int, int]] = ()) -> int | None:
        """
        Say how many digits too many are left when the engine's propagators alone come to rest.

        Args:
            domains: One mask a cell.
            fixed: Cells and digits placed beforehand.

        Returns:
            None where that is a contradiction.
        """
        start = list(domains)
        for cell, digit in fixed:
            start[cell] &= 1 << (digit - 1)
        if not all(start):
            return None
        left, _, _ = self.frame.model.native.supports(None, start, 0)
        return sum(map(int.bit_count, left)) - len(left) if all(left) else None
