"""Which steps are told together: a beat is one thought with its small consequences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from saywhy.reasoning.step import Step
from saywhy.reasoning.thought import same_lock, same_story

#: A consequence this easy (in glances) may follow in the same breath.
SMALL = 2.85
#: The ideas of a digit that a cell or a house alone shows.
PLACINGS = ("last digit", "only place", "only digit")
#: More than these in one breath and a listener loses the thread (common practice, no source).
LONGEST = 5


def beats(steps: Sequence[Step], full: int) -> list[int]:
    """
    Give the beat of each step, from 1.

    A step joins the beat before it if it rests on something that this beat has shown and is small, or places
    a digit for which no other mark is recalled; or if it is a what-if that goes the same way as the one that
    the beat began with, or locks another digit of a house as its first steps do.

    Args:
        steps: In path order.
        full: The mask of all digits.
    """
    found: list[int] = []
    shown: dict[int, int] = {}
    length = locks = 0
    first: Step | None = None
    for step in steps:
        rests = any(shown.get(cell, 0) & ~mask & full for cell, mask in step.reason.facts.items())
        small = rests and not step.story and (step.effort <= SMALL or _settles(step, shown))
        locked = first is not None and same_lock(first, step) and locks == length
        again = locked or (first is not None and same_story(first, step))
        joins = bool(found) and length < LONGEST and (small or again)
        if not joins:
            shown, length, locks, first = {}, 0, 0, step
        found.append((found[-1] if found else 0) + (not joins))
        for cell, mask in step.struck(full).items():
            shown[cell] = shown.get(cell, 0) | mask
        length += 1
        locks += not joins or locked
    return found


def _settles(step: Step, shown: Mapping[int, int]) -> bool:
    """Say whether a cell or a house alone shows a digit, recalling marks of cells in this beat only."""
    marks = (cell for cell, mask in step.reason.facts.items() if mask & (mask - 1))
    return step.idea in PLACINGS and all(cell in shown for cell in marks)
