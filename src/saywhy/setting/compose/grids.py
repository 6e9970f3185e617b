"""Filled grids that a sketch allows, found by the engine's search with a shuffled order of digits."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from random import Random

from saywhy.engine.constraints import constraints
from saywhy.engine.model import Model
from saywhy.puzzle import Puzzle
from saywhy.setting.compose.patterns import Pattern

#: Digits tried in the search for one grid, and for all that are asked for at once.
ONE_NODES, ALL_NODES = 4_000, 30_000
#: Digits tried where it is to be settled whether there is a grid at all.
PATIENT_NODES = 400_000


class Grids:
    """
    The filled grids that keep a puzzle, and a pattern that it hides.

    Args:
        puzzle: The puzzle.
        pattern: The pattern.
        unlike: One grid that is left out.

    Attributes:
        none: Whether it is proved that there are none.
    """

    def __init__(self, puzzle: Puzzle, pattern: Pattern | None = None, unlike: tuple[int, ...] = ()) -> None:
        self._unlike = unlike
        hidden = [] if pattern is None else pattern.primitives(puzzle.grid)
        held = constraints(puzzle)
        self.none = False
        self._givens = puzzle.givens
        self._model = Model(puzzle.grid.size, len(puzzle.givens), chain((c.primitive for c in held), hidden))

    def some(
        self, many: int, random: Random, domains: Sequence[int] | None = None, nodes: int = ALL_NODES
    ) -> list[tuple[int, ...]]:
        """
        Give up to so many grids, each from a search of its own; fewer where the search grows long.

        Args:
            many: How many.
            random: The source of chance; the same state gives the same grids.
            domains: One mask a cell; what the givens leave where None.
            nodes: Digits tried in all.
        """
        start = self._start(domains)
        found: list[tuple[int, ...]] = []
        for _ in range(many if all(start) else 0):
            _, kept, finished, used, _ = self._model.native.search(
                None, start, 1, 1, min(ONE_NODES, nodes), None, None, random.getrandbits(32) | 1
            )
            nodes -= used
            if kept and tuple(kept[0]) != self._unlike:
                found.append(tuple(kept[0]))
            elif finished and not kept:
                self.none = True
                return []
            if nodes <= 0:
                break
        return found

    def settle(self) -> bool:
        """Search long for one grid, and say whether there is none: False where that is not known."""
        found, _, finished, _, _ = self._model.native.search(None, self._start(None), 1, 0, PATIENT_NODES)
        self.none = finished and not found
        return self.none

    def _start(self, domains: Sequence[int] | None) -> list[int]:
        full = (1 << self._model.size) - 1
        return [
            (full if domains is None else domains[cell]) & (1 << (given - 1) if given else full)
            for cell, given in enumerate(self._givens)
        ]
