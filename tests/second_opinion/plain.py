"""Plain enumeration in Python: slow, short, and the third voice beside the engine and CP-SAT."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import product

from saywhy.primitives import AllDifferent, Count, Linear, Pair, Primitive, Regular
from saywhy.puzzle import Clue, Puzzle
from saywhy.rule import Rule
from saywhy.rules import placed

Filling = tuple[int, ...]


def grids(puzzle: Puzzle) -> Iterator[Filling]:
    """Give every grid that has the givens and no digit twice in a row, column or region."""
    n = puzzle.grid.size
    regions = puzzle.grid.regions or tuple(range(n * n))
    seen: set[tuple[str, int, int]] = set()
    digits = [0] * n * n

    def houses(cell: int, digit: int) -> list[tuple[str, int, int]]:
        return [("row", cell // n, digit), ("column", cell % n, digit), ("region", regions[cell], digit)]

    def open_digits(cell: int) -> list[int]:
        allowed = (puzzle.givens[cell],) if puzzle.givens[cell] else range(1, n + 1)
        return [digit for digit in allowed if seen.isdisjoint(houses(cell, digit))]

    def fill() -> Iterator[Filling]:
        empty = [(open_digits(cell), cell) for cell in range(n * n) if not digits[cell]]
        if not empty:
            yield tuple(digits)
            return
        allowed, cell = min(empty, key=lambda item: len(item[0]))
        for digit in allowed:
            seen.update(houses(cell, digit))
            digits[cell] = digit
            yield from fill()
            seen.difference_update(houses(cell, digit))
        digits[cell] = 0

    yield from fill()


def solutions(puzzle: Puzzle) -> set[Filling]:
    """Give every grid on which each rule of the puzzle holds, by the rules' own definitions."""
    there = placed(puzzle)
    rules: list[Rule] = [*there.grid_wide.values(), *there.clues]
    return {grid for grid in grids(puzzle) if all(rule.holds(grid) for rule in rules)}


def fillings(puzzle: Puzzle, clue: int) -> tuple[tuple[int, ...], set[Filling]]:
    """
    Give a clue's cells, ascending, and the fillings of just these on which it holds.

    Nothing else is demanded: digits may repeat unless the clue forbids it.
    """
    rule = placed(puzzle).clues[clue]
    cells = tuple(sorted(rule.scope))
    return cells, _where(puzzle.grid.size, cells, lambda digits: rule.holds(digits) is True)


def compiled_fillings(puzzle: Puzzle, clue: int) -> set[Filling]:
    """Give the same by the clue's compiled form, each primitive read naively."""
    rule = placed(puzzle).clues[clue]
    primitives = rule.compile()
    cells = tuple(sorted(rule.scope))
    return _where(puzzle.grid.size, cells, lambda digits: all(obeys(p, digits) for p in primitives))


def _where(size: int, cells: tuple[int, ...], wanted: Callable[[Sequence[int]], bool]) -> set[Filling]:
    digits = [0] * size**2
    found = set()
    for filling in product(range(1, size + 1), repeat=len(cells)):
        for cell, digit in zip(cells, filling, strict=True):
            digits[cell] = digit
        if wanted(digits):
            found.add(filling)
    return found


def obeys(primitive: Primitive, digits: Sequence[int]) -> bool:
    """Say whether digits obey a primitive, by its documented meaning."""
    match primitive:
        case AllDifferent(cells):
            held = [digits[cell] for cell in cells]
            return len(set(held)) == len(held)
        case Linear(coefficients, cells, total):
            weighed = (weight * digits[cell] for weight, cell in zip(coefficients, cells, strict=True))
            return sum(weighed) == total
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


def cells_of(clue: Clue) -> set[int]:
    """Give all cells that a clue names."""
    return {*clue.cells, *(cell for group in clue.groups for cell in group)}
