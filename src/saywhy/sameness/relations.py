"""
A puzzle as what it asks of its cells, free of the order in which its file says so.

What follows from other parts alone is left out, and what says one thing in several ways is put in one way:
pairs of cells that are equal become classes, sums that equal each other become classes with differences.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from saywhy.engine.constraints import Constraint, constraints
from saywhy.primitives import AllDifferent, Count, Linear, Pair, Regular
from saywhy.puzzle import Puzzle
from saywhy.sameness.languages import Language, complement, language

#: A weighted sum of cells: (cell, weight above 0), ascending; empty for the constant 0.
Sum = tuple[tuple[int, int], ...]
#: For digit d of the first cell, the mask of digits allowed in the second.
Table = tuple[int, ...]
Item = TypeVar("Item", bound=Hashable)


@dataclass
class Relations:
    """
    What a puzzle asks of its cells.

    Attributes:
        size: Digits.
        cells: Number of cells.
        given: The digit of each cell that has one.
        lines: Rows and columns.
        regions: Regions.
        different: Further sets of cells without repeats, none within another.
        equal: Classes of two or more cells that hold the same digit.
        pairs: For two cells, the lower first, their table; neither equality nor difference alone.
        sums: Classes of sums; each sum with what it exceeds the least of its class by. The class that
            holds the constant 0 comes first, and its sums have their totals.
        counts: Sets of cells in which each digit that occurs does so as often as it says.
        words: Cells in order, and the words that they may make.
        turned: Whether digits count from the other end, which tells ``counts`` alone.
    """

    size: int
    cells: int
    given: dict[int, int]
    lines: list[tuple[int, ...]] = field(default_factory=list)
    regions: list[tuple[int, ...]] = field(default_factory=list)
    different: list[tuple[int, ...]] = field(default_factory=list)
    equal: list[tuple[int, ...]] = field(default_factory=list)
    pairs: dict[tuple[int, int], Table] = field(default_factory=dict)
    sums: list[list[tuple[Sum, int]]] = field(default_factory=list)
    counts: list[tuple[int, ...]] = field(default_factory=list)
    words: list[tuple[tuple[int, ...], Language]] = field(default_factory=list)
    turned: bool = False


def relations(puzzle: Puzzle, *, turned: bool = False) -> Relations:
    """
    Give what a puzzle asks of its cells.

    Args:
        puzzle: The puzzle.
        turned: Whether to replace each digit d by n + 1 - d in everything that is said.
    """
    grid = puzzle.grid
    n = grid.size
    given = {cell: n + 1 - digit if turned else digit for cell, digit in enumerate(puzzle.givens) if digit}
    found = Relations(n, n * n, given, turned=turned)
    for house in grid.houses:
        (found.regions if house.kind == "region" else found.lines).append(house.cells)
    made = _Making(n, found)
    for constraint in constraints(puzzle):
        if constraint.source.kind != "house":
            made.add(constraint, turned=turned)
    made.finish()
    return found


class _Making:
    """Gathers primitives into relations."""

    def __init__(self, size: int, found: Relations) -> None:
        self.size = size
        self.found = found
        self.different: set[frozenset[int]] = set()
        self.equal: _Classes[int] = _Classes()
        self.sums: _Classes[Sum] = _Classes()
        self.odd: set[tuple[Sum, Sum, int]] = set()
        self.words: dict[tuple[tuple[int, ...], Language], None] = {}

    def add(self, constraint: Constraint, *, turned: bool) -> None:
        match constraint.primitive:
            case AllDifferent(cells):
                self.different.add(frozenset(cells))
            case Linear(coefficients, cells, total):
                self._linear(coefficients, cells, total, turned=turned)
            case Pair(a, b, table):
                self._pair(a, b, _turned(table, self.size) if turned else table)
            case Regular(cells, automaton):
                held = language(complement(automaton) if turned else automaton, len(cells))
                self.words[_least_end(cells, held)] = None
            case Count(cells):
                self.found.counts.append(tuple(sorted(cells)))

    def finish(self) -> None:
        found = self.found
        unlike = {pair for pair, table in found.pairs.items() if table == _unlike(self.size)}
        self.different |= {frozenset(pair) for pair in unlike}
        found.pairs = {pair: table for pair, table in found.pairs.items() if pair not in unlike}
        houses = [sum(1 << cell for cell in cells) for cells in (*found.lines, *found.regions)]
        sets = sorted((sum(1 << cell for cell in cells) for cells in self.different), key=int.bit_count)
        large = [held for held in sets if held.bit_count() > 2]
        for place, held in enumerate(sets):
            wider = (*houses, *(large if held.bit_count() == 2 else sets[place + 1 :]))
            within = any(held & ~other == 0 for other in wider)
            if held.bit_count() > 1 and not within:
                found.different.append(_cells(held))
        found.equal = [tuple(sorted(cells)) for cells in self.equal.classes()]
        found.sums = self._classes_of_sums()
        found.counts = sorted(set(found.counts))
        found.words = list(self.words)

    def _linear(self, coefficients: Iterable[int], cells: Iterable[int], total: int, *, turned: bool) -> None:
        weights = sorted(zip(cells, coefficients, strict=True))
        plus = tuple((cell, weight) for cell, weight in weights if weight > 0)
        minus = tuple((cell, -weight) for cell, weight in weights if weight < 0)
        if turned:
            total = (self.size + 1) * sum(weight for _, weight in weights) - total
        if not self.sums.join(plus, minus, total):
            self.odd.add(min((plus, minus, total), (minus, plus, -total)))

    def _pair(self, a: int, b: int, table: Table) -> None:
        if table == tuple(1 << place for place in range(self.size)):
            self.equal.join(a, b, 0)
            return
        if a > b:
            a, b, table = b, a, transposed(table)
        before = self.found.pairs.get((a, b))
        if before is not None:
            table = tuple(x & y for x, y in zip(before, table, strict=True))
        self.found.pairs[a, b] = table

    def _classes_of_sums(self) -> list[list[tuple[Sum, int]]]:
        """Give the class of the constant first, then the others, then sums that clash with their class."""
        constant: list[tuple[Sum, int]] = []
        others = []
        for held in self.sums.classes():
            base = held[()] if () in held else min(held.values())
            items = [(item, offset - base) for item, offset in held.items() if item]
            if () in held:
                constant = items
            else:
                others.append(items)
        clashing = [[(plus, total), (minus, 0)] for plus, minus, total in self.odd]
        return [constant, *others, *([item for item in held if item[0]] for held in clashing)]


class _Classes(Generic[Item]):
    """Things with known differences, gathered into classes (union-find with offsets)."""

    def __init__(self) -> None:
        self.parent: dict[Item, tuple[Item, int]] = {}

    def join(self, one: Item, other: Item, difference: int) -> bool:
        """Record that one exceeds the other by this; False where that contradicts what is known."""
        root, above = self._root(one)
        other_root, other_above = self._root(other)
        if root == other_root:
            return above == other_above + difference
        self.parent[root] = other_root, other_above + difference - above
        return True

    def classes(self) -> list[dict[Item, int]]:
        """Give each class of at least two, with offsets from one of its members."""
        found: dict[Item, dict[Item, int]] = defaultdict(dict)
        for item in self.parent:
            root, above = self._root(item)
            found[root][item] = above
        return [held for held in found.values() if len(held) > 1]

    def _root(self, item: Item) -> tuple[Item, int]:
        self.parent.setdefault(item, (item, 0))
        above = 0
        while self.parent[item][0] != item:
            item, step = self.parent[item]
            above += step
        return item, above


def transposed(table: Table) -> Table:
    """Give the table with its two cells exchanged."""
    digits = range(len(table))
    return tuple(sum((table[y] >> x & 1) << y for y in digits) for x in digits)


def _turned(table: Table, size: int) -> Table:
    return tuple(
        sum((row >> digit & 1) << (size - 1 - digit) for digit in range(size)) for row in table[::-1]
    )


def _unlike(size: int) -> Table:
    full = (1 << size) - 1
    return tuple(full & ~(1 << digit) for digit in range(size))


def _least_end(cells: tuple[int, ...], held: Language) -> tuple[tuple[int, ...], Language]:
    """Read the cells from the end from which the words come first, where that can be told."""
    back = held.reversed
    if back is not None and back.layers < held.layers:
        return cells[::-1], back
    return cells, held


def _cells(held: int) -> tuple[int, ...]:
    return tuple(cell for cell in range(held.bit_length()) if held >> cell & 1)
