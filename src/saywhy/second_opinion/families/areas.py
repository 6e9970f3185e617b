"""Areas: cages, clones, extra regions, magic squares."""

from __future__ import annotations

from itertools import pairwise

from saywhy.puzzle import Clue
from saywhy.second_opinion.board import Board
from saywhy.second_opinion.registry import clue


@clue("killer-cage")
def cage(board: Board, clue: Clue) -> None:
    """Each digit at most once, and the digits present, each times its size, make the value."""
    _at_most_once(board, clue.cells)
    if clue.value is not None:
        board.sums_to(clue.cells, clue.value)


@clue("extra-region")
def extra_region(board: Board, clue: Clue) -> None:
    """Each digit at most once."""
    _at_most_once(board, clue.cells)


@clue("equal-sum-cages")
def equal_sums(board: Board, clue: Clue) -> None:
    """Each digit at most once in a group, and one total for all groups."""
    for group in clue.groups:
        _at_most_once(board, group)
    for group, other in pairwise(clue.groups):
        board.model.add(board.total(group) == board.total(other))


@clue("clone")
def clone(board: Board, clue: Clue) -> None:
    """Cells in the same place of each copy, counted in reading order, are equal."""
    for same in zip(*(sorted(group) for group in clue.groups), strict=True):
        for a, b in pairwise(same):
            board.model.add(board.cell(a) == board.cell(b))


@clue("magic-square")
def magic_square(board: Board, clue: Clue) -> None:
    """Three times each of the eight lines is the whole square's sum where rows agree; so all must agree."""
    a, b, c, d, e, f, g, h, i = sorted(clue.cells)
    total = board.number(3, 3 * board.size)
    for line in ((a, b, c), (d, e, f), (g, h, i), (a, d, g), (b, e, h), (c, f, i), (a, e, i), (c, e, g)):
        board.model.add(board.total(line) == total)


def _at_most_once(board: Board, cells: tuple[int, ...]) -> None:
    board.model.add_all_different(board.all(cells))
