"""The least effort path from a position on: swept, traced back to what it rests on, put in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from time import perf_counter

from saywhy.reasoning.easier import lightened
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.needless import spared
from saywhy.reasoning.order import Steps, in_order, to_tell
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

        def told(sweep: Sweep) -> Steps:
            return in_order(begin, Trace(self.frame, sweep).steps(), self.sweeper.stories.again)

        path = told(sweep)
        if sweep.end.complete:
            path = spared(self.sweeper, sweep, path, told, until)
        light = lightened(self.sweeper.looks, begin, path[0])
        steps, openings = to_tell(begin, light, self.sweeper.stories.again)
        return Walk(self.frame, begin, tuple(steps), tuple(openings), sweep.end.complete)
