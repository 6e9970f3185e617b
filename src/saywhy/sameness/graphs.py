"""A graph with coloured vertices, and a text that is the same for every way to number them."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable
from typing import Any

#: What a vertex stands for; vertices are told apart by the text of their colour alone.
Colour = tuple[object, ...]


class ColouredGraph:
    """
    An undirected graph with coloured vertices.

    Attributes:
        colours: One a vertex.
        edges: Pairs of vertices.
    """

    def __init__(self) -> None:
        self.colours: list[Colour] = []
        self.edges: set[tuple[int, int]] = set()

    def vertex(self, colour: Colour, beside: Iterable[int] = ()) -> int:
        """Add a vertex with edges to others, and give its number."""
        number = len(self.colours)
        self.colours.append(colour)
        self.edges.update((other, number) for other in beside)
        return number

    def edge(self, a: int, b: int) -> None:
        """Join two vertices."""
        self.edges.add((min(a, b), max(a, b)))

    def outline(self) -> str:
        """Give what two equal graphs share at first sight: how many vertices of each colour, and edges."""
        counts = sorted(Counter(map(repr, self.colours)).items())
        return f"{counts};{len(self.edges)}"

    def certificate(self) -> str:
        """
        Give a digest that two graphs share just where one is the other with its vertices renumbered.

        Source:
            Canonical labelling by bliss: Junttila, Kaski, "Engineering an efficient canonical labeling tool
            for large and sparse graphs", ALENEX 2007.
        """
        graph = self._graph()
        renumbered = graph.permute_vertices(graph.canonical_permutation(color=self._numbers()))
        edges = sorted(tuple(sorted(edge)) for edge in renumbered.get_edgelist())
        return hashlib.sha256(f"{self.outline()};{edges}".encode()).hexdigest()

    def symmetries(self) -> int:
        """Count the renumberings that give the same graph."""
        return int(self._graph().count_automorphisms(color=self._numbers()))

    def _graph(self) -> Any:
        from igraph import Graph  # a tenth of a second, and few commands need it

        return Graph(n=len(self.colours), edges=sorted(self.edges))

    def _numbers(self) -> list[int]:
        names = [repr(colour) for colour in self.colours]
        order = {name: number for number, name in enumerate(sorted(set(names)))}
        return [order[name] for name in names]
