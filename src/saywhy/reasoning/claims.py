"""
A position that somebody else has reached: what stands on their board, and how far it can be trusted.

Claims are true or false by the solution. A true claim is *shown* when looks, or where these end what-ifs,
lead to it from the givens; the search is named, so that "not yet shown" says no more than it should.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import chain

from saywhy.reasoning.position import Position
from saywhy.reasoning.sweep import Sweeper

#: Why a true claim is not called shown, for people.
SEARCH = "neither looks at houses and at up to three clues nor what-ifs lead to it"


@dataclass(frozen=True)
class Claims:
    """
    What stands on a board beside the givens.

    Attributes:
        digits: By cell.
        options: For a cell, the mask of digits that its notes leave.
    """

    digits: Mapping[int, int] = field(default_factory=dict)
    options: Mapping[int, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Judged:
    """
    Claims held against the solution and against what can be shown.

    Attributes:
        false_digits: Cells whose digit is not the solution's, in reading order.
        false_options: Cells whose notes leave out the solution's digit.
        unshown_digits: Cells whose digit is true but not shown, in reading order.
        unshown_options: Cells whose notes are true, but strike out more than is shown.
        position: The givens with all that is true and shown.
    """

    false_digits: tuple[int, ...]
    false_options: tuple[int, ...]
    unshown_digits: tuple[int, ...]
    unshown_options: tuple[int, ...]
    position: Position


def judge(sweeper: Sweeper, claims: Claims, solution: tuple[int, ...]) -> Judged:
    """
    Judge claims.

    Args:
        sweeper: A sweeper of the puzzle's frame.
        claims: What stands on the board.
        solution: The puzzle's solution, one digit a cell.
    """
    frame = sweeper.frame
    true_digits = {cell: digit for cell, digit in claims.digits.items() if solution[cell] == digit}
    true_options = {cell: mask for cell, mask in claims.options.items() if mask >> (solution[cell] - 1) & 1}
    left = {cell: 1 << (digit - 1) for cell, digit in true_digits.items()}
    shown = _shown(sweeper, {**true_options, **left})
    position = Position.opening(frame)
    unshown_digits = []
    for cell, digit in sorted(true_digits.items()):
        if shown.domain(cell) == 1 << (digit - 1):
            position.place(cell, digit)
        else:
            unshown_digits.append(cell)
    unshown_options = []
    for cell, mask in sorted(true_options.items()):
        gone = frame.full & ~mask
        if gone & shown.domain(cell):
            unshown_options.append(cell)
        if not position.placed[cell]:
            position.remove({cell: gone & ~shown.domain(cell)})
    return Judged(
        tuple(sorted(set(claims.digits) - set(true_digits))),
        tuple(sorted(set(claims.options) - set(true_options))),
        tuple(unshown_digits),
        tuple(unshown_options),
        position,
    )


def _shown(sweeper: Sweeper, left: Mapping[int, int]) -> Position:
    """
    Give where looks lead from the givens, and what-ifs where looks end before all claims are shown.

    Where these end too, the path goes on by a trial; its digit is taken if it is claimed, so that who follows
    the path is not doubted.

    Args:
        sweeper: A sweeper of the puzzle's frame.
        left: For each cell with true claims, the mask of digits that they leave.
    """
    *tiers, trials = sweeper.tiers
    here = Position.opening(sweeper.frame)
    while any(here.domain(cell) & ~mask for cell, mask in left.items()):
        rounds = (list(chain.from_iterable(find(here) for find in finders)) for finders in tiers)
        finds = next((found for found in rounds if found), None)
        if finds is None:  # the digit that a trial would settle may have been told
            tried = chain.from_iterable(find(here) for find in trials)
            finds = [find for find in tried if all(left.get(c) == 1 << d - 1 for c, d in find.places.items())]
        if not finds:
            break
        for find in finds:
            here.remove(find.removes)
        for cell, digit in chain.from_iterable(find.places.items() for find in finds):
            if not here.placed[cell]:
                here.place(cell, digit)
    return here
