"""Where a solve stands: digits placed, marks written down, and what placed digits strike out at sight."""

from __future__ import annotations

from collections.abc import Mapping

from saywhy.reasoning.frame import Frame, bits
from saywhy.reasoning.step import Step


class Position:
    """
    A position in the solve of a frame's puzzle.

    Two sorts of knowledge are kept apart. *Marks* are what steps have written down. What a placed
    digit strikes out of the cells that see it needs no writing down: a listener sees it on the board.

    Attributes:
        frame: The puzzle made ready.
        placed: One digit a cell, 0 where none.
        marks: Candidates that no step has struck out (givens count as steps).
        candidates: The marks less all that placed digits strike out at sight.
    """

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.placed = [0] * len(frame.grid.cells)
        self.marks = self.candidates = frame.candidates([frame.full] * len(frame.grid.cells))

    @classmethod
    def opening(cls, frame: Frame) -> Position:
        """Give the position with the givens placed and nothing else."""
        position = cls(frame)
        for cell, digit in enumerate(frame.puzzle.givens):
            if digit:
                position.place(cell, digit)
        return position

    def copy(self) -> Position:
        """Give an independent copy."""
        other = Position.__new__(Position)
        other.frame, other.placed = self.frame, list(self.placed)
        other.marks, other.candidates = self.marks, self.candidates
        return other

    def by_sight(self) -> Position:
        """Give a copy without the marks of what placed digits strike out at sight."""
        other = self.copy()
        other.marks |= self.seen & ~self.taken
        return other

    def place(self, cell: int, digit: int) -> None:
        """Place a digit; what it strikes out at sight goes from the candidates."""
        frame = self.frame
        lone = ~(frame.full << (cell * frame.n)) | 1 << (cell * frame.n + digit - 1)
        self.placed[cell] = digit
        self.marks &= lone
        self.candidates &= lone & ~frame.kills[cell * frame.n + digit - 1]

    def remove(self, removed: Mapping[int, int]) -> None:
        """Write down that these digits (a mask for each cell) are gone."""
        gone = sum(mask << (cell * self.frame.n) for cell, mask in removed.items())
        self.marks &= ~gone
        self.candidates &= ~gone

    def apply(self, step: Step) -> None:
        """Take a step."""
        self.remove(step.removes)
        for cell, digit in step.places.items():
            self.place(cell, digit)

    def domain(self, cell: int) -> int:
        """Give the mask of digits left in a cell."""
        return self.candidates >> (cell * self.frame.n) & self.frame.full

    def domains(self) -> list[int]:
        """Give the mask of digits left, for each cell."""
        return self.frame.domains(self.candidates)

    @property
    def complete(self) -> bool:
        """Whether every cell has its digit."""
        return all(self.placed)

    @property
    def broken(self) -> bool:
        """Whether some cell has no digit left."""
        return not all(self.domains())

    @property
    def seen(self) -> int:
        """The candidates that placed digits strike out of other cells at sight, as a set."""
        n, kills = self.frame.n, self.frame.kills
        found = 0
        for cell, digit in enumerate(self.placed):
            if digit:
                found |= kills[cell * n + digit - 1]
        return found

    @property
    def taken(self) -> int:
        """All candidates of the cells that have a digit, as a set."""
        n, full = self.frame.n, self.frame.full
        return sum(full << (cell * n) for cell, digit in enumerate(self.placed) if digit)

    def new(self, candidates: int) -> dict[int, int]:
        """Give those of these candidates that are still open, as a mask for each cell."""
        found: dict[int, int] = {}
        for candidate in bits(candidates & self.candidates):
            cell, place = divmod(candidate, self.frame.n)
            found[cell] = found.get(cell, 0) | 1 << place
        return found
