"""Check one puzzle: its proof and, where asked for, its effort or the clues that clash."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from saywhy.puzzle import Puzzle
from saywhy.terminal.lines import rows_json
from saywhy.terminal.waiting import waiting

if TYPE_CHECKING:
    from saywhy.engine import Conflict, Proof
    from saywhy.reasoning.profile import Profile


@dataclass(frozen=True)
class Checked:
    """
    What is known of a puzzle.

    Attributes:
        puzzle: The puzzle.
        source: Its file, as the user named it.
        proof: The verdict.
        effort: None where it was not asked for or there is no path to the end: half a path measures nothing.
        stuck: Whether it was asked for and no path to the end was found.
        clash: None where it was not asked for or there is a solution.
    """

    puzzle: Puzzle
    source: str
    proof: Proof
    effort: Profile | None = None
    stuck: bool = False
    clash: Conflict | None = None

    def as_json(self, *, effort: bool, reveal: bool) -> dict[str, Any]:
        """Give the object that ``check --json`` prints."""
        proof, grid = self.proof, self.puzzle.grid
        found: dict[str, Any] = {
            "file": self.source,
            "verdict": proof.verdict,
            "seconds": round(proof.seconds, 6),
        }
        if effort:
            found["effort"] = None if self.effort is None else self.effort.as_json()
        if reveal and proof.solution is not None:
            found["solution"] = rows_json(proof.solution, grid)
        if reveal and proof.other is not None:
            found["other"] = rows_json(proof.other, grid)
        if reveal and self.clash is not None:
            found["conflict"] = {
                "clues": list(self.clash.clues),
                "givens": grid.names(self.clash.givens),
                "houses": list(self.clash.houses),
                "rules": list(self.clash.rules),
                "minimal": self.clash.minimal,
                "smallest": self.clash.smallest,
            }
        return found


def check(puzzle: Puzzle, source: str, seconds: float, *, effort: bool, clash: bool) -> Checked:
    """
    Check a puzzle.

    Args:
        puzzle: The puzzle.
        source: Its file.
        seconds: Time allowed for the proof, and again for the clash.
        effort: Whether to measure the effort of a puzzle with one solution.
        clash: Whether to look for the clues that clash where there is none.
    """
    from saywhy.engine import Budget, prove

    budget, name = Budget(seconds=seconds), Path(source).name
    with waiting(f"Proving {name}"):
        proof = prove(puzzle, budget)
    if effort and proof.verdict == "unique":
        from saywhy.reasoning import explain

        with waiting(f"Measuring the effort of {name}"):
            path = explain(puzzle, budget)
        if path.complete:
            return Checked(puzzle, source, proof, effort=path.effort)
        return Checked(puzzle, source, proof, stuck=True)
    if clash and proof.verdict == "none":
        from saywhy.engine import conflict

        with waiting(f"Looking for what clashes in {name}"):
            found = conflict(puzzle, budget)
        return Checked(puzzle, source, proof, clash=found)
    return Checked(puzzle, source, proof)
