"""
Easier looks by the time that a step is told.

A sweep takes what the first tier shows that shows anything, with what was known in that round. Where a step
is told more is known, and an easier look may show as much.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Iterator, Sequence

from saywhy.reasoning.effort import FLOORS, IDEAS, weighed
from saywhy.reasoning.houses import only_digit, only_place
from saywhy.reasoning.position import Position
from saywhy.reasoning.renewal import Retell, news, redrawn
from saywhy.reasoning.step import Step
from saywhy.reasoning.sweep import LookFinder


def lightened(
    tiers: Sequence[Sequence[LookFinder]],
    start: Position,
    steps: Sequence[Step],
    retell: Retell | None = None,
) -> list[Step]:
    """
    Give steps with easier ones in place of those that these show with less effort in all.

    A digit that a cell alone or a house alone shows with less effort is placed so, ahead of what is left of
    its step.

    Args:
        tiers: Finders asked together, in ascending order of effort.
        start: Where the first step is told.
        steps: In order; each rests on earlier ones.
        retell: Tells a what-if anew where more is known; needed where there are any.
    """
    here = start.copy()
    found: list[Step] = []

    def tell(step: Step) -> None:
        here.apply(step)
        found.append(step)

    for step in steps:
        for plain in _plainer(here.by_sight(), step):
            tell(plain)
        left = news(here, step)
        if left.places or left.removes:
            left = redrawn(here, left, retell, seen_first=True)
            for one in _easier(tiers, here.by_sight(), left) or [left]:
                tell(one)
    return found


def easier_tiers(idea: str) -> int:
    """Give how many tiers of looks are easier than that of an idea."""
    return bisect(FLOORS, IDEAS[idea]) - 1


def _easier(tiers: Sequence[Sequence[LookFinder]], here: Position, step: Step) -> list[Step]:
    for finders in tiers[: easier_tiers(step.idea)]:
        found = _covering(finders, here, step)
        if found and sum(other.effort for other in found) < step.effort:
            return found
    return []


def _covering(finders: Sequence[LookFinder], here: Position, step: Step) -> list[Step]:
    full = here.frame.full
    left = {cell: mask & here.domain(cell) for cell, mask in step.struck(full).items()}
    about = here.frame.as_set(left)
    chosen: list[Step] = []
    for find in (find for finder in finders for find in finder(here, about)):
        given = {**find.removes, **{cell: full & ~(1 << (digit - 1)) for cell, digit in find.places.items()}}
        if not any(left.get(cell, 0) & mask for cell, mask in given.items()):
            continue
        chosen.append(weighed(here.frame, find.build(left)))
        for cell, mask in chosen[-1].struck(full).items():
            if cell in left:
                left[cell] &= ~mask
        if not any(left.values()) and all(any(cell in one.places for one in chosen) for cell in step.places):
            return chosen
    return []


def _plainer(here: Position, step: Step) -> list[Step]:
    """Place those of a step's digits that a cell or a house shows by now with less effort."""
    found = []
    for cell, digit in step.places.items():
        if here.placed[cell] or step.idea == "last digit":
            continue
        plain = min(_placings(here, cell, digit), key=lambda plain: plain.effort, default=None)
        if plain is not None and plain.effort < step.effort:
            found.append(plain)
    return found


def _placings(here: Position, cell: int, digit: int) -> Iterator[Step]:
    """Yield each way to place a digit by its cell alone or by one of its houses alone."""
    frame = here.frame
    if here.domain(cell) == 1 << (digit - 1):
        yield weighed(frame, only_digit(here, cell, digit))
    for index, (house, _) in enumerate(frame.houses):
        column = frame.house_columns[index][digit - 1]
        if cell in house.cells and (here.candidates & column).bit_count() == 1:
            last = sum(not here.placed[other] for other in house.cells) == 1
            yield weighed(frame, only_place(here, index, cell, digit, last=last))
