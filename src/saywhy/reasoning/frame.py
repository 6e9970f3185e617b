"""
What stays the same while one puzzle is reasoned about.

A *candidate* is a cell with a digit; candidate number ``cell * n + digit - 1``. Sets of candidates are
Python integers used as bit sets: the whole board is one number, and "wherever it goes, this is gone" is
one ``&``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from saywhy.engine import _native
from saywhy.engine.constraints import Source, constraints
from saywhy.engine.model import Model
from saywhy.grid import House
from saywhy.primitives import AllDifferent, Pair, Primitive
from saywhy.puzzle import Puzzle
from saywhy.reasoning.step import Reason
from saywhy.rule import ClueRule, Rule
from saywhy.rules import placed


@dataclass(frozen=True, eq=False)
class Held:
    """
    A primitive that looks may use.

    Attributes:
        id: Its number in the native model.
        primitive: What it says.
        sources: What it rests on; a derived sum rests on several.
    """

    id: int
    primitive: Primitive
    sources: frozenset[Source]

    @property
    def cells(self) -> tuple[int, ...]:
        """The cells it speaks of."""
        return (
            (self.primitive.a, self.primitive.b) if isinstance(self.primitive, Pair) else self.primitive.cells
        )


def bits(number: int) -> Iterator[int]:
    """Give the places of the ones of a number, ascending."""
    while number:
        low = number & -number
        yield low.bit_length() - 1
        number ^= low


class Frame:
    """
    A puzzle made ready for reasoning.

    Attributes:
        puzzle: The puzzle.
        grid: Its grid.
        n: Digits, 1 to n.
        full: The mask of all digits.
        clues: The placed clue rules, by clue index.
        model: The native model; primitives are added to it as looks are built.
        held: Every primitive by its id.
        houses: Rows, columns, regions, then the n-cell houses that rules make, each with its source.
        barren: For a house and a size of subset, the candidates in which the house last showed none.
    """

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.grid = puzzle.grid
        self.n = puzzle.grid.size
        self.full = (1 << self.n) - 1
        rules = placed(puzzle)
        self.clues: tuple[ClueRule, ...] = rules.clues
        self.wide: dict[str, Rule] = rules.grid_wide
        compiled = constraints(puzzle)
        self.model = Model(self.n, len(self.grid.cells), (c.primitive for c in compiled))
        self.held: list[Held] = [
            Held(number, constraint.primitive, frozenset({constraint.source}))
            for number, constraint in enumerate(compiled)
        ]
        self._stated = len(self.held)
        self._by_source: dict[Source, list[Held]] = {}
        for held in self.held:
            for source in held.sources:
                self._by_source.setdefault(source, []).append(held)
        self._derived: dict[tuple[Primitive, frozenset[Source]], Held] = {}
        self.houses: list[tuple[House, Source]] = self._houses()
        self.barren: dict[tuple[int, int], int] = {}
        self._struck_by_each: dict[int, int] = {}

    @property
    def stated(self) -> list[Held]:
        """The primitives that the puzzle itself states."""
        return self.held[: self._stated]

    def clue_cells(self, reason: Reason) -> int:
        """Give how many cells the clues of a reason have in all."""
        return sum(len(self.clues[source.number].scope) for source in reason.of_kind("clue"))

    def distance(self, a: int, b: int) -> int:
        """Give the way between two cells: the greater of rows and columns."""
        (row, column), (other_row, other_column) = self.grid.place(a), self.grid.place(b)
        return max(abs(row - other_row), abs(column - other_column))

    def of(self, source: Source) -> list[Held]:
        """Give the primitives that come from this source alone."""
        return self._by_source.get(source, [])

    def clue_source(self, index: int) -> Source:
        """Give the source of a clue."""
        return Source("clue", index, f"clue {index}")

    def derive(self, primitive: Primitive, sources: Iterable[Source]) -> Held:
        """Give a primitive that follows from these sources together, adding it where it is new."""
        key = (primitive, frozenset(sources))
        if key not in self._derived:
            held = Held(self.model.add(primitive), primitive, key[1])
            self.held.append(held)
            self._derived[key] = held
        return self._derived[key]

    def _houses(self) -> list[tuple[House, Source]]:
        found = [(house, Source("house", index, house.name)) for index, house in enumerate(self.grid.houses)]
        for index, (name, rule) in enumerate(self.wide.items()):
            found += [(house, Source("rule", index, name)) for house in rule.houses()]
        for index, clue in enumerate(self.clues):
            found += [(house, self.clue_source(index)) for house in clue.houses()]
        return found

    @cached_property
    def sights(self) -> list[Held]:
        """
        Give the primitives along which a placed digit strikes others out at sight.

        A region is nearer to the eye than a row or a column, and a house nearer than a rule.
        """
        order = {"house": 0, "rule": 1, "clue": 2}

        def rank(held: Held) -> tuple[int, bool, int]:
            (source,) = held.sources
            return order[source.kind], not source.name.startswith("region"), held.id

        return sorted((held for held in self.stated if self._is_sight(held)), key=rank)

    @cached_property
    def sight_spans(self) -> list[tuple[Held, int]]:
        """Give the sights in order, each with its cells as a set."""
        return [(held, sum(1 << cell for cell in held.cells)) for held in self.sights]

    @cached_property
    def along(self) -> dict[Source, int]:
        """Give what there are sights along, in order, each with its place."""
        return {s: place for place, s in enumerate(sorted({s for held in self.sights for s in held.sources}))}

    @cached_property
    def cover(self) -> _native.Cover:
        """Give what chooses among sights, which it knows by their place in ``along``."""
        cover = _native.Cover(self.n, len(self.grid.cells))
        for held in self.sights:
            (source,) = held.sources
            match held.primitive:
                case AllDifferent(cells):
                    cover.add_different(self.along[source], cells)
                case Pair(a, b, table):
                    cover.add_pair(self.along[source], a, b, table)
        return cover

    @cached_property
    def relations(self) -> dict[tuple[int, int], list[Held]]:
        """For two cells (both orders) the differences and grid-wide relations between them, best first."""
        found: dict[tuple[int, int], list[Held]] = {}
        for held in self.sights:
            cells = held.cells
            for a in cells:
                for b in cells:
                    if a != b:
                        found.setdefault((a, b), []).append(held)
        return found

    @cached_property
    def related(self) -> list[list[tuple[int, list[Held]]]]:
        """For each cell, the cells that may strike digits out of it at sight, with the relations."""
        found: list[list[tuple[int, list[Held]]]] = [[] for _ in self.grid.cells]
        for (a, b), helds in self.relations.items():
            found[b].append((a, helds))
        return found

    @staticmethod
    def _is_sight(held: Held) -> bool:
        if isinstance(held.primitive, AllDifferent):
            return True
        return isinstance(held.primitive, Pair) and all(s.kind == "rule" for s in held.sources)

    def struck(self, held: Held, a: int, digit: int) -> int:
        """Give the mask of digits that a digit in cell a strikes out of the relation's other cells."""
        primitive = held.primitive
        if isinstance(primitive, AllDifferent):
            return 1 << (digit - 1)
        assert isinstance(primitive, Pair)
        if primitive.a == a:
            return self.full & ~primitive.table[digit - 1]
        return sum(1 << e for e in range(self.n) if not primitive.table[e] >> (digit - 1) & 1)

    @cached_property
    def kills(self) -> list[int]:
        """For each candidate, the set of other candidates that it strikes out at sight."""
        n = self.n
        found = []
        for cell in self.grid.cells:
            same = sum(1 << (b * n) for b in self.sees[cell])
            other = [
                (b, held)
                for b, helds in self.related[cell]
                for held in helds
                if not isinstance(held.primitive, AllDifferent)
            ]
            for digit in range(1, n + 1):
                struck = same << (digit - 1)
                for b, held in other:
                    struck |= self.struck(held, cell, digit) << (b * n)
                found.append(struck)
        return found

    def struck_by_each(self, candidates: int) -> int:
        """Give the candidates that each of these strikes out at sight: gone whichever of them stands."""
        if candidates not in self._struck_by_each:
            common = -1
            for candidate in bits(candidates):
                common &= self.kills[candidate]
            self._struck_by_each[candidates] = common
        return self._struck_by_each[candidates]

    @cached_property
    def sees(self) -> list[frozenset[int]]:
        """For each cell, the cells that cannot hold the same digit."""
        seen: list[set[int]] = [set() for _ in self.grid.cells]
        for (a, b), helds in self.relations.items():
            if any(isinstance(held.primitive, AllDifferent) for held in helds):
                seen[a].add(b)
        return [frozenset(cells) for cells in seen]

    @cached_property
    def house_scopes(self) -> list[int]:
        """For each house the set of all its candidates."""
        return [sum(self.full << (cell * self.n) for cell in house.cells) for house, _ in self.houses]

    @cached_property
    def house_columns(self) -> list[list[int]]:
        """For each house and each digit (from 0) the set of its candidates there."""
        return [
            [sum(1 << (cell * self.n + place) for cell in house.cells) for place in range(self.n)]
            for house, _ in self.houses
        ]

    def candidates(self, domains: Iterable[int]) -> int:
        """Give domains (one mask a cell) as one set of candidates."""
        return sum(mask << (cell * self.n) for cell, mask in enumerate(domains))

    def as_set(self, masks: Mapping[int, int]) -> int:
        """Give masks by cell as one set of candidates."""
        return sum(mask << (cell * self.n) for cell, mask in masks.items())

    def domain(self, candidates: int, cell: int) -> int:
        """Give the mask of digits of one cell."""
        return candidates >> (cell * self.n) & self.full

    def domains(self, candidates: int) -> list[int]:
        """Give a set of candidates as one mask a cell."""
        n, full = self.n, self.full
        return [candidates >> shift & full for shift in range(0, len(self.grid.cells) * n, n)]
