"""
The five primitives that every rule compiles to; the engine knows nothing else.

Cells are indices into the grid; digits are 1 to n; a set of digits is a bit mask in which bit
d - 1 stands for digit d.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TypeVar

#: A state of an automaton while it is built: any hashable value.
S = TypeVar("S", bound=Hashable)


def mask(digits: Iterable[int]) -> int:
    """Give the bit mask of these digits."""
    return sum({1 << (digit - 1) for digit in digits})


def digits_of(bits: int) -> list[int]:
    """List the digits of a bit mask, ascending."""
    return [*_digits(bits)]


@cache
def _digits(bits: int) -> tuple[int, ...]:
    return tuple(digit for digit in range(1, bits.bit_length() + 1) if bits >> (digit - 1) & 1)


@dataclass(frozen=True)
class AllDifferent:
    """No digit twice among these cells (with n cells: each digit once)."""

    cells: tuple[int, ...]


@dataclass(frozen=True)
class Linear:
    """
    The sum of coefficient times digit equals the total.

    Attributes:
        coefficients: Non-zero, one a cell.
        cells: All different.
        total: Any integer.
    """

    coefficients: tuple[int, ...]
    cells: tuple[int, ...]
    total: int


@dataclass(frozen=True)
class Pair:
    """
    A relation of two different cells.

    Attributes:
        table: For digit d of ``a``, ``table[d - 1]`` is the mask of digits allowed in ``b``.
    """

    a: int
    b: int
    table: tuple[int, ...]


@dataclass(frozen=True)
class Automaton:
    """
    A deterministic finite automaton that reads digits (Pesant, CP 2004).

    Attributes:
        moves: For each state, the next state for digits 1 to n; -1 where the word is refused.
            State 0 is the start.
        accepting: The states in which a word may end.
    """

    moves: tuple[tuple[int, ...], ...]
    accepting: frozenset[int]


@dataclass(frozen=True)
class Regular:
    """The digits of the cells, in this order, are a word that the automaton accepts."""

    cells: tuple[int, ...]
    automaton: Automaton


@dataclass(frozen=True)
class Count:
    """Each digit that stands in one of these cells stands in exactly that many of them."""

    cells: tuple[int, ...]


Primitive = AllDifferent | Linear | Pair | Regular | Count


def sum_of(cells: Iterable[int], total: int) -> Linear:
    """Give the primitive: these cells sum to the total. A cell may be named more than once."""
    return balance(cells, (), total)


def balance(plus: Iterable[int], minus: Iterable[int], total: int = 0) -> Linear:
    """Give the primitive: the first cells sum to the second cells plus the total."""
    weights: dict[int, int] = {}
    for cell in plus:
        weights[cell] = weights.get(cell, 0) + 1
    for cell in minus:
        weights[cell] = weights.get(cell, 0) - 1
    kept = [(cell, weight) for cell, weight in weights.items() if weight]
    return Linear(tuple(weight for _, weight in kept), tuple(cell for cell, _ in kept), total)


def relation(a: int, b: int, size: int, allows: Callable[..., bool], *options: int) -> Pair:
    """
    Give the pair primitive of a relation said as a function of the two digits.

    Args:
        a: The first cell.
        b: The second cell.
        size: The number of digits.
        allows: Called with a digit of ``a``, a digit of ``b`` and the options. A function that lives on, such
            as one of a module, has its table made once for each size and options.
        options: Further arguments of the function.
    """
    return Pair(a, b, _table(size, allows, options))


@lru_cache(maxsize=256)
def _table(size: int, allows: Callable[..., bool], options: tuple[int, ...]) -> tuple[int, ...]:
    digits = range(1, size + 1)
    return tuple(mask(y for y in digits if allows(x, y, *options)) for x in digits)


def only(cell: int, digits: Iterable[int], size: int) -> Regular:
    """Give the primitive: this cell holds one of these digits."""
    allowed = set(digits)
    moves = (tuple(1 if d in allowed else -1 for d in range(1, size + 1)), (-1,) * size)
    return Regular((cell,), Automaton(moves, frozenset({1})))


def automaton(
    length: int,
    size: int,
    start: S,
    step: Callable[[S, int], S | None],
    accepts: Callable[[S], bool],
) -> Automaton:
    """
    Give the automaton that is said as a function.

    Args:
        length: The number of cells that it will read.
        size: The number of digits.
        start: The first state, any hashable value.
        step: The next state after a digit, or None where the word is refused.
        accepts: Whether a word may end in this state.

    Returns:
        Only states that can be reached within the length and from which a word can still end well; at
        least the start.
    """
    numbers: dict[S, int] = {start: 0}
    moves: list[list[int]] = []
    fresh = [start]
    for _ in range(length):
        following = []
        for state in fresh:
            row = []
            for digit in range(1, size + 1):
                after = step(state, digit)
                if after is not None and after not in numbers:
                    numbers[after] = len(numbers)
                    following.append(after)
                row.append(-1 if after is None else numbers[after])
            moves.append(row)
        fresh = following
    moves += [[-1] * size for _ in fresh]
    return _trimmed(moves, {number for state, number in numbers.items() if accepts(state)})


def _trimmed(moves: list[list[int]], accepting: set[int]) -> Automaton:
    """Drop the states, but for the start, from which no accepting one can be reached."""
    before: list[list[int]] = [[] for _ in moves]
    for state, row in enumerate(moves):
        for after in set(row) - {-1}:
            before[after].append(state)
    useful, waiting = set(accepting), list(accepting)
    while waiting:
        for state in before[waiting.pop()]:
            if state not in useful:
                useful.add(state)
                waiting.append(state)
    kept = sorted(useful | {0})
    numbers = {state: number for number, state in enumerate(kept)} | {-1: -1}
    rows = tuple(tuple(numbers.get(after, -1) for after in moves[state]) for state in kept)
    return Automaton(rows, frozenset(numbers[state] for state in accepting))
