"""The least effort path from a position on: swept, traced back to what it rests on, put in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from time import perf_counter

from saywhy.reasoning.easier import lightened
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.needless import spared
from saywhy.reasoning.order import in_order, openings, to_tell
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step
from saywhy.reasoning.sweep import Sweep, Sweeper
from saywhy.reasoning.trace import Trace


@dataclass(frozen=True)
class Walk:
    """
    The steps of a solve.

    Attributes:
        frame: The puzzle made ready.
        start: Where it starts.
        steps: In order; each rests on the start and earlier steps alone.
        openings: For each step, how many steps of no more effort were ready beside it (itself included).
        complete: Whether the steps fill the grid.
    """

    frame: Frame
    start: Position
    steps: tuple[Step, ...]
    openings: tuple[int, ...]
    complete: bool


class Walker:
    """Walks a puzzle, least effort first."""

    def __init__(self, frame: Frame, solution: Sequence[int] | None = None) -> None:
        self.frame = frame
        self.sweeper = Sweeper(frame, solution)

    def walk(self, seconds: float | None = None, start: Position | None = None) -> Walk:
        """
        Walk to the end, or to where nothing more is seen.

        Args:
            seconds: Wall time after which nothing more is looked for; None for no limit.
            start: Where to start; the givens alone where None.
        """
        begin = Position.opening(self.frame) if start is None else start
        until = None if seconds is None else perf_counter() + seconds
        sweep = self.sweeper.sweep(begin, seconds)
        retell = self.sweeper.stories.again

        def told(sweep: Sweep) -> list[Step]:
            return in_order(begin, Trace(self.frame, sweep).steps(), retell)

        def lighter(steps: list[Step]) -> list[Step]:
            return lightened(self.sweeper.looks, begin, steps, retell)

        path = told(sweep)
        if sweep.end.complete:
            path = spared(self.sweeper, sweep, path, told, until)
        # Lighter steps make for another order, and in that some are lighter still; a third time gives little.
        path = to_tell(begin, lighter(in_order(begin, lighter(path), retell)), retell)
        return Walk(self.frame, begin, tuple(path), tuple(openings(begin, path)), sweep.end.complete)
