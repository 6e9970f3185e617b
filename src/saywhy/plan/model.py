"""
Demands as a model of a constraint solver, and as its linear relaxation.

Puzzles that no demand and no cost tells apart are one *kind*: the model says how many of a kind stand
where, and not which. Of a kind the one that came first is taken first, so the price of its members rises
and may be paid in order.

Cost: one yes-or-no a kind and free slot, and one a group of kinds that a demand counts and slot.

Tried and dropped: the constraint solver alone over all candidates. It finds good plans, but its own linear
programme takes it ten times as long as one solved beforehand, whose reduced costs leave few candidates.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from ortools.linear_solver.python import model_builder
from ortools.sat.python import cp_model

from saywhy.plan.demand import Demand
from saywhy.plan.series import Line, Series

#: The same search each time: one worker, one seed, and a bound on work that is no clock.
SEED = 20
#: Relaxing every demand into the linear programme is what proves a plan the best.
LINEARIZATION = 2
#: By how much the value of a linear programme may be off.
TOLERANCE = 1e-5

Term = tuple[int, cp_model.IntVar]
Kind = tuple[int, ...]


@dataclass(frozen=True)
class Found:
    """
    What the solver gave.

    Attributes:
        status: ``best`` is proven, ``good`` is not; ``none`` is a proof that there is nothing.
        line: The line; None where there is none.
        value: Its cost.
        bound: No line costs less.
        work: Work done, in the solver's own unit, about a second each on a quiet machine.
    """

    status: Literal["best", "good", "none", "undecided"]
    line: Line | None
    value: int
    bound: int
    work: float


@dataclass(frozen=True)
class Relaxed:
    """
    What the linear relaxation gave.

    Attributes:
        bound: No line costs less; None where there is no line.
        with_candidate: No line that has this candidate costs less.
    """

    bound: float | None
    with_candidate: Mapping[int, float]


class Model:
    """
    A model of a series.

    Args:
        series: The series.
        demands: All demands that will be posted.
        prices: What it costs that a candidate airs at all.
        own: Candidates that a cost tells apart from all others.
        among: The candidates that may be placed; None for all that are open.
    """

    def __init__(
        self,
        series: Series,
        demands: Sequence[Demand],
        prices: Mapping[int, int] | None = None,
        own: Iterable[int] = (),
        among: Iterable[int] | None = None,
    ) -> None:
        self.series = series
        self.free = series.free
        self.prices = prices or {}
        self.base = cp_model.CpModel()
        self._tops: list[int] = []
        self._rows: list[tuple[list[Term], float, float]] = []
        self.kinds = _kinds(series, demands, self.prices, own, among)
        self._kind_of = {number: place for place, kind in enumerate(self.kinds) for number in kind}
        self.at = {(kind, slot): self._yes_or_no() for kind in range(len(self.kinds)) for slot in self.free}
        self._sums: dict[tuple[frozenset[int], int], cp_model.IntVar] = {}
        for slot in self.free:
            self._at_most_one([self.at[kind, slot] for kind in range(len(self.kinds))])
        self.pay: list[Term] = []
        self._used: list[list[cp_model.IntVar]] = []
        for place, kind in enumerate(self.kinds):
            self._bound(place, kind)

    def terms(self, costs: Mapping[tuple[int, int], int]) -> list[Term]:
        """Give what it costs to have candidates, each told apart from all others, in slots."""
        return [
            (cost, self.at[self._kind_of[number], slot])
            for (number, slot), cost in costs.items()
            if cost and number in self._kind_of
        ]

    def post(self, demand: Demand) -> None:
        """Have a demand kept."""
        counted, fixed = self._counted(demand)
        least = demand.least - fixed
        if least > 0:
            if least == 1:
                self.base.add_bool_or(counted)
            elif counted:
                self.base.add(sum(counted) >= least)
            else:
                self.base.add_bool_or([])
            self._rows.append(([(1, var) for var in counted], least, _INFINITE))
        if demand.most is not None and counted:
            most = demand.most - fixed
            if most == 1:
                self._at_most_one(counted)
            elif most < len(counted):
                self._sum_is([(1, var) for var in counted], -_INFINITE, most)

    def allow(self, demand: Demand, weight: int) -> Term:
        """Let a demand be missed, and give what each one too few or too many costs."""
        counted, fixed = self._counted(demand)
        short = self._number(max(demand.least, len(counted) + fixed))
        terms: list[Term] = [(1, var) for var in counted]
        if demand.least > fixed:
            self._sum_is([*terms, (1, short)], demand.least - fixed, _INFINITE)
        if demand.most is not None and counted:
            self._sum_is([*terms, (-1, short)], -_INFINITE, demand.most - fixed)
        return weight, short

    def gaps(self) -> list[Term]:
        """
        Give what it costs that episodes do not begin at once and follow one another.

        Each free slot up to the last episode costs as much as there are free slots, and each episode its
        place among them: so gaps before the last episode are few, and rather late than early.
        """
        terms: list[Term] = []
        after: cp_model.IntVar | None = None
        stands = max(self.series.fixed, default=-1)
        for place, slot in reversed(list(enumerate(self.free))):
            reached = self._yes_or_no()
            here: list[Term] = [(1, self.at[kind, slot]) for kind in range(len(self.kinds))]
            self._sum_is([*here, (-1, reached)], -_INFINITE, 0)
            if after is not None:
                self._sum_is([(1, after), (-1, reached)], -_INFINITE, 0)
            if slot < stands:
                self._sum_is([(1, reached)], 1, 1)
            terms += [(len(self.free), reached), *((place, var) for _, var in here if place)]
            after = reached
        return terms

    def at_most(self, terms: Sequence[Term], total: int) -> None:
        """Bound a cost."""
        if terms:
            self._sum_is(list(terms), -_INFINITE, total)

    def hint(self, line: Line | None) -> None:
        """Begin the search at a line."""
        self.base.clear_hints()  # type: ignore[no-untyped-call]
        if line is None:
            return
        standing = {
            (self._kind_of[number], slot)
            for slot, number in enumerate(line)
            if slot not in self.series.fixed and number is not None and number in self._kind_of
        }
        for place, var in self.at.items():
            self.base.add_hint(var, place in standing)
        for (kinds, slot), var in self._sums.items():
            self.base.add_hint(var, any((kind, slot) in standing for kind in kinds))
        for kind, used in enumerate(self._used):
            count = sum((kind, slot) in standing for slot in self.free)
            for number, var in enumerate(used):
                self.base.add_hint(var, number < count)

    def relax(self, terms: Sequence[Term]) -> Relaxed:
        """Give what a line costs at least, by the linear relaxation."""
        relaxed = model_builder.Model()  # type: ignore[no-untyped-call]
        variables = [relaxed.new_num_var(0, top, "") for top in self._tops]

        def expression(held: Sequence[Term]) -> model_builder.LinearExprT:
            return model_builder.LinearExpr.weighted_sum(
                [variables[var.index] for _, var in held], [weight for weight, _ in held]
            )

        for row, low, high in self._rows:
            if not row and low > 0:
                return Relaxed(None, {})
            relaxed.add_linear_constraint(expression(row), low, high)
        relaxed.minimize(expression(terms) if terms else 0)
        solver = model_builder.Solver("GLOP")
        status = solver.solve(relaxed)
        if status == model_builder.SolveStatus.INFEASIBLE:
            return Relaxed(None, {})
        if status != model_builder.SolveStatus.OPTIMAL:
            return Relaxed(float("-inf"), dict.fromkeys(self._kind_of, float("-inf")))
        value, least = solver.objective_value, dict[int, float]()

        def dearer(var: cp_model.IntVar) -> float:
            return max(0.0, solver.reduced_cost(variables[var.index]))

        for place, kind in enumerate(self.kinds):
            sure = value + min(dearer(self.at[place, slot]) for slot in self.free)
            for rank, number in enumerate(kind):
                sure += dearer(self._used[place][rank]) if rank < len(self._used[place]) else 0.0
                least[number] = sure
        return Relaxed(value, least)

    def solve(self, terms: Sequence[Term] = (), work: float = 5.0) -> Found:
        """
        Find a line of the least cost.

        Args:
            terms: The cost.
            work: Most work, in the solver's own unit.
        """
        self.base.clear_objective()  # type: ignore[no-untyped-call]
        if terms:
            self.base.minimize(sum(weight * var for weight, var in terms))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = SEED
        solver.parameters.linearization_level = LINEARIZATION
        solver.parameters.max_deterministic_time = work
        status = solver.solve(self.base)
        done = float(solver.response_proto.deterministic_time)
        if status == cp_model.INFEASIBLE:
            return Found("none", None, 0, 0, done)
        if status not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
            return Found("undecided", None, 0, 0, done)
        value, bound = (
            (round(solver.objective_value), round(solver.best_objective_bound)) if terms else (0, 0)
        )
        named: Literal["best", "good"] = "best" if status == cp_model.OPTIMAL else "good"
        return Found(named, self._line(solver), value, bound, done)

    def _line(self, solver: cp_model.CpSolver) -> Line:
        """Give the line, the members of a kind in the order of their price."""
        waiting = [iter(kind) for kind in self.kinds]
        line: list[int | None] = [self.series.fixed.get(slot) for slot in range(len(self.series.slots))]
        for slot in self.free:
            for kind in range(len(self.kinds)):
                if solver.boolean_value(self.at[kind, slot]):
                    line[slot] = next(waiting[kind])
        return tuple(line)

    def _counted(self, demand: Demand) -> tuple[list[cp_model.IntVar], int]:
        """Give what a demand counts: variables, and what stands already."""
        found, fixed = list[cp_model.IntVar](), 0
        for block in demand.blocks:
            kinds = frozenset(self._kind_of[n] for n in block.candidates if n in self._kind_of)
            for slot in block.slots:
                if slot in self.series.fixed:
                    fixed += self.series.fixed[slot] in block.candidates
                elif kinds:
                    found.append(self._sum(kinds, slot))
        return found, fixed

    def _sum(self, kinds: frozenset[int], slot: int) -> cp_model.IntVar:
        """Give whether one of some kinds stands in a slot."""
        if len(kinds) == 1:
            return self.at[next(iter(kinds)), slot]
        held = self._sums.get((kinds, slot))
        if held is None:
            held = self._sums[kinds, slot] = self._yes_or_no()
            self._one_if([self.at[kind, slot] for kind in sorted(kinds)], held)
        return held

    def _bound(self, place: int, kind: Kind) -> None:
        """Use a kind no oftener than it has members, and pay for those that are used."""
        here = [self.at[place, slot] for slot in self.free]
        self._used.append([])
        if not any(self.prices.get(number) for number in kind):
            if len(kind) == 1:
                self._at_most_one(here)
            elif len(kind) < len(here):
                self._sum_is([(1, var) for var in here], -_INFINITE, len(kind))
            return
        used = self._used[place] = [self._yes_or_no() for _ in kind[: len(here)]]
        if len(used) == 1:
            self._one_if(here, used[0])
        else:
            self._sum_is([*((1, var) for var in here), *((-1, var) for var in used)], 0, 0)
            for one, other in pairwise(used):
                self._sum_is([(1, one), (-1, other)], 0, _INFINITE)
        self.pay += [(self.prices.get(number, 0), var) for number, var in zip(kind, used, strict=False)]

    def _yes_or_no(self) -> cp_model.IntVar:
        self._tops.append(1)
        return self.base.new_bool_var("")

    def _number(self, top: int) -> cp_model.IntVar:
        self._tops.append(top)
        return self.base.new_int_var(0, top, "")

    def _at_most_one(self, some: Sequence[cp_model.IntVar]) -> None:
        self.base.add_at_most_one(some)
        self._rows.append(([(1, var) for var in some], -_INFINITE, 1))

    def _one_if(self, some: Sequence[cp_model.IntVar], held: cp_model.IntVar) -> None:
        self.base.add_exactly_one([*some, held.negated()])
        self._rows.append(([*((1, var) for var in some), (-1, held)], 0, 0))

    def _sum_is(self, terms: list[Term], low: float, high: float) -> None:
        total = sum(weight * var for weight, var in terms)
        if low > -_INFINITE:
            self.base.add(total >= int(low))
        if high < _INFINITE:
            self.base.add(total <= int(high))
        self._rows.append((terms, low, high))


_INFINITE = float("inf")


def _kinds(
    series: Series,
    demands: Sequence[Demand],
    prices: Mapping[int, int],
    own: Iterable[int],
    among: Iterable[int] | None,
) -> list[Kind]:
    """Give the candidates kind by kind, those of the lowest price first."""
    members = sorted(series.open if among is None else set(series.open) & set(among))
    groups = list(dict.fromkeys(block.candidates for demand in demands for block in demand.blocks))
    apart, kinds = set(own), dict[object, list[int]]()
    for number in members:
        alike = tuple(place for place, group in enumerate(groups) if number in group)
        kinds.setdefault(number if number in apart else alike, []).append(number)
    return [
        tuple(sorted(kind, key=lambda number: (prices.get(number, 0), number))) for kind in kinds.values()
    ]
