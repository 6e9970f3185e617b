"""One run over an inbox: what the journal knows already, what is new, and how far it has come."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from time import monotonic

from saywhy.errors import NotAllowedError, Problem
from saywhy.inbox.arrivals import arrivals
from saywhy.inbox.journal import Journal
from saywhy.inbox.judgement import Arrival, Judgement, Limits
from saywhy.inbox.judging import MADE
from saywhy.inbox.pool import Pool


@dataclass
class Progress:
    """
    How far a run has come.

    Attributes:
        total: Puzzles in the inbox.
        known: Of these, judged by an earlier run.
        judged: Judged by this run.
        seconds: Wall time since the first was handed out.
    """

    total: int = 0
    known: int = 0
    judged: int = 0
    seconds: float = 0.0

    @property
    def rate(self) -> float:
        """Puzzles a second; 0 before the first."""
        return self.judged / self.seconds if self.judged and self.seconds else 0.0

    @property
    def left_s(self) -> float | None:
        """Seconds that are left at this rate; None before the first."""
        return (self.total - self.known - self.judged) / self.rate if self.rate else None


@dataclass
class Inbox:
    """
    An inbox that was judged.

    Attributes:
        folder: Where it lies.
        judgements: One for each arrival, in the order of the names.
        progress: What this run did.
        earlier: Judgements that an earlier run had left.
        stale: Of these, how many no longer held: the file has changed, or may now take more.
        torn: Bytes of a judgement that a kill had cut short.
        spoilt: Lines of the journal that did not read.
    """

    folder: Path
    judgements: list[Judgement] = field(default_factory=list)
    progress: Progress = field(default_factory=Progress)
    earlier: int = 0
    stale: int = 0
    torn: int = 0
    spoilt: int = 0


def run(
    folder: Path,
    output: Path,
    pool: Pool,
    limits: Limits,
    tell: Callable[[Inbox], None] = lambda _: None,
) -> Inbox:
    """
    Judge what lies in a folder; what an earlier run judged is not judged again.

    Args:
        folder: The inbox.
        output: Where the journal is kept.
        pool: What judges.
        limits: What one file may take.
        tell: Told at the start and after each judgement.

    Raises:
        NotAllowedError: The inbox is no folder, or another run is at it.
        UnreadableError: The journal cannot be written.
    """
    if folder.is_file():
        mend = "Name the folder that it lies in; saywhy check judges a single file"
        raise NotAllowedError(Problem("this is a file and no folder", mend), str(folder))
    if not folder.is_dir():
        raise NotAllowedError(
            Problem("there is no such folder", "Name a folder of puzzle files"), str(folder)
        )
    if output.resolve() == folder.resolve():
        problem = Problem("table and letters would lie among the post", "Name another folder with --output")
        raise NotAllowedError(problem, str(output))
    with Journal(output) as journal:
        found = Inbox(folder, earlier=len(journal), torn=journal.torn, spoilt=journal.spoilt)
        order: list[tuple[str, int | None]] = []
        waiting: list[tuple[str, int | None]] = []
        for arrival in arrivals(folder):
            order.append((arrival.file, arrival.line))
            before = journal.get(arrival.file, arrival.line)
            if before is None or not holds(before, arrival, limits):
                found.stale += before is not None
                waiting.append(order[-1])
        found.progress.total = len(order)
        found.progress.known = len(order) - len(waiting)
        tell(found)
        begun = monotonic()
        for judgement in pool.judge(_again(folder, set(waiting)), limits):
            journal.keep(judgement)
            found.progress.judged += 1
            found.progress.seconds = monotonic() - begun
            tell(found)
        judged = (journal.get(*name) for name in order)
        found.judgements = [judgement for judgement in judged if judgement is not None]
    return found


def holds(before: Judgement, arrival: Arrival, limits: Limits) -> bool:
    """Say whether an earlier judgement still tells all that is asked."""
    if before.digest != arrival.digest or before.made != MADE:
        return False
    may_more = limits.seconds > before.limits.seconds or limits.memory_mb > before.limits.memory_mb
    if may_more and before.verdict == "undecided":
        return False
    lacks = before.verdict == "unique" and before.effort is None and limits.effort
    return not (lacks and (may_more or not before.limits.effort))


def _again(folder: Path, waiting: set[tuple[str, int | None]]) -> Iterator[Arrival]:
    """Give the arrivals that wait, read anew: all of an inbox need not fit into memory."""
    if not waiting:
        return
    for arrival in arrivals(folder):
        if (arrival.file, arrival.line) in waiting:
            yield arrival
