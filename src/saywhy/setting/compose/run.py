"""
Attempts one after another, by several processes, until enough puzzles are found or the time is over.

What is guaranteed: attempt number k comes to the same whatever the clock, the number of workers and the
other attempts do. Outcomes are handed on in the order of their numbers, so two runs differ at most in how far
they come; a find that has to wait for an earlier attempt is told of at once, for keeping, and handed on in
its turn.
"""

from __future__ import annotations

import multiprocessing
import signal
from collections import Counter
from collections.abc import Generator, Iterator
from dataclasses import dataclass, field
from queue import Empty, SimpleQueue
from time import monotonic

from saywhy.engine import Cancel
from saywhy.setting.compose.attempt import Attempt, attempt
from saywhy.setting.compose.sketch import Sketch

#: Attempts handed to each worker ahead of the one that it is at.
AHEAD = 2
#: How often the clock and the flag are looked at while attempts go on.
TICK_S = 0.2


@dataclass(frozen=True)
class Progress:
    """
    How far composing has come.

    Attributes:
        outcomes: How many attempts came to what, of those handed on.
        seconds: Wall time so far.
        fresh: What has just come in and may still have to wait for its turn; None where only time passed.
        found: The find whose turn it is; None where there is none.
        done: Whether this is the last word: enough was found, the time is over, it was cancelled, or it is
            proved that no grid keeps what is drawn.
    """

    outcomes: dict[str, int] = field(default_factory=dict)
    seconds: float = 0.0
    fresh: Attempt | None = None
    found: Attempt | None = None
    done: bool = False

    @property
    def tried(self) -> int:
        """How many attempts are over and handed on."""
        return sum(self.outcomes.values())


def compose(  # noqa: PLR0913 - one option an argument
    sketch: Sketch,
    *,
    seed: int = 1,
    count: int = 1,
    seconds: float | None = 60.0,
    workers: int = 0,
    most: int | None = None,
    cancel: Cancel | None = None,
) -> Generator[Progress, None, None]:
    """
    Make puzzles from a sketch; each find is proved to have one solution and a path without what-ifs.

    Closing the iterator stops the work at once.

    Args:
        sketch: What is drawn and wished.
        seed: The same seed gives the same attempts.
        count: How many puzzles are wanted.
        seconds: Wall time allowed; None for no limit.
        workers: Processes; 0 does the work in this one, between whose attempts the clock is looked at.
        most: Attempts allowed; None for no limit.
        cancel: A flag that stops the work from another thread.

    Yields:
        What has come in, and now and then that time has passed; the last one is ``done``.
    """
    begun = monotonic()
    end = None if seconds is None else begun + seconds
    turn = _Turn()

    def told(fresh: Attempt | None = None, found: Attempt | None = None, done: bool = False) -> Progress:
        return Progress(dict(turn.outcomes), monotonic() - begun, fresh, found, done)

    source = _here(sketch, seed, most) if workers == 0 else _apart(sketch, seed, most, workers)
    kept, over = 0, False
    try:
        while not over:
            came = next(source, _END)
            over = came is _END
            if isinstance(came, Attempt):
                yield told(fresh=came)
                for ended in turn.take(came):
                    if ended.outcome == "found":
                        kept += 1
                        yield told(found=ended)
                    if kept >= count or ended.outcome == "impossible":
                        over = True
                        break
            elif not over:
                yield told()
            late = end is not None and monotonic() >= end
            over = over or late or (cancel is not None and cancel.is_set)
    finally:
        source.close()
    yield told(done=True)


_END = object()


class _Turn:
    """
    Attempts put back in order.

    Attributes:
        outcomes: How many of those handed on came to what.
    """

    def __init__(self) -> None:
        self.outcomes: Counter[str] = Counter()
        self._next = 1
        self._waiting: dict[int, Attempt] = {}

    def take(self, came: Attempt) -> Iterator[Attempt]:
        """Take one that is over, and give those whose turn it now is."""
        self._waiting[came.number] = came
        while (over := self._waiting.pop(self._next, None)) is not None:
            self._next += 1
            self.outcomes[over.outcome] += 1
            yield over


def _here(sketch: Sketch, seed: int, most: int | None) -> Generator[Attempt | None, None, None]:
    """Give attempts made in this process."""
    number = 1
    while most is None or number <= most:
        yield attempt(sketch, seed, number)
        number += 1


def _apart(
    sketch: Sketch, seed: int, most: int | None, workers: int
) -> Generator[Attempt | None, None, None]:
    """Give attempts made by other processes as they come in; None where a while has passed without one."""
    came: SimpleQueue[Attempt | BaseException] = SimpleQueue()
    pool = multiprocessing.get_context("spawn").Pool(workers, _begin, (sketch, seed))
    try:
        number, running = 1, 0
        while True:
            while running < workers * AHEAD and (most is None or number <= most):
                pool.apply_async(_attempt, (number,), callback=came.put, error_callback=came.put)
                number, running = number + 1, running + 1
            if not running:
                return
            try:
                found = came.get(timeout=TICK_S)
            except Empty:
                yield None
                continue
            running -= 1
            if isinstance(found, BaseException):
                raise found
            yield found
    finally:
        pool.terminate()
        pool.join()


_work: list[tuple[Sketch, int]] = []


def _begin(sketch: Sketch, seed: int) -> None:
    """Make a worker ready; Ctrl-C is its parent's business."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _work[:] = [(sketch, seed)]


def _attempt(number: int) -> Attempt:
    sketch, seed = _work[0]
    return attempt(sketch, seed, number)
