"""Random models of the five primitives and their fillings by plain enumeration."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from saywhy.primitives import AllDifferent, Automaton, Count, Linear, Pair, Primitive, Regular


@dataclass(frozen=True)
class Problem:
    """Digits 1 to ``size``, a mask a cell, and primitives."""

    size: int
    domains: tuple[int, ...]
    primitives: tuple[Primitive, ...]


def holds(primitive: Primitive, digits: Sequence[int]) -> bool:
    """Say whether a primitive holds on a digit a cell: its meaning, as plainly as can be."""
    match primitive:
        case AllDifferent(cells):
            return len({digits[cell] for cell in cells}) == len(cells)
        case Linear(coefficients, cells, total):
            return sum(k * digits[cell] for k, cell in zip(coefficients, cells, strict=True)) == total
        case Pair(a, b, table):
            return bool(table[digits[a] - 1] >> (digits[b] - 1) & 1)
        case Regular(cells, automaton):
            state = 0
            for cell in cells:
                state = automaton.moves[state][digits[cell] - 1]
                if state < 0:
                    return False
            return state in automaton.accepting
        case Count(cells):
            held = [digits[cell] for cell in cells]
            return all(held.count(digit) == digit for digit in held)


def scope(primitive: Primitive) -> tuple[int, ...]:
    """Give the cells of a primitive."""
    return (primitive.a, primitive.b) if isinstance(primitive, Pair) else primitive.cells


def fillings(problem: Problem, ids: Sequence[int] | None = None) -> list[tuple[int, ...]]:
    """List all fillings, or all that satisfy the primitives in these places."""
    held = problem.primitives if ids is None else [problem.primitives[number] for number in ids]
    choices = [[d for d in range(1, problem.size + 1) if mask >> (d - 1) & 1] for mask in problem.domains]
    return [digits for digits in product(*choices) if all(holds(one, digits) for one in held)]


def occurring(found: Sequence[Sequence[int]], cells: int) -> list[int]:
    """Give for each cell the mask of the digits that occur in these fillings."""
    masks = [0] * cells
    for digits in found:
        for cell, digit in enumerate(digits):
            masks[cell] |= 1 << (digit - 1)
    return masks


def random_problem(rng: random.Random) -> Problem:
    """Make a small problem, about half of them with fillings."""
    size, cells = rng.randint(2, 5), rng.randint(2, 7)
    while size**cells > 5000:
        cells -= 1
    domains = tuple(rng.randint(1, 2**size - 1) | rng.randint(0, 2**size - 1) for _ in range(cells))
    return Problem(size, domains, tuple(_primitive(rng, size, cells) for _ in range(rng.randint(1, 5))))


def _primitive(rng: random.Random, size: int, count: int) -> Primitive:
    cells = tuple(rng.sample(range(count), rng.randint(1, count)))
    kind = rng.choice(["different", "linear", "linear", "pair", "regular", "count"])
    if kind == "different":
        return AllDifferent(cells)
    if kind == "linear":
        coefficients = tuple(rng.choice([1, 1, 1, -1, -1, 2, -2, 10, 3]) for _ in cells)
        return Linear(coefficients, cells, sum(k * rng.randint(1, size) for k in coefficients))
    if kind == "pair":
        a, b = rng.sample(range(count), 2)
        return Pair(a, b, tuple(rng.randint(0, 2**size - 1) for _ in range(size)))
    if kind == "regular":
        states = rng.randint(1, 5)
        moves = tuple(tuple(rng.randint(-1, states - 1) for _ in range(size)) for _ in range(states))
        return Regular(cells, Automaton(moves, frozenset(rng.sample(range(states), rng.randint(1, states)))))
    return Count(cells)
