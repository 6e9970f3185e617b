"""
All given.

Meaning:
    Every mark of the named kinds that could stand on a border does stand there: orthogonal neighbours
    without such a clue do not satisfy its relation. A white dot or a black dot may stand between 1 and
    2, so where both are all given, a 1 and a 2 need one of them.
Drawn as:
    Nothing on the board; the key names it.
Example:
    With all white dots given, 4 and 5 never stand side by side without a white dot.
Often confused with:
    Non-consecutive, which allows no exception; puzzles that show only some of their dots.
Source:
    Common practice of the trade; who stands for whom between 1 and 2 is a choice made here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import ClassVar

from saywhy.grid import Grid
from saywhy.primitives import Pair, Primitive, mask
from saywhy.puzzle import Puzzle
from saywhy.rule import PairRule, Part, Phrases, Rule, RuleError
from saywhy.shapes import Shape


@dataclass(frozen=True)
class AllGiven(Rule):
    """
    Borders without a mark do not satisfy the mark's relation.

    Attributes:
        kinds: The rules of which all marks are given, in file order.
        marked: The borders that carry a mark, the lower cell first, and the rule of the mark.
    """

    name: ClassVar[str] = "all-given"
    title: ClassVar[str] = "All given"
    specimen: ClassVar[str] = """
size = 6
all-given = ["v"]

[[clue]]
rule = "v"
cells = "r1c1 r2c1"

[[clue]]
rule = "v"
cells = "r5c5 r5c6"

[[clue]]
rule = "v"
cells = "r6c1 r6c2"
"""

    grid: Grid
    kinds: tuple[type[PairRule], ...]
    marked: frozenset[tuple[int, int, str]]

    @classmethod
    def of(cls, puzzle: Puzzle) -> AllGiven:
        """
        Give the rule of a puzzle that names at least one kind.

        Raises:
            RuleError: A name is not that of a mark between two cells.
        """
        from saywhy.rules import find, pair_rules

        kinds = []
        for name in puzzle.all_given:
            kind = find(name)
            if kind is None or not issubclass(kind, PairRule):
                what = f"{name[:40]!r} is not a mark of which all can be given"
                raise RuleError("all-given", what, f"Name some of {', '.join(pair_rules())}")
            kinds.append(kind)
        marked = set()
        for clue in puzzle.clues:
            held = find(clue.rule)
            if held is not None and issubclass(held, PairRule):
                marked.add((min(clue.cells), max(clue.cells), held.name))
        return cls(puzzle.grid, tuple(kinds), frozenset(marked))

    @cached_property
    def borders(self) -> tuple[tuple[int, int, tuple[type[PairRule], ...]], ...]:
        """Two neighbours and the kinds that are not marked between them, where there are any."""
        found = []
        for a, b in self.grid.neighbour_pairs:
            missing = tuple(kind for kind in self.kinds if (a, b, kind.name) not in self.marked)
            if missing:
                found.append((a, b, missing))
        return tuple(found)

    def barred(self, missing: tuple[type[PairRule], ...], a: int, b: int) -> bool:
        """
        Say whether two digits may not stand across a border that lacks these marks.

        A 1 and a 2 may, if both dots are all given and only one of them is missing.
        """
        dots = [kind.name for kind in self.kinds if kind.family == "dot"]
        missing_dots = [kind.name for kind in missing if kind.family == "dot"]
        spared = {a, b} == {1, 2} and len(missing_dots) < len(dots)
        return any(kind.relates(a, b) for kind in missing if not (spared and kind.family == "dot"))

    @property
    def scope(self) -> tuple[int, ...]:
        """Every cell of a border that lacks a mark."""
        return tuple(sorted({cell for a, b, _ in self.borders for cell in (a, b)}))

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether no border without a mark satisfies a relation."""
        for a, b, missing in self.borders:
            if digits[a] and digits[b] and self.barred(missing, digits[a], digits[b]):
                return False
        return True if all(digits[cell] for cell in self.scope) else None

    def compile(self) -> list[Primitive]:
        """One relation for each border that lacks a mark."""
        digits = self.grid.digits
        tables = {
            missing: tuple(mask(y for y in digits if not self.barred(missing, x, y)) for x in digits)
            for missing in {missing for _, _, missing in self.borders}
        }
        return [Pair(a, b, tables[missing]) for a, b, missing in self.borders]

    def draw(self) -> list[Shape]:
        """Nothing: the key names it."""
        return []

    @property
    def example(self) -> tuple[int, ...]:
        """A middle cell and its neighbours across borders without a mark."""
        n = self.grid.size
        middle = n // 2 * n + n // 2
        return middle, *(b if a == middle else a for a, b, _ in self.borders if middle in (a, b))

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        marks = " and ".join(_plural(kind) for kind in self.kinds)
        dots = sum(kind.family == "dot" for kind in self.kinds) > 1
        return Phrases(
            noun="border without a mark",
            parts=(Part("cell", "cells", self.scope),),
            sees="next door, with no mark between",
            law=f"all {marks} are given, and there is none here",
            spoken=f"All {marks} are given: where there is none, its rule doesn't hold.",
            written=(
                f"All {marks} are given: two cells that share a side without such a mark do not satisfy "
                f"what it would say.{' Between a 1 and a 2 either dot may stand.' if dots else ''}"
            ),
        )


def _plural(kind: type[PairRule]) -> str:
    """Give what the marks of a kind are called: ``white dots``, ``Xs``."""
    return f"{kind.title}s" if len(kind.title) == 1 else f"{kind.title.lower()}s"
