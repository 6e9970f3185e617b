"""
The looks at clues: which primitives are considered together, found once for a puzzle.

A look is judged by the native core, which gives every digit that appears in none of its joint fillings.
Looks come in families of growing breadth; a path asks the narrow ones first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent
from saywhy.reasoning.derived import derived_sums
from saywhy.reasoning.frame import Frame, Held
from saywhy.rule import ClueRule


@dataclass(frozen=True, eq=False)
class Look:
    """
    Some primitives considered together.

    Attributes:
        family: Its breadth: ``clue``, ``clue and house``, ``two clues`` ...
        helds: The primitives, clues first.
        cells: All cells that they speak of, ascending.
        scope: The candidates of these cells, as a set.
    """

    family: str
    helds: tuple[Held, ...]
    cells: tuple[int, ...]
    scope: int

    @cached_property
    def ids(self) -> list[int]:
        """The primitives' numbers in the native model."""
        return [held.id for held in self.helds]


class Looks:
    """All looks of a frame, by family, made when first asked for."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self._made: dict[str, list[Look]] = {}
        self._whole: dict[Look, list[Look]] = {}
        self._house_looks: dict[Held, Look] = {}
        self._cuts: dict[tuple[int, int], Held] = {}

    def family(self, name: str) -> list[Look]:
        """Give the looks of one family."""
        if name not in self._made:
            makers = {
                "clue": self._one_clue,
                "rule": self._one_rule,
                "clue and house": self._clue_and_house,
                "derived sum": self._derived_sums,
                "two clues": self._two_clues,
                "clue and two houses": self._clue_and_two_houses,
                "three clues": self._three_clues,
            }
            seen: set[tuple[int, ...]] = set()
            made = []
            for look in makers[name]():
                key = tuple(sorted(look.ids))
                if key not in seen:
                    seen.add(key)
                    made.append(look)
            self._made[name] = made
        return self._made[name]

    def make(self, family: str, helds: Iterable[Held]) -> Look:
        """Give a look at these primitives."""
        kept = tuple(dict.fromkeys(helds))
        cells = tuple(sorted({cell for held in kept for cell in held.cells}))
        frame = self.frame
        return Look(family, kept, cells, sum(frame.full << (cell * frame.n) for cell in cells))

    def whole_houses(self, look: Look) -> list[Look]:
        """Give a look at each whole house among a look's primitives, unless the look is that house alone."""
        n = self.frame.n
        if look not in self._whole:
            self._whole[look] = [
                self._house_look(held)
                for held in look.helds
                if len(look.helds) > 1 and isinstance(held.primitive, AllDifferent) and len(held.cells) == n
            ]
        return self._whole[look]

    def _house_look(self, held: Held) -> Look:
        if held not in self._house_looks:
            self._house_looks[held] = self.make("house", [held])
        return self._house_looks[held]

    def distinctness(self, cells: Iterable[int]) -> list[Held]:
        """
        Give what houses and grid-wide rules say of these cells among themselves: which differ.

        Each house is cut down to the cells in question; a group inside a group that is already there is
        left out, rows and columns giving way to regions.
        """
        asked = sum(1 << cell for cell in set(cells))
        groups: dict[int, Held] = {}
        related: list[tuple[int, Held]] = []
        for held, span in self.frame.sight_spans:
            common = span & asked
            if not common & (common - 1):
                continue
            if not isinstance(held.primitive, AllDifferent):
                if common == span:
                    related.append((common, held))
            elif common not in groups:
                groups[common] = held if common == span else self._cut(held, common)
        found: list[tuple[int, Held]] = []
        for common, held in sorted(groups.items(), key=lambda group: -group[0].bit_count()):
            if all(common & other != common for other, _ in found):
                found.append((common, held))
        return [held for _, held in [*found, *related]]

    def _cut(self, held: Held, cells: int) -> Held:
        """Give a difference cut down to some of its cells (as a set)."""
        key = held.id, cells
        if key not in self._cuts:
            kept = tuple(cell for cell in held.cells if cells >> cell & 1)
            self._cuts[key] = self.frame.derive(AllDifferent(kept), held.sources)
        return self._cuts[key]

    def clue_helds(self, index: int) -> list[Held]:
        """Give the primitives of one clue."""
        return self.frame.of(self.frame.clue_source(index))

    def _one_clue(self) -> Iterator[Look]:
        for index, clue in enumerate(self.frame.clues):
            parts = self._pieces(index)
            for part in parts:
                yield self.make("clue", [*part, *self.distinctness({c for h in part for c in h.cells})])
            if len(parts) > 1 and len(clue.scope) <= 3 * self.frame.n:
                yield self.make("clue", [*self.clue_helds(index), *self.distinctness(clue.scope)])

    def _pieces(self, index: int) -> list[list[Held]]:
        """Give a clue's primitives as one look, or one look for each if they are many."""
        helds = self.clue_helds(index)
        if len(helds) <= 2:
            return [helds]
        different = [held for held in helds if isinstance(held.primitive, AllDifferent)]
        return [
            [held, *(d for d in different if set(held.cells) <= set(d.cells))]
            for held in helds
            if held not in different
        ] or [different]

    def _one_rule(self) -> Iterator[Look]:
        """Looks at single relations of grid-wide rules that sight alone does not exhaust."""
        for index, name in enumerate(self.frame.wide):
            for held in self.frame.of(Source("rule", index, name)):
                if not isinstance(held.primitive, AllDifferent):
                    yield self.make("rule", [held, *self.distinctness(held.cells)])

    def _derived_sums(self) -> Iterator[Look]:
        for held in derived_sums(self.frame):
            yield self.make("derived sum", [held, *self.distinctness(held.cells)])

    def _clue_and_house(self) -> Iterator[Look]:
        for index, clue in enumerate(self.frame.clues):
            for house, source in self.frame.houses:
                shared = set(house.cells) & set(clue.scope)
                if len(shared) < 2 or source == self.frame.clue_source(index):
                    continue
                yield self._with_houses("clue and house", index, [(house.cells, source)])

    def _clue_and_two_houses(self) -> Iterator[Look]:
        for index, clue in enumerate(self.frame.clues):
            near = [
                (house.cells, source)
                for house, source in self.frame.houses
                if set(house.cells) & set(clue.scope) and source != self.frame.clue_source(index)
            ]
            for one, two in combinations(near, 2):
                # A house that hangs on by one cell adds nothing: it has shown that cell's digits itself.
                links = [set(a) & {*clue.scope, *b} for (a, _), (b, _) in ((one, two), (two, one))]
                if min(map(len, links)) == 1:
                    continue
                yield self._with_houses("clue and two houses", index, [one, two])

    def _with_houses(self, family: str, index: int, houses: list[tuple[tuple[int, ...], Source]]) -> Look:
        whole = []
        for cells, source in houses:
            whole += [h for h in self.frame.of(source) if set(h.cells) == set(cells)] or [
                self.frame.derive(AllDifferent(cells), [source])
            ]
        return self.make(
            family, [*self.clue_helds(index), *whole, *self.distinctness(self.frame.clues[index].scope)]
        )

    @cached_property
    def _neighbours(self) -> list[list[int]]:
        """For each clue, the later clues that share a cell or see each other in a house."""
        scopes = [set(clue.scope) for clue in self.frame.clues]
        seen = [scope.union(*(self.frame.sees[cell] for cell in scope)) for scope in scopes]
        return [[b for b in range(a + 1, len(scopes)) if seen[a] & scopes[b]] for a in range(len(scopes))]

    def _joint(self, family: str, indexes: tuple[int, ...]) -> Look:
        clues: list[ClueRule] = [self.frame.clues[index] for index in indexes]
        cells = {cell for clue in clues for cell in clue.scope}
        helds = [held for index in indexes for held in self.clue_helds(index)]
        return self.make(family, [*helds, *self.distinctness(cells)])

    def _two_clues(self) -> Iterator[Look]:
        for a, later in enumerate(self._neighbours):
            for b in later:
                yield self._joint("two clues", (a, b))

    def _three_clues(self) -> Iterator[Look]:
        scopes = [set(clue.scope) for clue in self.frame.clues]
        for a, later in enumerate(self._neighbours):
            for b, c in combinations(later, 2):
                if len(scopes[a] | scopes[b] | scopes[c]) <= 15 and (
                    c in self._neighbours[b] or scopes[b] & scopes[c]
                ):
                    yield self._joint("three clues", (a, b, c))
