"""From "this digit is gone from that cell" to the facts and houses that show it, as few as can be."""

from __future__ import annotations

from collections.abc import Iterable

from saywhy.engine.constraints import Source
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Reason

#: What it costs a listener to be reminded of one thing: a digit standing in the cell itself, a digit seen
#: along a house, one seen along a house already in mind, a written mark.
COSTS = 0.2, 1.0, 0.5, 1.6


class Evidence:
    """
    Collects needs, each a digit gone from a cell, and finds few things that show them all.

    A need can be shown in three ways: another digit stands in the cell; a placed digit strikes it out
    along a house or rule; or a mark written down earlier. The choice is a greedy set cover by the cost of
    reminding a listener (native/cover.h); placed digits come before marks.

    Attributes:
        position: Where the solve stands.
        sources: What is called on, that of the reason included.
        facts: For each cell relied on, the mask of digits known to be left there.
        needs: The candidates to be shown gone, as a set (see ``frame``).
    """

    def __init__(self, position: Position, sources: Iterable[Source] = ()) -> None:
        self.position = position
        self.sources = set(sources)
        self.facts: dict[int, int] = {}
        self.needs = 0

    def need(self, cell: int, mask: int) -> None:
        """Ask for evidence that these digits are gone from the cell."""
        self.needs |= mask << (cell * self.position.frame.n)

    def rely(self, cell: int) -> None:
        """Rely on the digit that stands in a cell."""
        self.facts[cell] = 1 << (self.position.placed[cell] - 1)

    def reason(self) -> Reason:
        """Give the sources and facts that show all needs."""
        position, frame = self.position, self.position.frame
        n, full = frame.n, frame.full
        left = self.needs
        for cell, mask in self.facts.items():
            left &= ~((full & ~mask) << (cell * n))
        needs = []
        while left:
            cell = ((left & -left).bit_length() - 1) // n
            asked = left >> (cell * n) & full
            left ^= asked << (cell * n)
            needs.append((cell, asked, asked & ~(position.marks >> (cell * n))))
        if needs:
            called = [frame.along[source] for source in self.sources if source in frame.along]
            sources = tuple(frame.along)
            for number, cell, digits in frame.cover.choose(needs, position.placed, called, COSTS):
                if digits:
                    self.facts[cell] = self.facts.get(cell, full) & ~digits
                    continue
                self.rely(cell)
                if number >= 0:
                    self.sources.add(sources[number])
        return Reason(frozenset(self.sources), self.facts)
