"""Primitives of a filling, worked out as plainly as can be, and all fillings of some cells."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import product

from saywhy.primitives import AllDifferent, Automaton, Count, Linear, Pair, Primitive, Regular


def accepts(automaton: Automaton, word: Iterable[int]) -> bool:
    """Say whether an automaton accepts a word."""
    state = 0
    for digit in word:
        state = automaton.moves[state][digit - 1]
        if state < 0:
            return False
    return state in automaton.accepting


def satisfied(primitive: Primitive, digits: Sequence[int]) -> bool:
    """Say whether a primitive holds; all of its cells are decided."""
    if isinstance(primitive, Pair):
        return bool(primitive.table[digits[primitive.a] - 1] >> (digits[primitive.b] - 1) & 1)
    held = [digits[cell] for cell in primitive.cells]
    if isinstance(primitive, AllDifferent):
        return len(set(held)) == len(held)
    if isinstance(primitive, Linear):
        weighted = zip(primitive.coefficients, held, strict=True)
        return sum(weight * digit for weight, digit in weighted) == primitive.total
    if isinstance(primitive, Regular):
        return accepts(primitive.automaton, held)
    assert isinstance(primitive, Count)
    return all(held.count(digit) == digit for digit in held)


def cells_of(primitive: Primitive) -> tuple[int, ...]:
    """Give the cells of a primitive."""
    return (primitive.a, primitive.b) if isinstance(primitive, Pair) else primitive.cells


def fillings(cells: Sequence[int], size: int) -> Iterator[list[int]]:
    """Give every filling of some cells, as digits of the whole grid, 0 elsewhere: one list, reused."""
    digits = [0] * (size * size)
    for word in product(range(1, size + 1), repeat=len(cells)):
        for cell, digit in zip(cells, word, strict=True):
            digits[cell] = digit
        yield digits


def permutations_accepted(automaton: Automaton, size: int) -> int:
    """Count the orders of 1 to size that an automaton accepts, by sets of digits used so far."""
    here = Counter({(0, 0): 1})
    for _ in range(size):
        after: Counter[tuple[int, int]] = Counter()
        for (used, state), ways in here.items():
            for digit in range(1, size + 1):
                to = automaton.moves[state][digit - 1]
                if not used >> digit & 1 and to >= 0:
                    after[used | 1 << digit, to] += ways
        here = after
    return sum(ways for (_, state), ways in here.items() if state in automaton.accepting)
