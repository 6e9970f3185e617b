"""
Easier looks by the time that a step is told.

A sweep takes what the first tier shows that shows anything, with what was known in that round. Where a step
is told more is known, and an easier look may show as much.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from saywhy.reasoning.position import Position
from saywhy.reasoning.renewal import weighed
from saywhy.reasoning.step import Find, Step

#: How many tiers of looks are easier than a look of this idea (see ``sweep``).
EASIER_TIERS = {
    "pair": 1,
    "hidden pair": 1,
    "clue and house": 1,
    "derived sum": 1,
    "triple": 2,
    "hidden triple": 2,
    "X-wing": 2,
    "XY-wing": 2,
    "XYZ-wing": 2,
    "equal sets": 2,
    "two clues": 2,
    "quadruple": 3,
    "hidden quadruple": 3,
    "swordfish": 3,
    "colouring": 3,
    "clue and two houses": 3,
    "three clues": 4,
    "jellyfish": 4,
}

Finder = Callable[[Position], Iterator[Find]]


def lightened(tiers: Sequence[Sequence[Finder]], start: Position, steps: Sequence[Step]) -> list[Step]:
    """
    Give steps with easier ones in place of those that these show with less effort in all.

    Args:
        tiers: Finders asked together, in ascending order of effort.
        start: Where the first step is told.
        steps: In order; each rests on earlier ones.
    """
    here = start.copy()
    found: list[Step] = []
    for step in steps:
        told = _easier(tiers, here.by_sight(), step) or [step]
        for one in told:
            here.apply(one)
        found += told
    return found


def _easier(tiers: Sequence[Sequence[Finder]], here: Position, step: Step) -> list[Step]:
    for finders in tiers[: EASIER_TIERS.get(step.idea, 0)]:
        found = _covering(finders, here, step)
        if found and sum(other.effort for other in found) < step.effort:
            return found
    return []


def _covering(finders: Sequence[Finder], here: Position, step: Step) -> list[Step]:
    full = here.frame.full
    left = {cell: mask & here.domain(cell) for cell, mask in step.struck(full).items()}
    chosen: list[Step] = []
    for find in (find for finder in finders for find in finder(here)):
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
