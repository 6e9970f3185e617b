"""What the general-purpose solver answers about a whole puzzle: its solutions, and if it has just one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from saywhy.puzzle import Puzzle
from saywhy.second_opinion.board import solver_library
from saywhy.second_opinion.model import Model, build

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

Answer = Literal["none", "unique", "many", "undecided"]


@dataclass(frozen=True)
class Search:
    """
    What a search found.

    Attributes:
        solutions: Different fillings, the digits in the order of the cells asked for.
        finished: Whether the search ended by itself or at its limit, and not for want of time.
    """

    solutions: tuple[tuple[int, ...], ...]
    finished: bool


def quiet_solver(seconds: float | None) -> cp_model.CpSolver:
    """Give a solver with one worker and a fixed seed, so that equal questions get equal answers."""
    solver: cp_model.CpSolver = solver_library().CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    if seconds is not None:
        solver.parameters.max_time_in_seconds = seconds
    return solver


def enumerate_fillings(
    model: Model, cells: Iterable[int], limit: int | None = None, seconds: float | None = None
) -> Search:
    """
    List the fillings of some cells that a model allows.

    Args:
        model: Posted by ``build``.
        cells: Indices; two solutions that agree on these count once. Solutions are gone through one by one,
            so that cells of the model that are not asked for cost time.
        limit: Stop at so many; None for all.
        seconds: Stop after so long; None for never.
    """
    library = solver_library()
    variables = model.board.all(cells)
    found: dict[tuple[int, ...], None] = {}

    class Collect(library.CpSolverSolutionCallback):  # type: ignore[misc, name-defined]
        def on_solution_callback(self) -> None:
            found[tuple(self.value(variable) for variable in variables)] = None
            if limit is not None and len(found) >= limit:
                self.stop_search()

    solver = quiet_solver(seconds)
    solver.parameters.enumerate_all_solutions = True
    status = solver.solve(model.board.model, Collect())
    full = limit is not None and len(found) >= limit
    finished = full or status in (library.OPTIMAL, library.INFEASIBLE)
    return Search(tuple(found), finished)


def search(puzzle: Puzzle, limit: int | None = 2, seconds: float | None = None) -> Search:
    """List solutions of a puzzle, givens posted, cells row by row."""
    return enumerate_fillings(build(puzzle, givens=True), puzzle.grid.cells, limit, seconds)


def solve(puzzle: Puzzle, limit: int | None = 2, seconds: float | None = None) -> list[tuple[int, ...]]:
    """
    List solutions of a puzzle, up to a limit.

    Raises:
        TimeoutError: Time ran out first.
    """
    result = search(puzzle, limit, seconds)
    if not result.finished:
        raise TimeoutError(f"not decided in {seconds} seconds")
    return list(result.solutions)


def verdict(puzzle: Puzzle, seconds: float | None = None) -> Answer:
    """Say whether a puzzle has no solution, one, or more; or that time ran out."""
    result = search(puzzle, 2, seconds)
    if len(result.solutions) == 2:
        return "many"
    if not result.finished:
        return "undecided"
    return "unique" if result.solutions else "none"
