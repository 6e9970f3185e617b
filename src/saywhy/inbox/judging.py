"""Judge one arrival. Runs in a process of its own: what it reads comes from strangers."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from time import monotonic
from typing import Any

import msgspec

from saywhy import __version__
from saywhy.files.source import entries_of
from saywhy.inbox.judgement import MOST_CELLS, Arrival, Judgement, Limits, Spoils, Verdict, seal
from saywhy.puzzle import Puzzle
from saywhy.sameness import FORM

#: Which release judges, and in which form it writes keys.
MADE = f"{__version__} keys {FORM}"
#: The most seconds for what a setter is told about a puzzle that is not fit.
HELP_S = 4.0
#: More changes than these are not worth proposing.
MOST_CHANGES = 4


def judge(arrival: Arrival, limits: Limits, *, attempt: int = 0) -> Judgement:
    """
    Judge an arrival within its limits.

    Args:
        arrival: What came.
        limits: What it may take; time is looked at between and within the steps, but a process that does
            not return has to be ended from outside.
        attempt: 0 judges in full; 1, after that had to be ended, leaves out effort and help; 2 proves only.
    """
    begun = monotonic()
    entry = next(iter(entries_of(BytesIO(arrival.data), "puzzle.toml")), None)
    known = Judgement(
        file=arrival.file,
        line=arrival.line,
        digest=arrival.digest,
        verdict="unreadable",
        problems=arrival.problems,
        limits=limits,
        made=MADE,
    )
    if arrival.problems or entry is None:
        return known
    if entry.puzzle is None:
        problems = () if entry.error is None else tuple(entry.error.problems)
        return msgspec.structs.replace(known, problems=problems, seconds=monotonic() - begun)
    work = _Work(entry.puzzle, limits, begun, attempt)
    verdict = work.run()
    return msgspec.structs.replace(
        known, verdict=verdict, **work.found, seconds=round(monotonic() - begun, 4)
    )


class _Work:
    """
    One judging.

    Attributes:
        found: Fields of the judgement, filled as they come to be known.
    """

    def __init__(self, puzzle: Puzzle, limits: Limits, begun: float, attempt: int) -> None:
        from saywhy.terminal.about import rule_titles

        self.puzzle = puzzle
        self.limits = limits
        self.attempt = attempt
        self.until = begun + limits.seconds
        self.found: dict[str, Any] = {
            "title": puzzle.title,
            "setter": puzzle.setter,
            "size": puzzle.grid.size,
            "rules": rule_titles(puzzle),
        }

    @property
    def left(self) -> float:
        """Seconds left, a little at least: a budget of none would be refused."""
        return max(self.until - monotonic(), 0.01)

    def run(self) -> Verdict:
        """Fill ``found`` and give the verdict."""
        from saywhy.engine import Budget, prove

        proof = prove(self.puzzle, Budget(seconds=self.left))
        if proof.verdict == "undecided":
            self.found["why"] = f"not proved in {self.limits.seconds:g} s"
        if self.attempt < 2:
            with self._apart("it could not be compared with others"):
                self._keys()
        if self.attempt:
            self.found["why"] = self.found.get("why") or "the rest of its judging broke off"
        elif proof.verdict == "unique" and self.limits.effort:
            with self._apart("its effort could not be measured"):
                self._effort()
        elif proof.verdict == "none":
            with self._apart("what clashes could not be found"):
                self._clash()
        if proof.solution is not None and proof.other is not None:
            self._differ(proof.solution, proof.other)
        return proof.verdict

    @contextmanager
    def _apart(self, lost: str) -> Iterator[None]:
        """Keep what is known where a part beyond the proof fails: a defect is told, and costs itself."""
        try:
            yield
        except Exception as error:
            self.found["why"] = f"{lost}: {type(error).__name__}"

    def _keys(self) -> None:
        from saywhy.sameness import keys

        known = keys(self.puzzle)
        self.found |= {"same": known.same, "near": known.near}

    def _effort(self) -> None:
        from saywhy.engine import Budget
        from saywhy.reasoning import explain

        path = explain(self.puzzle, Budget(seconds=self.left), seconds=self.left)
        if path.complete and path.effort is not None:
            self.found["effort"] = path.effort.as_json()
        else:
            self.found["why"] = "no path to the end was found in the time allowed"

    def _clash(self) -> None:
        from saywhy.engine import Budget, conflict
        from saywhy.terminal.verdict import members_named

        clash = conflict(self.puzzle, Budget(seconds=min(self.left, HELP_S)))
        if clash is not None and clash.minimal:
            self._spoil(Spoils(clash=tuple(members_named(self.puzzle, clash)), smallest=clash.smallest))

    def _differ(self, one: tuple[int, ...], other: tuple[int, ...]) -> None:
        grid = self.puzzle.grid
        pairs = enumerate(zip(one, other, strict=True))
        differ = [f"{grid.name(cell)}: {a} or {b}" for cell, (a, b) in pairs if a != b]
        self.found["differ"] = len(differ)
        spoils = Spoils(differ=tuple(differ[:MOST_CELLS]))
        if not self.attempt:
            with self._apart("no repair could be looked for"):
                repair, proved = self._repair()
                spoils = msgspec.structs.replace(spoils, repair=repair, proved=proved)
        self._spoil(spoils)

    def _repair(self) -> tuple[tuple[str, ...], bool]:
        """Give the fewest changes that settle it, in words; none where none were found in time."""
        from saywhy.setting.changes import shown
        from saywhy.setting.repair import repair

        found = repair(self.puzzle, most=1, effort=False, seconds=min(self.left, HELP_S))
        if not found.proposals or len(found.proposals[0].changes) > MOST_CHANGES:
            return (), False
        return tuple(shown(change, self.puzzle) for change in found.proposals[0].changes), found.proved

    def _spoil(self, spoils: Spoils) -> None:
        self.found["sealed"] = seal(spoils)
