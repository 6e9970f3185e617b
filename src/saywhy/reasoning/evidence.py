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
    """

    def __init__(self, position: Position, sources: Iterable[Source] = ()) -> None:
        self.position = position
        self.sources = set(sources)
        self.facts: dict[int, int] = {}
        self.needs: set[tuple[int, int]] = set()

    def need(self, cell: int, mask: int) -> None:
        """Ask for evidence that these digits are gone from the cell."""
        place = 0
        while mask:
            if mask & 1:
                self.needs.add((cell, place))
            mask >>= 1
            place += 1

    def rely(self, cell: int) -> None:
        """Rely on the digit that stands in a cell."""
        self.facts[cell] = 1 << (self.position.placed[cell] - 1)

    def reason(self) -> Reason:
        """Give the sources and facts that show all needs."""
        open_needs = {
            need
            for need in self.needs
            if not (need[0] in self.facts and not self.facts[need[0]] >> need[1] & 1)
        }
        ways = self._ways(open_needs)
        while open_needs:
            best = min(ways, key=lambda way: (self._cost(way) / len(ways[way] & open_needs), self._rank(way)))
            kind, source, cell = best
            shown = ways.pop(best) & open_needs
            open_needs -= shown
            if kind == "mark":
                gone = sum(1 << place for _, place in shown)
                self.facts[cell] = self.facts.get(cell, self.position.frame.full) & ~gone
            else:
                self.rely(cell)
                if source is not None:
                    self.sources.add(source)
            ways = {way: shows for way, shows in ways.items() if shows & open_needs}
        return Reason(frozenset(self.sources), self.facts)

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
        return (kind, "" if source is None else source.kind, -1 if source is None else source.index, cell)

    def _ways(self, needs: set[tuple[int, int]]) -> dict[_Way, set[tuple[int, int]]]:
        position, frame = self.position, self.position.frame
        ways: dict[_Way, set[tuple[int, int]]] = {}
        for need in needs:
            cell, place = need
            standing = position.placed[cell]
            if standing and standing != place + 1:
                ways.setdefault(("filled", None, cell), set()).add(need)
            for other, helds in frame.related[cell]:
                digit = position.placed[other]
                if not digit:
                    continue
                for held in helds:
                    if frame.struck(held, other, digit) >> place & 1:
                        (source,) = held.sources
                        ways.setdefault(("seen", source, other), set()).add(need)
            if not standing and not position.marks >> (cell * frame.n + place) & 1:
                ways.setdefault(("mark", None, cell), set()).add(need)
        return ways
