"""
The five primitives that every rule compiles to; the engine knows nothing else.

Cells are indices into the grid; digits are 1 to n; a set of digits is a bit mask in which bit
d - 1 stands for digit d.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass
from typing import TypeVar

#: A state of an automaton while it is built: any hashable value.
S = TypeVar("S", bound=Hashable)


def mask(digits: Iterable[int]) -> int:
    """Give the bit mask of these digits."""
    return sum({1 << (digit - 1) for digit in digits})


def digits_of(bits: int) -> list[int]:
    """List the digits of a bit mask, ascending."""
    return [digit for digit in range(1, bits.bit_length() + 1) if bits >> (digit - 1) & 1]


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


def relation(a: int, b: int, size: int, allows: Callable[[int, int], bool]) -> Pair:
    """Give the pair primitive of a relation said as a function of the two digits."""
    digits = range(1, size + 1)
    return Pair(a, b, tuple(mask(y for y in digits if allows(x, y)) for x in digits))


def only(cell: int, digits: Iterable[int], size: int) -> Regular:
    """Give the primitive: this cell holds one of these digits."""
    allowed = set(digits)
    moves = (tuple(1 if d in allowed else -1 for d in range(1, size + 1)), (-1,) * size)
    return Regular((cell,), Automaton(moves, frozenset({1})))


def word(
    cells: Iterable[int],
    size: int,
    start: S,
    step: Callable[[S, int], S | None],
    accepts: Callable[[S], bool],
) -> Regular:
    """
    Give the regular primitive of an automaton said as a function.

    Args:
        cells: The cells in reading order.
        size: The number of digits.
        start: The first state, any hashable value.
        step: The next state after a digit, or None where the word is refused.
        accepts: Whether a word may end in this state.

    Only states that can be reached within ``len(cells)`` digits are made.
    """
    read = tuple(cells)
    numbers: dict[S, int] = {start: 0}
    moves: dict[S, tuple[int, ...]] = {}
    fresh = [start]
    for _ in read:
        following = []
        for state in fresh:
            row = []
            for digit in range(1, size + 1):
                after = step(state, digit)
                if after is None:
                    row.append(-1)
                    continue
                if after not in numbers:
                    numbers[after] = len(numbers)
                    following.append(after)
                row.append(numbers[after])
            moves[state] = tuple(row)
        fresh = following
    for state in fresh:
        moves[state] = (-1,) * size
    accepting = frozenset(number for state, number in numbers.items() if accepts(state))
    return Regular(read, Automaton(tuple(moves[state] for state in numbers), accepting))
