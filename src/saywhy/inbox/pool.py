"""Judge on this machine: a few processes, each ended where a file takes too long or too much memory."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, wait
from typing import Protocol

from saywhy.inbox.judgement import Arrival, Judgement, Limits

#: Arrivals handed out and not yet judged, for each process: what a kill costs at most.
AHEAD = 2
#: The number of the attempt that proves only.
LAST_ATTEMPT = 2
#: What the server of processes imports once for all of them.
PRELOADED = ["saywhy.inbox.judging", "saywhy.reasoning", "saywhy.setting.repair", "igraph"]


class Judge(Protocol):
    """As ``judging.judge``."""

    def __call__(self, arrival: Arrival, limits: Limits, *, attempt: int = 0) -> Judgement:
        """Judge an arrival."""


class Pool(Protocol):
    """Where arrivals are judged."""

    def judge(self, arrivals: Iterable[Arrival], limits: Limits) -> Iterator[Judgement]:
        """Judge arrivals; each gives one judgement, in whatever order they come to be known."""


class LocalPool:
    """
    Processes on this machine.

    Args:
        workers: How many.
        judge: What judges; another one in tests.
    """

    def __init__(self, workers: int, judge: Judge | None = None) -> None:
        self.workers = workers
        self._judge = judge

    def judge(self, arrivals: Iterable[Arrival], limits: Limits) -> Iterator[Judgement]:
        """
        Judge arrivals.

        A file whose process had to be ended is tried again with less to do, at last proof only; if that does
        not do either, its judgement says what happened.
        """
        from pebble import ProcessPool

        from saywhy.inbox.judging import judge

        forks = "forkserver" in multiprocessing.get_all_start_methods()
        context = multiprocessing.get_context("forkserver" if forks else "spawn")
        if forks:  # a process that takes the place of an ended one is there at once
            context.set_forkserver_preload(PRELOADED)
        with ProcessPool(
            max_workers=self.workers, context=context, initializer=confine, initargs=[limits.memory_mb]
        ) as pool:

            def hand_out(arrival: Arrival, attempt: int) -> Future[Judgement]:
                return pool.schedule(
                    self._judge or judge, [arrival, limits], {"attempt": attempt}, timeout=limits.last_s
                )

            try:
                yield from _flow(arrivals, limits, hand_out, self.workers * AHEAD)
            finally:
                pool.stop()  # type: ignore[no-untyped-call]


def _flow(
    arrivals: Iterable[Arrival],
    limits: Limits,
    hand_out: Callable[[Arrival, int], Future[Judgement]],
    ahead: int,
) -> Iterator[Judgement]:
    """Keep a few arrivals handed out, and try again those whose process had to be ended."""
    coming = iter(arrivals)
    out: dict[Future[Judgement], tuple[Arrival, list[BaseException]]] = {}
    more = True
    while more or out:
        while more and len(out) < ahead:
            arrival = next(coming, None)
            if arrival is None:
                more = False
            else:
                out[hand_out(arrival, 0)] = arrival, []
        for done in wait(out, return_when=FIRST_COMPLETED).done:
            arrival, errors = out.pop(done)
            error = done.exception()
            if error is None:
                yield done.result()
                continue
            errors.append(error)
            if len(errors) <= LAST_ATTEMPT:
                out[hand_out(arrival, len(errors))] = arrival, errors
            else:
                # A process that died without a word may pass for one that hangs: what was said before counts.
                said = (held for held in errors if not isinstance(held, TimeoutError))
                yield ended(arrival, limits, next(said, error))


def ended(arrival: Arrival, limits: Limits, error: BaseException) -> Judgement:
    """Give the judgement on an arrival whose process had to be ended, or broke down."""
    from saywhy.inbox.judging import MADE

    if isinstance(error, TimeoutError):
        why = f"ended after {limits.last_s:g} s: it did not stop by itself"
    elif isinstance(error, MemoryError):
        why = f"ended: it wanted more than {limits.memory_mb} MB of memory"
    else:
        why = f"its process broke down ({type(error).__name__})"
    return Judgement(
        file=arrival.file,
        line=arrival.line,
        digest=arrival.digest,
        verdict="undecided",
        why=why,
        limits=limits,
        made=MADE,
    )


def confine(memory_mb: int) -> None:
    """Let this process have so much memory and no more; where the system cannot, let it be."""
    try:
        import resource
    except ImportError:
        return
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the run, which ends its processes
    if memory_mb:
        most = memory_mb << 20
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
