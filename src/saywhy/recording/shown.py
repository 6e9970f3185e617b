"""
What has been shown so far: the givens, what was placed with a reason, and what is open by one look.

An *opening* is a digit that one look at a house, at a cell, at a relation of the grid or at a single clue
forces, given the digits that stand with a reason and the solver's own notes. For each cell the first moment
at which its digit was open is kept.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from saywhy.reasoning.effort import weighed
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Find, Step
from saywhy.reasoning.sweep import Sweeper

#: The act by which what the givens alone show was opened.
START = -1


@dataclass(frozen=True)
class Opening:
    """
    A digit open by one look.

    Attributes:
        since: When it opened, seconds.
        act: Index of the act that opened it; ``START`` where the givens alone do.
        step: The look; None where the digit was not open by one look.
    """

    since: float
    act: int
    step: Step | None = None

    @property
    def effort(self) -> float:
        """The effort of that look when it opened, in glances."""
        return 0.0 if self.step is None else self.step.effort


class Shown:
    """
    What has been shown up to a moment of a recording.

    Attributes:
        position: The digits that have been shown, with the marks of their reasons and of true notes.
        plain: The same digits with the marks of notes alone: what anybody sees who looks at the board.
        start: That position before anything was written.
        openings: By cell, the first opening of its digit in the plain position; kept once the digit stands.
        opened: By cell, the finds of one look that are open in the plain position.
    """

    def __init__(self, sweeper: Sweeper) -> None:
        self.sweeper, self.frame = sweeper, sweeper.frame
        frame = self.frame
        self.position = Position.opening(frame)
        self.plain = self.start = Position.opening(frame)
        self.openings: dict[int, Opening] = {}
        self.opened: dict[int, list[Find]] = {}
        #: What one look shows with earlier marks in mind, for the position it was asked of last.
        self._recalled: tuple[tuple[int, int, tuple[int, ...]], dict[int, list[Find]]] | None = None
        self.look(0.0, START)

    def place(self, cell: int, digit: int, steps: Sequence[Step] = ()) -> None:
        """Take over a digit that has been shown, with the marks that its reason wrote down."""
        self.mark(steps)
        self.position.place(cell, digit)
        self.plain = self.plain.copy()
        self.plain.place(cell, digit)

    def mark(self, steps: Sequence[Step]) -> None:
        """Take over marks that have been shown; digits among them are not on the board and stay marks."""
        self.position = self.position.copy()
        for step in steps:
            self.position.remove(step.struck(self.frame.full))

    def note(self, removed: Mapping[int, int], steps: Sequence[Step]) -> None:
        """Take over what a shown note of the solver strikes out, with what it rests on."""
        self.mark(steps)
        self.position.remove(removed)
        self.plain = self.plain.copy()
        self.plain.remove(removed)

    def look(self, t: float, act: int) -> None:
        """Look at the board anew and note what is open."""
        self.opened = self.one_look(self.plain)
        for cell, finds in self.opened.items():
            if cell not in self.openings:
                step = self.easiest(cell, finds[0].places[cell])
                self.openings[cell] = Opening(t, act, step)

    def remembered(self, cell: int, digit: int) -> Step | None:
        """Give the one look of least effort that places this digit, marks of earlier reasons counted in."""
        here = self.position.candidates, self.position.marks, tuple(self.position.placed)
        if self._recalled is None or self._recalled[0] != here:
            found: dict[int, list[Find]] = {}
            for find in chain.from_iterable(finder(self.position) for finder in self.sweeper.tiers[0]):
                for where in find.places:
                    found.setdefault(where, []).append(find)
            self._recalled = here, found
        return self.easiest(cell, digit, self._recalled[1])

    def one_look(self, position: Position) -> dict[int, list[Find]]:
        """Give, by cell, the finds of one look that place its digit."""
        found: dict[int, list[Find]] = {}
        for find in chain.from_iterable(finder(position) for finder in self.sweeper.tiers[0]):
            for cell in find.places:
                if not position.placed[cell]:
                    found.setdefault(cell, []).append(find)
        return found

    def easiest(self, cell: int, digit: int, opened: dict[int, list[Find]] | None = None) -> Step | None:
        """Give the one look of least effort that places this digit; None where it is not open."""
        finds = (self.opened if opened is None else opened).get(cell, [])
        steps = [weighed(self.sweeper.frame, find.build({})) for find in finds if find.places[cell] == digit]
        best = min(steps, key=lambda step: step.effort, default=None)
        return None if best is None else replace(best, places={cell: digit}, removes={})
