"""How many solutions does a puzzle have?"""

from __future__ import annotations

from dataclasses import dataclass

from saywhy.engine.budget import UNLIMITED, Budget, Cancel
from saywhy.engine.model import compile_model
from saywhy.puzzle import Puzzle


@dataclass(frozen=True)
class Counted:
    """
    A number of solutions.

    Attributes:
        solutions: How many were found.
        exact: Whether these are all; False where the limit, the budget or a cancellation stopped the count.
        nodes: Digits tried in the search.
    """

    solutions: int
    exact: bool
    nodes: int


def count(
    puzzle: Puzzle,
    limit: int | None = None,
    budget: Budget = UNLIMITED,
    cancel: Cancel | None = None,
    seed: int = 0,
) -> Counted:
    """
    Count a puzzle's solutions one by one.

    Args:
        puzzle: The puzzle.
        limit: Stop when this many were found; None for all.
        budget: The most to spend.
        cancel: A flag that stops the search from another thread.
        seed: 0 tries digits in order; another number shuffles.

    Raises:
        RuleError: A rule is not allowed on this grid.
        ValueError: The limit is negative.
    """
    if limit is not None and limit < 0:
        raise ValueError(f"limit: 0 or more expected, {limit} came")
    model = compile_model(puzzle)
    most = 2**64 - 1 if limit is None else limit
    found, _, finished, nodes, _ = model.native.search(
        None, model.domains, most, 0, budget.nodes, budget.seconds, cancel, seed
    )
    return Counted(found, finished, nodes)
