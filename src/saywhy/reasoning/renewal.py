"""
Steps as they stand where they are told.

A certificate is drawn up with what was known in the round of a find. Told later, more digits stand on the
board: what a step concludes may be seen by then, and what it recalls from marks may be pointed at instead. So
each step is gone through at its place, and then what no later step relies on is left out, with the steps that
are left with nothing to say.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from saywhy.reasoning.effort import weighed
from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.frame import Frame, bits
from saywhy.reasoning.houses import SUBSETS, only_digit, only_place
from saywhy.reasoning.lean import lean
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step
from saywhy.reasoning.thought import CLUE_IDEAS

#: Tells a what-if anew where more is known by now; None where it cannot.
Retell = Callable[[Position, Step], Step | None]


def settled(
    start: Position, steps: Sequence[Step], retell: Retell | None = None, *, seen_first: bool
) -> list[Step]:
    """
    Give the steps that are left to tell, as they stand where they are told.

    Args:
        start: Where the first step is told.
        steps: In order; each rests on earlier ones.
        retell: Tells a what-if anew; needed where there are any.
        seen_first: Whether what is seen is never recalled from a mark, so that few marks are needed; else
            a mark is recalled for all that it shows.
    """
    left = list(steps)
    count = 0
    while count != len(left):
        count = len(left)
        fresh = renewed(start, left, retell, seen_first=seen_first)
        left = [step for step in trimmed(start.frame, fresh) if step.places or step.removes]
        while (place := spare(start.frame, left)) is not None:
            del left[place]
    return left


def renewed(
    start: Position, steps: Sequence[Step], retell: Retell | None = None, *, seen_first: bool
) -> list[Step]:
    """
    Go through steps in order and give each as it stands at its place.

    Args:
        start: Where the first step is told.
        steps: In order; each rests on earlier ones.
        retell: Tells a what-if anew; needed where there are any.
        seen_first: Whether what is seen is never recalled from a mark; else whatever is told in fewer words.

    Returns:
        The steps, those with nothing new to say without a conclusion.
    """
    here = start.copy()
    found = []
    for step in steps:
        fresh = news(here, _reduced(here, step))
        if fresh.places or fresh.removes:
            fresh = redrawn(here, fresh, retell, seen_first=seen_first)
            here.apply(fresh)
        found.append(fresh)
    return found


def trimmed(frame: Frame, steps: Sequence[Step]) -> list[Step]:
    """
    Leave out of each conclusion the cells whose marks no later step relies on.

    A mark counts for the first step that gives it. A step that is left with no conclusion is not needed.
    """
    full, n = frame.full, frame.n
    gives: list[int] = []
    given = 0
    for step in steps:
        struck = frame.as_set(step.struck(full))
        gives.append(struck & ~given)
        given |= struck
    needed = 0
    found: list[Step] = []
    for step, first_here in zip(reversed(steps), reversed(gives), strict=True):
        used = needed & first_here
        kept = {cell: mask for cell, mask in step.removes.items() if used >> (cell * n) & full}
        found.append(step if len(kept) == len(step.removes) else replace(step, removes=kept))
        if kept or step.places:
            needed |= relied_on(frame, step)
    return found[::-1]


def relied_on(frame: Frame, step: Step) -> int:
    """Give the candidates that a step relies on being gone, as a set."""
    return frame.as_set({cell: frame.full & ~mask for cell, mask in step.reason.facts.items()})


def spare(frame: Frame, steps: Sequence[Step]) -> int | None:
    """Give the step (its place) of most effort whose marks other steps give too, before they are needed."""
    needed: set[int] = set()
    giver: dict[int, int] = {}  # by candidate: the step that gives it
    once = given = asked = 0
    for place, step in enumerate(steps):
        relied = relied_on(frame, step)
        needed |= {giver[candidate] for candidate in bits(relied & once & ~asked)}
        asked |= relied
        struck = frame.as_set(step.struck(frame.full))
        giver |= dict.fromkeys(bits(struck & ~given), place)
        once = (once | struck) & ~(struck & given)
        given |= struck
    found = [place for place, step in enumerate(steps) if place not in needed and not step.places]
    return max(found, key=lambda place: steps[place].effort, default=None)


def sharpened(frame: Frame, steps: Sequence[Step]) -> list[Step]:
    """Let a step at clues place the digit placed next in the cell that it narrows, where it shows as much."""
    left: list[Step] = []
    for step in steps:
        before = left[-1] if left else step
        if (
            step.idea == "only digit"
            and before.idea in CLUE_IDEAS
            and not before.places
            and before.removes.keys() == step.places.keys()
        ):
            more = replace(before, places=step.places, removes={})
            lesser = lean(frame, more)
            if lesser is not more:
                left[-1] = weighed(frame, lesser)
                continue
        left.append(step)
    return left


def news(here: Position, step: Step) -> Step:
    """Leave out of a conclusion the cells of which it says nothing new."""
    places = {cell: digit for cell, digit in step.places.items() if not here.placed[cell]}
    removes = {cell: mask for cell, mask in step.removes.items() if mask & here.domain(cell)}
    whole = len(places) == len(step.places) and len(removes) == len(step.removes)
    return step if whole else replace(step, places=places, removes=removes)


def _reduced(here: Position, step: Step) -> Step:
    """Give what is left of a pair, a triple or the like where some of its digits stand by now."""
    name = step.idea.removeprefix("hidden ")
    if step.house is None or name not in SUBSETS.values():
        return step
    hidden = name != step.idea
    house, _ = here.frame.houses[step.house]
    left = step.digits
    for cell in house.cells:
        if here.placed[cell]:
            left &= ~(1 << (here.placed[cell] - 1))
    if left == step.digits or not left:
        return step
    size = left.bit_count()
    if size > 1:
        again = replace(step, idea=f"hidden {SUBSETS[size]}" if hidden else SUBSETS[size], digits=left)
    else:
        (cell,) = (
            cell
            for cell in house.cells
            if not here.placed[cell]
            and (here.domain(cell) & left if hidden else not here.domain(cell) & ~left)
        )
        digit = left.bit_length()
        again = (
            only_place(here, step.house, cell, digit, last=False) if hidden else only_digit(here, cell, digit)
        )
    return weighed(here.frame, again)


def redrawn(here: Position, step: Step, retell: Retell | None, *, seen_first: bool) -> Step:
    """
    Draw up the certificate of a step anew, where by now it recalls what is seen or stands.

    Args:
        here: Where the step is told.
        step: The step.
        retell: Tells a what-if anew; needed where there are any.
        seen_first: As for ``renewed``.
    """
    seen = here.seen
    n, full = here.frame.n, here.frame.full
    if not any(
        mask & (mask - 1) if here.placed[cell] else (full & ~mask) << (cell * n) & seen
        for cell, mask in step.reason.facts.items()
    ):
        return step
    return weighed(here.frame, _drawn_up(here.by_sight() if seen_first else here, step, retell))


def _drawn_up(here: Position, step: Step, retell: Retell | None) -> Step:
    if step.story and retell is not None and (again := retell(here, step)) is not None:
        return again
    evidence = Evidence(here, step.reason.sources)
    for cell, mask in step.reason.facts.items():
        if here.placed[cell]:
            evidence.rely(cell)
        else:
            evidence.need(cell, here.frame.full & ~mask)
    again = replace(step, reason=evidence.reason())
    return lean(here.frame, again) if step.idea in CLUE_IDEAS and not step.story else again
