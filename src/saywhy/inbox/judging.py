"""Judge one arrival. Runs in a process of its own: what it reads comes from strangers."""

from __future__ import annotations

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


def judge(arrival: Arrival, limits: Limits, *, lean: bool = False) -> Judgement:
    """
    Judge an arrival within its limits.

    Args:
        arrival: What came.
        limits: What it may take; time is looked at between and within the steps, but a process that does
            not return has to be ended from outside.
        lean: Prove only, in half the time: for the second try of one that had to be ended.
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
    work = _Work(entry.puzzle, limits, begun, lean=lean)
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

    def __init__(self, puzzle: Puzzle, limits: Limits, begun: float, *, lean: bool) -> None:
        from saywhy.terminal.about import rule_titles

        self.puzzle = puzzle
        self.limits = limits
        self.lean = lean
        self.until = begun + limits.seconds * (0.5 if lean else 1)
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

        if not self.lean:
            from saywhy.sameness import keys

            known = keys(self.puzzle)
            self.found |= {"same": known.same, "near": known.near}
        proof = prove(self.puzzle, Budget(seconds=self.left))
        if proof.verdict == "undecided":
            self.found["why"] = f"not proved in {self.limits.seconds:g} s"
        elif proof.verdict == "unique":
            self._effort()
        elif proof.verdict == "none":
            self._clash()
        elif proof.solution is not None and proof.other is not None:
            self._differ(proof.solution, proof.other)
        return proof.verdict

    def _effort(self) -> None:
        if not self.limits.effort or self.lean:
            self.found["why"] = "its path broke off" if self.lean else ""
            return
        from saywhy.engine import Budget
        from saywhy.reasoning import explain

        path = explain(self.puzzle, Budget(seconds=self.left), seconds=self.left)
        if path.complete and path.effort is not None:
            self.found["effort"] = path.effort.as_json()
        else:
            self.found["why"] = "no path to the end was found in the time allowed"

    def _clash(self) -> None:
        if self.lean:
            return
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
        repair, proved = ((), False) if self.lean else self._repair()
        self._spoil(Spoils(differ=tuple(differ[:MOST_CELLS]), repair=repair, proved=proved))

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
