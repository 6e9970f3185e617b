"""Judge a puzzle for the shelf: its verdict, its effort, and the keys by which it is known again."""

from __future__ import annotations

from saywhy.puzzle import Puzzle
from saywhy.shelf.values import Judged

#: Seconds that a proof, and then a path, may take.
USUAL_S = 60.0


def judge(puzzle: Puzzle, seconds: float = USUAL_S, *, effort: bool = True) -> Judged:
    """
    Judge a puzzle; nothing of its solution or its path is kept.

    Args:
        puzzle: The puzzle.
        seconds: Time allowed for the proof, and again for the path.
        effort: Whether to measure the effort of a puzzle with one solution.
    """
    from saywhy.engine import Budget, prove
    from saywhy.sameness import keys

    budget = Budget(seconds=seconds)
    known = keys(puzzle)
    verdict = prove(puzzle, budget).verdict
    profile = None
    if effort and verdict == "unique":
        from saywhy.reasoning import explain

        path = explain(puzzle, budget)
        if path.complete and path.effort is not None:
            profile = path.effort.as_json()
    return Judged(verdict=verdict, effort=profile, same=known.same, near=known.near)
