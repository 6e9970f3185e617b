"""The primitives of a puzzle as clauses, for the SAT solvers that the engine is measured beside."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import combinations

from saywhy.primitives import AllDifferent, Count, Linear, Pair, Primitive, Regular


class Cnf:
    """
    Clauses over one variable for each cell and digit, and further ones as needed.

    Sums and automata are encoded so that unit propagation alone gives full support: a variable for each
    state and each step between states (Bacchus, "GAC via unit propagation", CP 2007).

    Attributes:
        clauses: Lists of signed variable numbers.
    """

    def __init__(self, size: int, domains: Sequence[int], primitives: Iterable[Primitive]) -> None:
        self.size = size
        self.cells = len(domains)
        self.used = size * self.cells
        self.clauses: list[list[int]] = []
        for cell, domain in enumerate(domains):
            self._exactly_one([self.has(cell, digit) for digit in range(1, size + 1)])
            self.clauses += [[-self.has(cell, d)] for d in range(1, size + 1) if not domain >> (d - 1) & 1]
        for primitive in primitives:
            self._post(primitive)

    def has(self, cell: int, digit: int) -> int:
        """Give the variable that says that the cell holds the digit."""
        return cell * self.size + digit

    def _fresh(self) -> int:
        self.used += 1
        return self.used

    def _exactly_one(self, variables: list[int]) -> None:
        self.clauses.append(variables)
        self.clauses += [[-a, -b] for a, b in combinations(variables, 2)]

    def _post(self, primitive: Primitive) -> None:
        digits = range(1, self.size + 1)
        match primitive:
            case AllDifferent(cells):
                for digit in digits:
                    held = [self.has(cell, digit) for cell in cells]
                    self.clauses += [[-a, -b] for a, b in combinations(held, 2)]
                    if len(cells) == self.size:
                        self.clauses.append(held)
            case Pair(a, b, table):
                self.clauses += [
                    [-self.has(a, x), -self.has(b, y)]
                    for x in digits
                    for y in digits
                    if not table[x - 1] >> (y - 1) & 1
                ]
            case Linear(coefficients, cells, total):
                weights = dict(zip(cells, coefficients, strict=True))
                self._word(
                    cells, 0, lambda held, cell, d: held + weights[cell] * d, lambda held: held == total
                )
            case Regular(cells, automaton):
                moves = [[None if to < 0 else to for to in row] for row in automaton.moves]
                self._word(
                    cells,
                    0,
                    lambda state, _, d: moves[state][d - 1],
                    lambda state: state in automaton.accepting,
                )
            case Count(cells):
                for digit in digits:
                    self._word(
                        cells,
                        0,
                        lambda held, _, d, of=digit: min(held + (d == of), of + 1),
                        lambda held, of=digit: held in (0, of),
                    )

    def _word(
        self,
        cells: Sequence[int],
        start: int,
        step: Callable[[int, int, int], int | None],
        accepts: Callable[[int], bool],
    ) -> None:
        layers: list[set[int]] = [{start}]
        steps: list[list[tuple[int, int, int]]] = []
        for cell in cells:
            digits = range(1, self.size + 1)
            read = [(s, d, step(s, cell, d)) for s in layers[-1] for d in digits]
            steps.append([(s, d, t) for s, d, t in read if t is not None])
            layers.append({t for _, _, t in steps[-1]})
        live = {state for state in layers[-1] if accepts(state)}
        for place in range(len(cells) - 1, -1, -1):
            steps[place] = [(s, d, t) for s, d, t in steps[place] if t in live]
            live = {s for s, _, _ in steps[place]}
        if not live:
            self.clauses.append([])
            return
        before = {start: self._fresh()}
        self.clauses.append([before[start]])
        for cell, moves in zip(cells, steps, strict=True):
            after = {t: self._fresh() for t in {t for _, _, t in moves}}
            out: dict[int, list[int]] = {s: [] for s in before}
            into: dict[int, list[int]] = {t: [] for t in after}
            by: dict[int, list[int]] = {d: [] for d in range(1, self.size + 1)}
            for s, d, t in moves:
                if s not in before:
                    continue
                taken = self._fresh()
                self.clauses += [[-taken, before[s]], [-taken, self.has(cell, d)], [-taken, after[t]]]
                out[s].append(taken)
                into[t].append(taken)
                by[d].append(taken)
            self.clauses += [[-before[s], *ways] for s, ways in out.items()]
            self.clauses += [[-after[t], *ways] for t, ways in into.items()]
            self.clauses += [[-self.has(cell, d), *ways] for d, ways in by.items()]
            self.clauses += [[-a, -b] for a, b in combinations(after.values(), 2)]
            before = after
