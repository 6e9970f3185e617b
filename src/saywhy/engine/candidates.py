"""Which digits occur in some solution, cell by cell?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from saywhy.engine.budget import UNLIMITED, Budget, Cancel
from saywhy.engine.model import compile_model
from saywhy.puzzle import Puzzle


@dataclass(frozen=True)
class Candidates:
    """
    The digits that occur in some solution.

    Attributes:
        domains: One mask a cell; all 0 where there is no solution.
        complete: Whether the masks are exact; False where the budget ran out, and then digits that occur in
            no solution may be left in them, but none that occurs is missing.
        nodes: Digits tried in the search.
    """

    domains: tuple[int, ...]
    complete: bool
    nodes: int


def candidates(
    puzzle: Puzzle,
    domains: Sequence[int] | None = None,
    budget: Budget = UNLIMITED,
    cancel: Cancel | None = None,
    seed: int = 0,
) -> Candidates:
    """
    Find the digits that occur in some solution.

    Args:
        puzzle: The puzzle.
        domains: Count only solutions within these masks, one a cell; None for all that fit the givens.
        budget: The most to spend.
        cancel: A flag that stops the search from another thread.
        seed: 0 tries digits in order; another number shuffles.

    Raises:
        RuleError: A rule is not allowed on this grid.
        ValueError: The domains are not one mask a cell.
    """
    model = compile_model(puzzle)
    start = model.domains
    if domains is not None:
        if len(domains) != len(start):
            raise ValueError(f"domains: {len(start)} masks expected, {len(domains)} came")
        start = [given & mask for given, mask in zip(start, domains, strict=True)]
    shown, finished, nodes = model.native.supports(None, start, budget.nodes, budget.seconds, cancel, seed)
    return Candidates(tuple(shown), finished, nodes)
