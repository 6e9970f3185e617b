"""Lines about sums: arrows, zippers, sums by region, sums by group."""

from __future__ import annotations

from saywhy.puzzle import Clue
from saywhy.second_opinion.board import Board
from saywhy.second_opinion.registry import clue


@clue("arrow")
def arrow(board: Board, clue: Clue) -> None:
    """The shaft's sum, taken cell by cell, is the number in the circle or pill, taken digit by digit."""
    pill = 1 if clue.pill is None else clue.pill
    head, shaft = clue.cells[:pill], clue.cells[pill:]
    sums = board.prefixes(shaft)
    number = sum(board.cell(cell) * 10 ** (pill - 1 - place) for place, cell in enumerate(head))
    board.model.add(sums[-1] == number)


@clue("double-arrow")
def double_arrow(board: Board, clue: Clue) -> None:
    """A shared total: of the two ends, and of what lies between."""
    total = board.number(2, 2 * board.size)
    board.model.add(board.total((clue.cells[0], clue.cells[-1])) == total)
    board.model.add(board.total(clue.cells[1:-1]) == total)


@clue("zipper-line")
def zipper(board: Board, clue: Clue) -> None:
    """All pairs at equal distance from the middle make one total, which a middle cell holds."""
    half, odd = divmod(len(clue.cells), 2)
    total = board.cell(clue.cells[half]) if odd else board.number(2, 2 * board.size)
    for k in range(half):
        board.model.add(board.total((clue.cells[k], clue.cells[-1 - k])) == total)


@clue("region-sum-line")
def region_sums(board: Board, clue: Clue) -> None:
    """Every piece between border crossings makes one total, which may be printed."""
    regions = board.puzzle.grid.regions
    assert regions is not None
    pieces: list[list[int]] = []
    last = None
    for cell in clue.cells:
        if regions[cell] != last:
            pieces.append([])
        pieces[-1].append(cell)
        last = regions[cell]
    total = board.number(1, board.size * board.size) if clue.value is None else clue.value
    for piece in pieces:
        board.model.add(board.total(piece) == total)


@clue("sum-line")
def groups(board: Board, clue: Clue) -> None:
    """
    The running sum meets as many multiples of the value as the whole line's sum holds.

    Digits are positive, so the running sum only grows and meets each multiple at most once; meeting all of
    them, and ending on one, is what a split into groups of that sum means.
    """
    value = 10 if clue.value is None else clue.value
    sums = board.prefixes(clue.cells)[1:]
    met = []
    for running in sums:
        rest = board.number(0, value - 1)
        board.model.add_modulo_equality(rest, running, value)
        at_multiple = board.truth()
        board.model.add(rest == 0).only_enforce_if(at_multiple)
        board.model.add(rest > 0).only_enforce_if(at_multiple.negated())
        met.append(at_multiple)
    board.model.add(sums[-1] == value * sum(met))
