"""Clues on single cells, and the corner clue: parity, spots, counting circles, quadruples."""

from __future__ import annotations

from saywhy.puzzle import Clue
from saywhy.second_opinion.board import Board
from saywhy.second_opinion.registry import clue


@clue("odd", "even")
def parity(board: Board, clue: Clue) -> None:
    """The digit is twice some number, and for an odd cell one more."""
    for cell in clue.cells:
        half = board.number(0, board.size)
        board.model.add(board.cell(cell) == 2 * half + (clue.rule == "odd"))


@clue("low-spot", "high-spot")
def spot(board: Board, clue: Clue) -> None:
    """Less, or more, than each orthogonal neighbour: the extreme of the cross, and alone in it."""
    n = board.size
    for cell in clue.cells:
        row, column = divmod(cell, n)
        for other in range(n * n):
            other_row, other_column = divmod(other, n)
            if abs(row - other_row) + abs(column - other_column) == 1:
                low, high = (cell, other) if clue.rule == "low-spot" else (other, cell)
                board.model.add(board.cell(low) + 1 <= board.cell(high))


@clue("counting-circles")
def circles(board: Board, clue: Clue) -> None:
    """For each digit d, the circles that hold it are d in number or none."""
    for digit in range(1, board.size + 1):
        occurs = board.truth()
        board.model.add(sum(board.has(cell, digit) for cell in clue.cells) == digit * occurs)


@clue("quadruple")
def quadruple(board: Board, clue: Clue) -> None:
    """Each printed digit stands around the corner at least as often as it is printed."""
    for digit in set(clue.digits):
        times = clue.digits.count(digit)
        board.model.add(sum(board.has(cell, digit) for cell in clue.cells) >= times)
