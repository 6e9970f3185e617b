"""
Steps as they stand where they are told.

A certificate is drawn up with what was known in the round of a find. Told later, more digits stand on the
board: what a step concludes may be seen by then, and what it recalls from marks may be pointed at instead. So
each step is gone through at its place, and then what no later step relies on is left out, with the steps that
are left with nothing to say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from saywhy.reasoning.effort import effort
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
    start: Position, steps: Sequence[tuple[Step, int]], retell: Retell | None = None, *, seen_first: bool
) -> list[tuple[Step, int]]:
    """
    Give the steps that are left to tell, as they stand where they are told.

    Args:
        start: Where the first step is told.
        steps: In order; each rests on earlier ones; each with a number that is kept with it.
        retell: Tells a what-if anew; needed where there are any.
        seen_first: Whether what is seen is never recalled from a mark, so that few marks are needed; else
            a mark is recalled for all that it shows.
    """
    left = list(steps)
    count = 0
    while count != len(left):
        count = len(left)
        fresh = renewed(start, left, retell, seen_first=seen_first)
        needed = zip(trimmed(start.frame, [step for step, _ in fresh]), fresh, strict=True)
        left = [(step, number) for step, (_, number) in needed if step.places or step.removes]
        while (place := spare(start.frame, [step for step, _ in left])) is not None:
            del left[place]
    return left


def renewed(
    start: Position,
    steps: Sequence[tuple[Step, int]],
    retell: Retell | None = None,
    *,
    seen_first: bool,
) -> list[tuple[Step, int]]:
    """
    Go through steps in order and give each as it stands at its place.

    A digit that by now a cell alone or a house alone shows with less effort is placed so, ahead of what is
    left of its step.

    Args:
        start: Where the first step is told.
        steps: As for ``settled``.
        retell: Tells a what-if anew; needed where there are any.
        seen_first: Whether what is seen is never recalled from a mark; else whatever is told in fewer words.

    Returns:
        The steps, those with nothing new to say without a conclusion.
    """
    here = start.copy()
    found = []
    for step, number in steps:
        fresh = _fresh(here, _reduced(here, step))
        for plain in _plainer(here, fresh, seen_first=seen_first):
            here.apply(plain)
            found.append((plain, number))
        fresh = _fresh(here, fresh)
        if fresh.places or fresh.removes:
            fresh = _renewed(here, fresh, retell, seen_first=seen_first)
            here.apply(fresh)
        found.append((fresh, number))
    return found


def trimmed(frame: Frame, steps: Sequence[Step]) -> list[Step]:
    """
    Leave out of each conclusion the cells whose marks no later step relies on.

    A mark counts for the first step that gives it. A step that is left with no conclusion is not needed.
    """
    full, n = frame.full, frame.n
    giver: dict[int, int] = {}
    for place, step in enumerate(steps):
        for cell, mask in step.struck(full).items():
            for bit in bits(mask):
                giver.setdefault(cell * n + bit, place)
    used: list[set[int]] = [set() for _ in steps]
    found: list[Step] = []
    for place in range(len(steps) - 1, -1, -1):
        step = steps[place]
        kept = replace(step, removes={c: mask for c, mask in step.removes.items() if c in used[place]})
        found.append(kept)
        if not kept.places and not kept.removes:
            continue
        for cell, mask in step.reason.facts.items():
            for bit in bits(full & ~mask):
                by = giver.get(cell * n + bit)
                if by is not None and by < place:
                    used[by].add(cell)
    return found[::-1]


def spare(frame: Frame, steps: Sequence[Step]) -> int | None:
    """Give the step (its place) of most effort whose marks other steps give too, before they are needed."""
    full, n = frame.full, frame.n
    givers: dict[int, list[int]] = {}
    needed: dict[int, int] = {}  # by candidate: the first step that relies on its being gone
    for place, step in enumerate(steps):
        for cell, mask in step.reason.facts.items():
            for bit in bits(full & ~mask):
                needed.setdefault(cell * n + bit, place)
        for cell, mask in step.struck(full).items():
            for bit in bits(mask):
                givers.setdefault(cell * n + bit, []).append(place)

    def is_spare(place: int, step: Step) -> bool:
        for cell, mask in step.removes.items():
            for bit in bits(mask):
                candidate = cell * n + bit
                first = needed.get(candidate)
                if first is not None and all(by in (place, first) or by > first for by in givers[candidate]):
                    return False
        return not step.places

    found = [place for place, step in enumerate(steps) if is_spare(place, step)]
    return max(found, key=lambda place: steps[place].effort, default=None)


def sharpened(frame: Frame, steps: Sequence[tuple[Step, int]]) -> list[tuple[Step, int]]:
    """Let a step at clues place the digit placed next in the cell that it narrows, where it shows as much."""
    left: list[tuple[Step, int]] = []
    for step, number in steps:
        before = left[-1][0] if left else step
        if (
            step.idea == "only digit"
            and before.idea in CLUE_IDEAS
            and not before.places
            and before.removes.keys() == step.places.keys()
        ):
            more = replace(before, places=step.places, removes={})
            lesser = lean(frame, more)
            if lesser is not more:
                left[-1] = weighed(frame, lesser), left[-1][1]
                continue
        left.append((step, number))
    return left


def _fresh(here: Position, step: Step) -> Step:
    """Leave out of a conclusion the cells of which it says nothing new."""
    return replace(
        step,
        places={cell: digit for cell, digit in step.places.items() if not here.placed[cell]},
        removes={cell: mask for cell, mask in step.removes.items() if mask & here.domain(cell)},
    )


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


def _plainer(here: Position, step: Step, *, seen_first: bool) -> list[Step]:
    """Place those of a step's digits that a cell or a house shows by now with less effort."""
    if not step.places or step.idea == "last digit":
        return []
    here = here.by_sight() if seen_first else here
    found = []
    for cell, digit in step.places.items():
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


def weighed(frame: Frame, step: Step) -> Step:
    """Give a step with its effort."""
    return replace(step, effort=effort(step, frame.n, frame.clue_cells(step.reason)))


def _renewed(here: Position, step: Step, retell: Retell | None, *, seen_first: bool) -> Step:
    """Draw up the certificate of a step anew, where by now it recalls what is seen or stands."""
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
