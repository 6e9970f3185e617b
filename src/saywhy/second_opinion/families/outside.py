"""Clues outside the grid; the cells run from the clue inwards."""

from __future__ import annotations

from saywhy.puzzle import Clue
from saywhy.second_opinion.board import Board
from saywhy.second_opinion.registry import clue


def _value(clue: Clue) -> int:
    assert clue.value is not None
    return clue.value


@clue("little-killer")
def little_killer(board: Board, clue: Clue) -> None:
    """The running sum ends at the value."""
    board.model.add(board.prefixes(clue.cells)[-1] == _value(clue))


@clue("sandwich")
def sandwich(board: Board, clue: Clue) -> None:
    """
    Two cells hold the least or the greatest digit; the running sums between their places differ by the value.

    That one of them is the least and the other the greatest is the row's own law, not this clue's.
    """
    last = len(clue.cells) - 1
    ends = [board.has(cell, 1) + board.has(cell, board.size) for cell in clue.cells]
    board.model.add(sum(ends) == 2)
    left, right = board.number(0, last), board.number(0, last)
    board.model.add(left < right)
    for place in (left, right):
        board.model.add_element(place, ends, 1)
    sums = board.prefixes(clue.cells)
    before, after = (board.number(0, len(clue.cells) * board.size) for _ in range(2))
    board.model.add_element(left, sums[1:], before)
    board.model.add_element(right, sums[:-1], after)
    board.model.add(after - before == _value(clue))


@clue("x-sum")
def x_sum(board: Board, clue: Clue) -> None:
    """The running sum after as many cells as the first digit says is the value."""
    board.model.add_element(board.cell(clue.cells[0]), board.prefixes(clue.cells), _value(clue))


@clue("numbered-room")
def numbered_room(board: Board, clue: Clue) -> None:
    """The cell that the first digit counts to holds the value."""
    cells = board.all(clue.cells)
    board.model.add_element(cells[0] - 1, cells, _value(clue))


@clue("skyscraper")
def skyscraper(board: Board, clue: Clue) -> None:
    """The running maximum rises as often as the value says, its first cell counted."""
    cells = board.all(clue.cells)
    highest, rises = cells[0], []
    for cell in cells[1:]:
        height = board.number(1, board.size)
        board.model.add_max_equality(height, [highest, cell])
        rise = board.truth()
        board.model.add(height > highest).only_enforce_if(rise)
        board.model.add(height == highest).only_enforce_if(rise.negated())
        highest = height
        rises.append(rise)
    board.model.add(sum(rises) == _value(clue) - 1)


@clue("edge-sum")
def edge_sum(board: Board, clue: Clue) -> None:
    """The first cells, a box's width of them if no count is printed, make the value."""
    reach = _box_width(board) if clue.count is None else clue.count
    board.sums_to(clue.cells[:reach], _value(clue))


def _box_width(board: Board) -> int:
    """How many columns the first region's cells take in its top row."""
    regions = board.puzzle.grid.regions
    assert regions is not None
    return regions[: board.size].count(regions[0])
