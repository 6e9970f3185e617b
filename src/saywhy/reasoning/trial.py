"""
Trials: where no look and no story is left, a digit is settled by search, and the path says so.

A host would not say this on camera; it keeps the path complete and its effort honest. The cell is the one
whose digit opens most, among those that the search settles soonest; the certificate is cut down like any
other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from saywhy.reasoning.position import Position
from saywhy.reasoning.small import small_reason
from saywhy.reasoning.step import Find, Step
from saywhy.reasoning.whatif import Stories

#: Nodes of search allowed for one cell, tried in turn.
NODES = (60, 600, 6000, 60_000, 600_000)
#: How many of the cells that open most are tried within each.
CELLS = 12
#: Nodes for each question and for all of them, at least, when a trial's reason is cut down: it is never told
#: in full, so it need not be the smallest.
EACH, ALL = 300, 5000


class Trials:
    """Finds trials for one frame."""

    def __init__(self, stories: Stories, solution: Sequence[int] | None = None) -> None:
        self.frame = stories.frame
        self.stories = stories
        self.solution = solution
        self.every = stories.finder.looks.make("trial", self.frame.stated)

    def finds(self, position: Position) -> Iterator[Find]:
        """Yield the one digit that is best settled by search; nothing if search does not settle any."""
        domains = position.domains()
        solution = self.solution or self._filled(domains)
        if solution is None:
            return
        empty = [cell for cell in self.frame.grid.cells if not position.placed[cell]]
        gains = {
            cell: self.stories.follower.gain(domains, cell, domains[cell] & ~(1 << (solution[cell] - 1)))
            for cell in empty
        }
        best = sorted(empty, key=lambda cell: (-gains[cell], cell))[:CELLS]
        for nodes in NODES:
            for cell in best:
                if (found := self._settled(position, cell, solution[cell], nodes)) is not None:
                    yield found
                    return

    def of(self, position: Position, cell: int, digit: int) -> Find | None:
        """Give the trial that places a digit; None where search does not settle it soon."""
        found = (self._settled(position, cell, digit, nodes) for nodes in NODES[:-1])
        return next((find for find in found if find is not None), None)

    def _settled(self, position: Position, cell: int, digit: int, nodes: int) -> Find | None:
        """Give the trial that refutes all other digits of a cell within so many nodes."""
        asked = position.domains()
        asked[cell] = others = asked[cell] & ~(1 << (digit - 1))
        if self.frame.model.refutes(self.every.ids, asked, nodes) is not True:
            return None
        return Find({cell: digit}, {}, partial(self._step, position, cell, others, nodes))

    def _filled(self, domains: Sequence[int]) -> list[int] | None:
        """Give one filling of the whole board, by the search that proves puzzles; None if none is found."""
        _, kept, *_ = self.frame.model.native.search(None, domains, 1, 1, NODES[-1])
        return kept[0] if kept else None

    def _step(
        self, position: Position, cell: int, others: int, nodes: int, _wanted: Mapping[int, int]
    ) -> Step:
        kept = position.domain(cell) & ~others
        small = small_reason(
            position, self.every, cell, others, kept, nodes=max(2 * nodes, EACH), total=max(2 * nodes, ALL)
        )
        return Step("trial", small.reason, {cell: kept.bit_length()})
