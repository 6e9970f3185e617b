"""Counts published elsewhere come out the same from CP-SAT, from compiled rules and from the engine."""

from __future__ import annotations

from collections import Counter

import networkx  # type: ignore[import-untyped]
import pytest

from saywhy.grid import Grid
from saywhy.primitives import AllDifferent, Automaton, Regular
from saywhy.puzzle import Puzzle
from saywhy.rules import placed
from saywhy.second_opinion import build, enumerate_fillings
from tests.second_opinion.published import Published, published

#: CP-SAT lists some ten thousand fillings in a second.
SMALL = 3_000

COUNTS = published()


def _name(count: Published) -> str:
    return count.name.replace(" ", "-")


def test_every_published_count_has_a_source() -> None:
    assert len(COUNTS) > 150
    assert all(one.source for one in COUNTS)


@pytest.mark.parametrize("one", [one for one in COUNTS if one.count <= SMALL], ids=_name)
def test_the_second_opinion_gives_the_published_count(one: Published) -> None:
    model = build(one.puzzle, houses=one.houses, givens=True)
    found = enumerate_fillings(model, one.puzzle.grid.cells if one.over is None else one.over)
    assert found.finished
    assert len(found.solutions) == one.count


def _orders(automaton: Automaton, size: int) -> int:
    """Count the orders of 1 to size that an automaton accepts, by sets of digits used so far."""
    reached: Counter[tuple[int, int]] = Counter({(0, 0): 1})
    for _ in range(size):
        after: Counter[tuple[int, int]] = Counter()
        for (used, state), ways in reached.items():
            for digit in range(size):
                following = automaton.moves[state][digit]
                if following >= 0 and not used >> digit & 1:
                    after[used | 1 << digit, following] += ways
        reached = after
    return sum(ways for (_, state), ways in reached.items() if state in automaton.accepting)


@pytest.mark.parametrize(
    "one",
    [
        one
        for one in COUNTS
        if len(one.puzzle.clues) == 1 and one.puzzle.clues[0].rule in ("sandwich", "skyscraper")
    ],
    ids=_name,
)
def test_a_compiled_outside_clue_allows_the_published_number_of_orders(one: Published) -> None:
    (primitive,) = placed(one.puzzle).clues[0].compile()
    assert isinstance(primitive, Regular)
    assert _orders(primitive.automaton, one.puzzle.grid.size) == one.count


#: Size, rules, and the number of pairs of cells that must differ.
#: Source: networkx.sudoku_graph (Herzberg and Murty, Notices of the AMS 54, 2007) where rules are empty and
#: boxes square; else computed by independent enumeration.
GRAPHS = [
    (4, (), 56),
    (9, (), 810),
    (16, (), 4992),
    (6, (), 216),
    (9, ("anti-knight",), 962),
    (9, ("anti-king",), 866),
    (9, ("anti-knight", "anti-king"), 1018),
]


@pytest.mark.parametrize(("size", "rules", "edges"), GRAPHS)
def test_houses_and_chess_rules_tie_the_published_number_of_pairs(
    size: int, rules: tuple[str, ...], edges: int
) -> None:
    grid = Grid.standard(size)
    pairs = {frozenset((a, b)) for house in grid.houses for a in house.cells for b in house.cells if a != b}
    for rule in placed(Puzzle(grid, (0,) * size**2, rules)).grid_wide.values():
        for primitive in rule.compile():
            assert isinstance(primitive, AllDifferent)
            pairs |= {frozenset((a, b)) for a in primitive.cells for b in primitive.cells if a != b}
    assert len(pairs) == edges


@pytest.mark.parametrize("box", [2, 3, 4])
def test_houses_tie_the_same_cells_as_the_sudoku_graph_of_networkx(box: int) -> None:
    grid = Grid.standard(box * box)
    graph = networkx.sudoku_graph(box)
    ours = {frozenset((a, b)) for house in grid.houses for a in house.cells for b in house.cells if a != b}
    assert {frozenset(edge) for edge in graph.edges} == ours
