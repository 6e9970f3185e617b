"""A puzzle disguised: the same puzzle as somebody else might send it again."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from itertools import permutations, product

from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from tests.second_opinion.symmetry import MOVES, moved, reflected

#: Clues that say the same when their cells are named in any order.
ANY_ORDER = {
    "killer-cage", "extra-region", "quadruple", "white-dot", "black-dot", "x", "v",
    "pair-sum", "counting-circles",
}  # fmt: skip
#: Clues that say the same from either end.
EITHER_END = {
    "double-arrow", "renban", "nabner", "between-line", "lockout-line", "palindrome", "whisper",
    "parity-line", "modular-line", "entropic-line", "region-sum-line", "sum-line", "zipper-line", "sandwich",
    "little-killer",
}  # fmt: skip
#: Rules that ask nothing but which digits are equal and which differ, so that any relabelling will do.
DIFFERENCE_ONLY = {
    "anti-knight", "anti-king", "diagonals", "falling-diagonal", "rising-diagonal", "disjoint-groups",
    "palindrome", "clone", "extra-region", "quadruple",
}  # fmt: skip


def disguised(puzzle: Puzzle, seed: int) -> Puzzle:
    """Give the same puzzle turned, relabelled, and told in another order."""
    rng = random.Random(seed)
    if rng.random() < 0.8:
        puzzle = moved(puzzle, rng.choice(list(MOVES)))
    if lines_may_move(puzzle):
        puzzle = exchanged(puzzle, rng)
    names = {*puzzle.rules, *(clue.rule for clue in puzzle.clues)}
    if names <= DIFFERENCE_ONLY and not puzzle.all_given:
        order = list(puzzle.grid.digits)
        rng.shuffle(order)
        puzzle = relabelled(puzzle, order)
    elif rng.random() < 0.5:
        puzzle = reflected(puzzle) or puzzle
    clues = [retold(clue, rng) for clue in puzzle.clues]
    rng.shuffle(clues)
    rules, all_given = list(puzzle.rules), list(puzzle.all_given)
    rng.shuffle(rules)
    rng.shuffle(all_given)
    return replace(
        puzzle, rules=tuple(rules), all_given=tuple(all_given), clues=tuple(clues), title="", setter=""
    )


def relabelled(puzzle: Puzzle, order: Sequence[int]) -> Puzzle:
    """Give the puzzle with each digit d replaced by ``order[d - 1]``."""
    named = (0, *order)
    return replace(
        puzzle,
        givens=tuple(named[digit] for digit in puzzle.givens),
        clues=tuple(replace(clue, digits=tuple(named[d] for d in clue.digits)) for clue in puzzle.clues),
    )


def retold(clue: Clue, rng: random.Random) -> Clue:
    """Give the same clue as another hand would write it."""
    if clue.rule in ANY_ORDER:
        clue = replace(clue, cells=tuple(rng.sample(clue.cells, len(clue.cells))))
    elif clue.rule in EITHER_END and rng.random() < 0.5:
        clue = replace(clue, cells=clue.cells[::-1])
    elif clue.rule == "equal-sum-cages":
        groups = [tuple(rng.sample(group, len(group))) for group in clue.groups]
        clue = replace(clue, groups=tuple(rng.sample(groups, len(groups))))
    elif clue.rule == "clone":
        clue = replace(clue, groups=tuple(rng.sample(clue.groups, len(clue.groups))))
    if clue.rule == "x" and rng.random() < 0.5:
        clue = replace(clue, rule="pair-sum", value=10)
    return clue


def lines_may_move(puzzle: Puzzle) -> bool:
    """Say whether rows and columns may be exchanged within bands and stacks."""
    return puzzle.grid.box is not None and not puzzle.rules and not puzzle.all_given and not puzzle.clues


def exchanged(puzzle: Puzzle, rng: random.Random) -> Puzzle:
    """Give a classic puzzle with rows, columns, bands and stacks exchanged."""
    assert puzzle.grid.box is not None
    n, (height, width) = puzzle.grid.size, puzzle.grid.box
    rows, columns = line_order(n, height, rng), line_order(n, width, rng)
    givens = [puzzle.givens[row * n + column] for row in rows for column in columns]
    return replace(puzzle, givens=tuple(givens))


def line_order(size: int, thick: int, rng: random.Random) -> list[int]:
    """Give an order of the lines that keeps bands of this thickness together."""
    bands = [list(range(start, start + thick)) for start in range(0, size, thick)]
    rng.shuffle(bands)
    for band in bands:
        rng.shuffle(band)
    return [line for band in bands for line in band]


def grid_moves(grid: Grid) -> list[dict[int, int]]:
    """Give every exchange of cells that keeps the lines and boxes of a 4 by 4 grid: by plain trial."""
    assert (grid.size, grid.box) == (4, (2, 2))
    orders = [order for order in permutations(range(4)) if {order[0] // 2, order[1] // 2} in ({0}, {1})]
    found = []
    for rows, columns in product(orders, orders):
        straight = {cell: rows[cell // 4] * 4 + columns[cell % 4] for cell in grid.cells}
        found += [straight, {cell: there % 4 * 4 + there // 4 for cell, there in straight.items()}]
    return found
