"""A sketch of one more puzzle like one that is there: its shapes kept, its effort moved."""

from __future__ import annotations

from dataclasses import replace

from saywhy.engine import prove
from saywhy.errors import NotAllowedError, Problem
from saywhy.files.limits import LONGEST_TITLE
from saywhy.puzzle import Puzzle
from saywhy.setting.compose.sketch import EFFORTS, LENGTHS, OpenClue, Sketch, Wish, rule_of
from saywhy.setting.compose.values import can_be_open
from saywhy.setting.symmetry import symmetries

#: Givens that a gentler puzzle may have more than the one it is like.
MORE = 8


def like(
    puzzle: Puzzle, efforts: tuple[str, ...] = EFFORTS, more: int = 0, unlike: tuple[int, ...] = ()
) -> Sketch:
    """
    Give the sketch of a puzzle with the same shapes and rules, every number and digit open.

    The givens may move; they keep their symmetry where they have one, and there are at most ``more`` more of
    them. Marks of which all are given are read off the new grid, so they move with it.

    Args:
        puzzle: The puzzle; it need not have one solution, nor any.
        efforts: The bands that will do.
        more: How many givens there may be more than the puzzle has.
        unlike: A filled grid that the solution must not be; empty for none.
    """
    size = puzzle.grid.size
    given = [cell for cell, digit in enumerate(puzzle.givens) if digit]
    kinds = symmetries(given, size)
    every = set(puzzle.all_given)
    clues = tuple(replace(clue, line=None) for clue in puzzle.clues if clue.rule not in every)
    marks = {clue.rule: clue for clue in puzzle.clues if clue.rule in every}
    for name, clue in marks.items():
        if clue.value is not None:
            what = f"all of {name} are given and one has a number of its own"
            raise NotAllowedError(Problem(what, "Compose from a sketch instead", "all-given"))
    return Sketch(
        replace(puzzle, givens=(0,) * size**2, clues=clues),
        open_values=frozenset(
            place
            for place, clue in enumerate(clues)
            if clue.value is not None and can_be_open(rule_of(clue.rule))
        ),
        open_digits=tuple((place, len(clue.digits)) for place, clue in enumerate(clues) if clue.digits),
        open_clues=tuple(OpenClue(name, 0, *LENGTHS[rule_of(name).form]) for name in sorted(every)),
        wish=Wish(
            0, len(given) + (more if given else 0), kinds[0].name if kinds else "", efforts, unlike=unlike
        ),
    )


def moved(puzzle: Puzzle, band: str, step: int) -> Sketch:
    """
    Give the sketch of one more like a puzzle, of its own effort or of the next band.

    Args:
        puzzle: The puzzle.
        band: The band of its effort.
        step: -1 for gentler, 0 for the same, 1 for harder.

    Raises:
        NotAllowedError: There is no such band, or none that needs no what-if.
    """
    last = len(EFFORTS) - 2  # beyond it lies only what takes what-ifs
    wanted = min(EFFORTS.index(band), last + 1 if step < 0 else last) + step
    if not 0 <= wanted <= last:
        which = "gentler" if step < 0 else "harder"
        what = f"the puzzle is {band}, and nothing {which} is composed"
        raise NotAllowedError(Problem(what, "Ask for one more of the same effort", f"--{which}"))
    title = f"One more like {puzzle.title}" if puzzle.title else ""
    named = replace(puzzle, title=title[:LONGEST_TITLE])
    return like(named, (EFFORTS[wanted],), MORE if step < 0 else 0, prove(puzzle).solution or ())
