"""Lines about the order and kind of their digits: climbing, alternating, in sequence, mirrored."""

from __future__ import annotations

from itertools import combinations, pairwise

from saywhy.puzzle import Clue
from saywhy.second_opinion.board import Board
from saywhy.second_opinion.registry import clue


@clue("thermometer", "slow-thermometer")
def thermometer(board: Board, clue: Clue) -> None:
    """Every later digit is greater than (slow: not less than) every earlier one."""
    climb = 1 if clue.rule == "thermometer" else 0
    for earlier, later in combinations(range(len(clue.cells)), 2):
        rise = board.cell(clue.cells[later]) - board.cell(clue.cells[earlier])
        board.model.add(rise >= climb * (later - earlier))


@clue("between-line")
def between(board: Board, clue: Clue) -> None:
    """The greatest end exceeds, and the smallest end is less than, every digit inside."""
    ends = (clue.cells[0], clue.cells[-1])
    low, high = board.smallest(ends), board.greatest(ends)
    for cell in clue.cells[1:-1]:
        board.model.add(board.cell(cell) > low)
        board.model.add(board.cell(cell) < high)


@clue("lockout-line")
def lockout(board: Board, clue: Clue) -> None:
    """The ends are far apart; every digit inside is below both ends or above both."""
    ends = (clue.cells[0], clue.cells[-1])
    low, high = board.smallest(ends), board.greatest(ends)
    board.model.add(high - low >= (4 if clue.value is None else clue.value))
    for cell in clue.cells[1:-1]:
        below = board.truth()
        board.model.add(board.cell(cell) < low).only_enforce_if(below)
        board.model.add(board.cell(cell) > high).only_enforce_if(below.negated())


@clue("palindrome")
def palindrome(board: Board, clue: Clue) -> None:
    """Each cell equals its mirror image on the line."""
    for cell, mirror in zip(clue.cells, reversed(clue.cells), strict=True):
        if cell < mirror:
            board.model.add(board.cell(cell) == board.cell(mirror))


@clue("renban")
def renban(board: Board, clue: Clue) -> None:
    """No repeats, and the range from smallest to greatest is as long as the line."""
    board.different(clue.cells)
    board.model.add(board.greatest(clue.cells) - board.smallest(clue.cells) == len(clue.cells) - 1)


@clue("whisper")
def whisper(board: Board, clue: Clue) -> None:
    """Neighbours on the line are at least 5, or the value, apart: the distance as a number of its own."""
    least = 5 if clue.value is None else clue.value
    for a, b in pairwise(clue.cells):
        distance = board.number(0, board.size)
        board.model.add_abs_equality(distance, board.cell(a) - board.cell(b))
        board.model.add(distance >= least)


@clue("nabner")
def nabner(board: Board, clue: Clue) -> None:
    """Of every two neighbouring digits d and d + 1, at most one cell of the line holds either."""
    for digit in range(1, board.size):
        board.model.add_at_most_one(board.has(cell, d) for cell in clue.cells for d in (digit, digit + 1))


@clue("parity-line")
def alternating(board: Board, clue: Clue) -> None:
    """The remainders by 2 of neighbours on the line make 1."""
    rests = [board.remainder(cell, 2) for cell in clue.cells]
    for a, b in pairwise(rests):
        board.model.add(a + b == 1)


@clue("modular-line")
def modular(board: Board, clue: Clue) -> None:
    """The remainders by 3 of every three successive cells are 0, 1 and 2."""
    rests = [board.remainder(cell, 3) for cell in clue.cells]
    for three in zip(rests, rests[1:], rests[2:], strict=False):
        board.model.add_all_different(three)


@clue("entropic-line")
def entropic(board: Board, clue: Clue) -> None:
    """Of every three successive cells one is low, one middle, one high: digit = 3 * band + 1, 2 or 3."""
    bands = []
    for cell in clue.cells:
        band, offset = board.number(0, 2), board.number(1, 3)
        board.model.add(board.cell(cell) == 3 * band + offset)
        bands.append(band)
    for three in zip(bands, bands[1:], bands[2:], strict=False):
        board.model.add_all_different(three)
