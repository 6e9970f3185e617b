"""Does a puzzle have exactly one solution?"""

from __future__ import annotations

from dataclasses import dataclass
from time import perf_counter
from typing import Literal

from saywhy.engine.budget import UNLIMITED, Budget, Cancel
from saywhy.engine.model import compile_model
from saywhy.puzzle import Puzzle

Verdict = Literal["unique", "none", "many", "undecided"]


@dataclass(frozen=True)
class Proof:
    """
    The verdict on a puzzle.

    Attributes:
        verdict: ``undecided`` only where the budget ran out or the query was cancelled.
        solution: A solution, one digit a cell; None where none was found.
        other: A second solution where there are many.
        seconds: Wall time of compiling and searching.
        nodes: Digits tried in the search.
    """

    verdict: Verdict
    solution: tuple[int, ...] | None
    other: tuple[int, ...] | None
    seconds: float
    nodes: int


def prove(puzzle: Puzzle, budget: Budget = UNLIMITED, cancel: Cancel | None = None, seed: int = 0) -> Proof:
    """
    Prove how many solutions a puzzle has: none, one, or more.

    Args:
        puzzle: The puzzle.
        budget: The most to spend.
        cancel: A flag that stops the search from another thread.
        seed: 0 tries digits in order; another number shuffles. The verdict is the same.

    Raises:
        RuleError: A rule is not allowed on this grid.
    """
    begun = perf_counter()
    model = compile_model(puzzle)
    found, kept, finished, nodes, _ = model.native.search(
        None, model.domains, 2, 2, budget.nodes, budget.seconds, cancel, seed
    )
    seconds = perf_counter() - begun
    verdict: Verdict = "many" if found > 1 else "undecided"
    if finished:
        verdict = "unique" if found else "none"
    solution, other = (*(tuple(digits) for digits in kept), None, None)[:2]
    return Proof(verdict, solution, other, seconds, nodes)
