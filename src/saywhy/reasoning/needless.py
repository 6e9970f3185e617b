"""
What-ifs that the solve can do without.

A sweep takes a what-if where it is stuck, not knowing which later one will open more. With all of them known,
each is tried without, the dearest first: where the later ones, each followed anew from where the looks come
to rest and none of them longer than before, still lead to the end with less effort, it is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from time import perf_counter

from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Find, Step
from saywhy.reasoning.sweep import Sweep, Sweeper
from saywhy.reasoning.whatif import SORTS

#: Sweeps tried at most: what is spared must not take longer than the path.
TRIES = 8

#: A cell and the mask of the digit that a what-if or a trial settles there.
_About = tuple[int, int]


def spared(
    sweeper: Sweeper,
    sweep: Sweep,
    steps: list[Step],
    told: Callable[[Sweep], list[Step]],
    until: float | None = None,
) -> list[Step]:
    """
    Give steps without the what-ifs that can be spared.

    Args:
        sweeper: What the sweep was made with.
        sweep: A sweep that came to the end.
        steps: What is told of it.
        told: Gives what is told of a sweep.
        until: When no more is tried, as ``perf_counter`` tells it; None for no limit.
    """
    tried: set[_About] = set()
    while len(tried) < TRIES and (until is None or perf_counter() < until):
        searched = _searched(sweeper, sweep, steps)
        left = [(step, number) for step, number in searched if step.story and _about(step) not in tried]
        if not left:
            break
        dearest, number = max(left, key=lambda item: item[0].effort)
        tried.add(_about(dearest))
        later = [step for step, place in searched if place > number]
        if not later:
            continue  # Without it the sweep is stuck where it was.
        again = sweeper.resumed(sweep, number, partial(_anew, sweeper, later), until)
        if again.end.complete:
            fewer = told(again)
            if _effort(fewer) < _effort(steps):
                sweep, steps = again, fewer
    return steps


def _searched(sweeper: Sweeper, sweep: Sweep, steps: Sequence[Step]) -> list[tuple[Step, int]]:
    """Give the what-ifs and trials among some steps, each with its round, in order of these."""
    rounds: dict[_About, int] = {}
    for number, found in enumerate(sweep.rounds):
        if found.tier >= len(sweeper.looks):
            for find in found.finds:
                for cell, mask in find.removes.items():
                    rounds[cell, mask] = number
                for cell, digit in find.places.items():
                    rounds[cell, 1 << (digit - 1)] = number
    hard = [step for step in steps if step.story or step.idea == "trial"]
    return sorted(((step, rounds[_about(step)]) for step in hard), key=lambda item: item[1])


def _about(step: Step) -> _About:
    if step.suppose is not None:
        return step.suppose
    ((cell, digit),) = step.places.items()
    return cell, 1 << (digit - 1)


def _effort(steps: Sequence[Step]) -> float:
    return sum(step.effort for step in steps)


def _anew(sweeper: Sweeper, steps: Sequence[Step], here: Position) -> Iterator[Find]:
    """Yield the first of these what-ifs and trials that says something new here and holds."""
    for step in steps:
        cell, mask = _about(step)
        if here.placed[cell] or not mask & here.domain(cell):
            continue
        if step.suppose is None:
            found = sweeper.trials.of(here, cell, mask.bit_length())
        else:
            found = _retold(sweeper, here, step)
        if found is not None:
            yield found
            return


def _retold(sweeper: Sweeper, here: Position, step: Step) -> Find | None:
    story = sweeper.stories.again(here, step)
    if story is None or story.inner_steps > max(step.inner_steps, SORTS[0].longest):
        return None

    def build(_wanted: Mapping[int, int]) -> Step:
        return story

    return Find({}, dict(story.removes), build)
