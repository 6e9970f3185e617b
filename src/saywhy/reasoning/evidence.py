"""From "this digit is gone from that cell" to the facts and houses that show it, as few as can be."""

from __future__ import annotations

from collections.abc import Iterable

from saywhy.engine.constraints import Source
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Reason

#: What it costs a listener to be reminded of one thing: a digit standing in the cell itself, a digit seen
#: along a house, one seen along a house already in mind, a written mark.
FILLED, SEEN, SEEN_AGAIN, MARK = 0.2, 1.0, 0.5, 1.6

#: One way to show that digits are gone from cells: what it rests on, what it shows.
_Way = tuple[str, Source | None, int]


class Evidence:
    """
    Collects needs, each a digit gone from a cell, and finds few things that show them all.

    A need can be shown in three ways: another digit stands in the cell; a placed digit strikes it out
    along a house or rule; or a mark written down earlier. The choice is the greedy set cover (Chvatal 1979),
    by cost of reminding a listener; placed digits come before marks.

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
        n, full = self.position.frame.n, self.position.frame.full
        left = self.needs
        for cell, mask in self.facts.items():
            left &= ~((full & ~mask) << (cell * n))
        ways = self._ways(left)
        while left:
            best = kind, source, cell = self._best(ways, left)
            shown = ways.pop(best) & left
            left ^= shown
            if kind == "mark":
                self.facts[cell] = self.facts.get(cell, full) & ~(shown >> (cell * n))
            else:
                self.rely(cell)
                if source is not None:
                    self.sources.add(source)
            ways = {way: shows for way, shows in ways.items() if shows & left}
        return Reason(frozenset(self.sources), self.facts)

    def _best(self, ways: dict[_Way, int], left: int) -> _Way:
        """Give the way that costs least for what it shows of the needs left; of equals the first by rank."""
        best: _Way | None = None
        least = float("inf")
        for way, shows in ways.items():
            cost = self._cost(way) / (shows & left).bit_count()
            if cost < least or (cost == least and best is not None and self._rank(way) < self._rank(best)):
                best, least = way, cost
        assert best is not None, "every need can be shown"
        return best

    def _cost(self, way: _Way) -> float:
        kind, source, _ = way
        if kind == "filled":
            return FILLED
        if kind == "mark":
            return MARK
        return SEEN_AGAIN if source in self.sources else SEEN

    @staticmethod
    def _rank(way: _Way) -> tuple[str, str, int, int]:
        kind, source, cell = way
        return (kind, "" if source is None else source.kind, -1 if source is None else source.number, cell)

    def _ways(self, needs: int) -> dict[_Way, int]:
        """Give all ways to show some of these needs, each with the needs that it shows."""
        position, frame = self.position, self.position.frame
        n, full, placed = frame.n, frame.full, self.position.placed
        ways: dict[_Way, int] = {}
        while needs:
            cell = ((needs & -needs).bit_length() - 1) // n
            shift = cell * n
            asked = needs >> shift & full
            needs ^= asked << shift
            standing = placed[cell]
            if standing and (gone := asked & ~(1 << (standing - 1))):
                ways["filled", None, cell] = gone << shift
            for other, helds in frame.related[cell]:
                digit = placed[other]
                if not digit or not frame.kills[other * n + digit - 1] >> shift & asked:
                    continue
                for held in helds:
                    if gone := frame.struck(held, other, digit) & asked:
                        (source,) = held.sources
                        way = "seen", source, other
                        ways[way] = ways.get(way, 0) | gone << shift
            if not standing and (gone := asked & ~(position.marks >> shift)):
                ways["mark", None, cell] = gone << shift
        return ways
