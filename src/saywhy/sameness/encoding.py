"""
What a puzzle asks, as a graph: two puzzles are the same just where their graphs are.

Rows with columns exchanged, turns and mirrors are renumberings of the cells, so nothing need be said about
which of them a rule survives: they are those that map what it compiles to onto itself. Relabelling is a
renumbering of the digits in the same way, where every relation is small enough to be spelt out digit by
digit. Sums and counts are not: there digits are fixed, and the puzzle is compared in two forms, as it is and
with each digit d replaced by n + 1 - d.
"""

from __future__ import annotations

from saywhy.sameness.graphs import ColouredGraph
from saywhy.sameness.languages import Language
from saywhy.sameness.relations import Relations, Sum, Table, transposed

#: The most links of a language that is spelt out digit by digit; above, its digits are fixed.
SPELT = 150


def relabels(relations: Relations) -> bool:
    """Say whether all relabellings are tried and not only the one from the other end."""
    if relations.counts or any(relations.sums):
        return False
    return all(held.links <= SPELT and _has_one_end(held) for _, held in relations.words)


def _has_one_end(held: Language) -> bool:
    """Say whether its ends are alike, or told apart however digits are relabelled."""
    back = held.reversed
    return back is None or back == held


def encode(relations: Relations) -> ColouredGraph:
    """Give the graph of a puzzle."""
    return _Encoder(relations, free=relabels(relations)).graph


class _Encoder:
    """
    Builds the graph.

    Attributes:
        digits: The vertices of the digits.
        free: Whether digits may be renumbered.
    """

    def __init__(self, held: Relations, *, free: bool) -> None:
        self.free = free
        self.graph = graph = ColouredGraph()
        self.cells = [graph.vertex(("cell",)) for _ in range(held.cells)]
        self.digits = [graph.vertex(("digit",) if free else ("digit", d + 1)) for d in range(held.size)]
        self.tables: dict[Table, tuple[int, int]] = {}
        self.languages: dict[Language, int] = {}
        for cell, digit in held.given.items():
            graph.edge(cell, self.digits[digit - 1])
        for colour, sets in (
            ("line", held.lines),
            ("region", held.regions),
            ("equal", held.equal),
            ("counted from the other end" if held.turned else "counted", held.counts),
        ):
            for cells in sets:
                graph.vertex((colour,), cells)
        for cells in held.different:
            if len(cells) == 2:
                graph.edge(*cells)
            else:
                graph.vertex(("different",), cells)
        for (a, b), table in held.pairs.items():
            self._pair(a, b, table)
        self._sums(held.sums)
        for cells, language in held.words:
            self._words(cells, language)

    def _pair(self, a: int, b: int, table: Table) -> None:
        other = transposed(table)
        graph = self.graph
        if table == other:
            beside = [self._table(table)[0]] if self.free else []
            graph.vertex(("pair",) if self.free else ("pair", table), [a, b, *beside])
            return
        if other in self.tables if self.free else other < table:
            a, b, table = b, a, other
        ends = self._table(table) if self.free else (-1, -1)
        first = graph.vertex(("first",) if self.free else ("first", table), [a])
        second = graph.vertex(("first",) if self.free else ("second", table), [b, first])
        if self.free:
            graph.edge(first, ends[0])
            graph.edge(second, ends[1])

    def _table(self, table: Table) -> tuple[int, int]:
        """Give the two ends of a relation spelt out by digits; one and the same where it is symmetric."""
        if table in self.tables:
            return self.tables[table]
        graph, size = self.graph, len(table)
        allowed = [(x, y) for x in range(size) for y in range(size) if table[x] >> y & 1]
        one = graph.vertex(("relation",))
        if table == transposed(table):
            ports = [
                graph.vertex(("port", "with itself" if (d, d) in allowed else ""), [one, self.digits[d]])
                for d in range(size)
            ]
            for x, y in allowed:
                if x < y:
                    graph.edge(ports[x], ports[y])
            self.tables[table] = one, one
            return one, one
        other = graph.vertex(("relation",))
        left = [graph.vertex(("port",), [one, digit]) for digit in self.digits]
        right = [graph.vertex(("port",), [other, digit]) for digit in self.digits]
        for x, y in allowed:
            graph.edge(left[x], right[y])
        self.tables[table] = one, other
        return one, other

    def _sums(self, classes: list[list[tuple[Sum, int]]]) -> None:
        vertices: dict[Sum, int] = {}

        def vertex(held: Sum) -> int:
            if held not in vertices:
                vertices[held] = self.graph.vertex(("sum",), [cell for cell, weight in held if weight == 1])
                for cell, weight in held:
                    if weight != 1:
                        self.graph.vertex(("weight", weight), [cell, vertices[held]])
            return vertices[held]

        for place, items in enumerate(classes):
            hub = [] if place == 0 else [self.graph.vertex(("equal sums",))]
            for held, above in items:
                self.graph.vertex(("makes" if place == 0 else "above", above), [vertex(held), *hub])

    def _words(self, cells: tuple[int, ...], held: Language) -> None:
        graph = self.graph
        kind: tuple[object, ...] = ("words",) if self.free else ("words", held.name)
        if not held.layers:
            graph.vertex((*kind, "none"), cells)
            return
        beside = [self._language(held)] if self.free else []
        both = held.reversed == held
        last = len(held.blocks) - 1
        before: list[int] = []
        for number, places in enumerate(held.blocks):
            end = min(number, last - number) if both else number
            block = graph.vertex((*kind, end), [cells[place] for place in places])
            for other in (*before, *beside):
                graph.edge(block, other)
            before = [block]

    def _language(self, held: Language) -> int:
        """Give the vertex of a language spelt out state by state."""
        if held in self.languages:
            return self.languages[held]
        graph = self.graph
        hub = self.languages[held] = graph.vertex(("language", len(held.layers)))
        here = [graph.vertex(("state", 0), [hub])]
        for place, layer in enumerate(held.layers, 1):
            count = 1 + max(max(row) for row in layer)
            after = [graph.vertex(("state", place)) for _ in range(count)]
            for state, row in zip(here, layer, strict=True):
                for target in set(row) - {-1}:
                    digits = [self.digits[d] for d, to in enumerate(row) if to == target]
                    link = graph.vertex(("link",), digits)
                    graph.edge(link, state)
                    graph.edge(link, after[target])
            here = after
        return hub
