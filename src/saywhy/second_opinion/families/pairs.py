"""Clues between two neighbours: dots, sums and signs."""

from __future__ import annotations

from saywhy.puzzle import Clue
from saywhy.second_opinion.board import Board
from saywhy.second_opinion.registry import clue


@clue("white-dot")
def difference(board: Board, clue: Clue) -> None:
    """The greater less the smaller is the value, 1 if none is printed."""
    gap = 1 if clue.value is None else clue.value
    board.model.add(board.greatest(clue.cells) - board.smallest(clue.cells) == gap)


@clue("black-dot")
def ratio(board: Board, clue: Clue) -> None:
    """The greater is the smaller as many times as the value says, twice if none is printed."""
    times = 2 if clue.value is None else clue.value
    board.model.add(board.greatest(clue.cells) == times * board.smallest(clue.cells))


@clue("x", "v", "pair-sum")
def pair_sum(board: Board, clue: Clue) -> None:
    """The two digits make 10, 5 or the value."""
    total = {"x": 10, "v": 5}.get(clue.rule, clue.value)
    assert total is not None
    board.sums_to(clue.cells, total)


@clue("less-than")
def less(board: Board, clue: Clue) -> None:
    """The first is the smaller."""
    first, second = board.all(clue.cells)
    board.model.add(first < second)
