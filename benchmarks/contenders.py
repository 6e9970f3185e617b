"""The solvers that are measured: each proves a puzzle unique, timed with and without building its model."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from time import process_time

from ortools.sat.python import cp_model
from pysat.solvers import Solver

from benchmarks.cnf import Cnf
from saywhy.engine.constraints import constraints, starting_domains
from saywhy.engine.model import Model
from saywhy.puzzle import Puzzle
from saywhy.rules import placed
from saywhy.second_opinion.model import build


@dataclass(frozen=True)
class Run:
    """
    One proof.

    Attributes:
        build_s: CPU seconds from the puzzle to a loaded model.
        solve_s: CPU seconds from there to the verdict; for the engine, tables are built in here.
        solutions: 0, 1 or 2; -1 where the time ran out.
    """

    build_s: float
    solve_s: float
    solutions: int


def engine(puzzle: Puzzle, seconds: float) -> Run:
    """Our engine, nothing kept from an earlier run but the automata of rules."""
    placed.cache_clear()
    constraints.cache_clear()
    begun = process_time()
    held = constraints(puzzle)
    domains = starting_domains(puzzle)
    model = Model(puzzle.grid.size, len(domains), (one.primitive for one in held), domains)
    built = process_time()
    found, _, finished, _, _ = model.native.search(None, domains, 2, 0, None, seconds)
    return Run(built - begun, process_time() - built, found if finished or found > 1 else -1)


def cp_sat(puzzle: Puzzle, seconds: float) -> Run:
    """OR-Tools CP-SAT on its own model of every rule: one worker, enumerate and stop at 2."""

    class Count(cp_model.CpSolverSolutionCallback):
        def __init__(self) -> None:
            super().__init__()
            self.found = 0

        def on_solution_callback(self) -> None:
            self.found += 1
            if self.found > 1:
                self.stop_search()

    begun = process_time()
    model = build(puzzle, givens=True).board.model
    built = process_time()
    solver, count = cp_model.CpSolver(), Count()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.enumerate_all_solutions = True
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model, count)
    finished = status in (cp_model.OPTIMAL, cp_model.INFEASIBLE) or count.found > 1
    return Run(built - begun, process_time() - built, count.found if finished else -1)


def sat(name: str) -> Callable[[Puzzle, float], Run]:
    """Give a SAT solver on the primitives as clauses: solve, forbid the solution, solve again."""

    def run(puzzle: Puzzle, seconds: float) -> Run:
        del seconds  # python-sat interrupts only some of its solvers
        held = constraints(puzzle)
        domains = starting_domains(puzzle)
        cnf = Cnf(puzzle.grid.size, domains, (one.primitive for one in held))
        encoded = process_time()
        with Solver(name=name, bootstrap_with=cnf.clauses) as solver:
            loaded = process_time()
            found = 0
            while found < 2 and solver.solve():
                found += 1
                model = solver.get_model()
                solver.add_clause([-v for v in model[: cnf.size * cnf.cells] if v > 0])
            done = process_time()
        # Loading counts, encoding in Python does not: it says more of our encoder than of the solver.
        return Run(loaded - encoded, done - loaded, found)

    return run


CONTENDERS: dict[str, Callable[[Puzzle, float], Run]] = {
    "engine": engine,
    "CP-SAT": cp_sat,
    "Glucose 4": sat("glucose4"),
    "CaDiCaL": sat("cadical195"),
}
