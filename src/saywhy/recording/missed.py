"""
Looks that were never used and would have shortened the solve, though they place no digit themselves.

Wherever a digit took long or much effort, the digit that was nearest then is held beside it. Where the chain
to that one took less, the looks of the chain that the solver shows no sign of having used are told, and when
a later reason or note came to rest on the same, if one ever did.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step, Told
from saywhy.reasoning.words import Teller
from saywhy.recording.chains import Chains
from saywhy.recording.judging import Judged, Move

#: A chain counts as easier where it takes so many glances less.
EASIER = 1.0


@dataclass(frozen=True)
class Missed:
    """
    A look that was open and not used.

    Attributes:
        t: When something else was done instead, seconds.
        step: The look.
        told: Its words.
        cell: The cell of the digit that it leads to.
        digit: That digit.
        looks: How many looks lead to that digit, this one counted.
        effort: What they take, in glances.
        instead: The move that was made.
        used_s: When a later move or note rested on the same look; None where none ever did.
    """

    t: float
    step: Step
    told: Told
    cell: int
    digit: int
    looks: int
    effort: float
    instead: Move
    used_s: float | None = None


def missed(judged: Judged, chains: Chains, stalled: float) -> list[Missed]:
    """
    Give the looks that were never used, in the order in which they were first passed by.

    Args:
        judged: The moves.
        chains: What finds the nearest digit.
        stalled: A move that took so long was hard to find, seconds.
    """
    teller = Teller(judged.frame)
    found: list[Missed] = []
    told: set[tuple[tuple[int, int], ...]] = set()
    for move in judged.moves:
        hard = move.shown and move.effort > EASIER
        if move.do != "place" or not move.act or not (hard or move.pace_s >= stalled):
            continue
        position = judged.snapshots[move.act - 1]
        if position.broken or all(position.placed):
            continue
        near = chains.nearest(position)
        if near is None or len(near[1]) < 2:
            continue
        goal, steps = near
        effort = sum(step.effort for step in steps)
        less = 0.0 if move.pace_s >= stalled else EASIER
        if goal.cell == move.cells[0] or (move.shown and effort + less >= move.effort):
            continue
        here = position.copy()
        for step in steps:
            key = _struck(step, here)
            if not step.places and key not in told and not _uses(move, key):
                told.add(key)
                words = teller.tell(here, step)
                used = next((m.t for m in judged.moves if m.t > move.t and _uses(m, key)), None)
                found.append(
                    Missed(move.t, step, words, goal.cell, goal.digit, len(steps), effort, move, used)
                )
            here.apply(step)
    return found


def _struck(step: Step, position: Position) -> tuple[tuple[int, int], ...]:
    """Give what a look strikes out that was still open, as cells and masks."""
    left = ((cell, mask & position.domain(cell)) for cell, mask in sorted(step.removes.items()))
    return tuple((cell, mask) for cell, mask in left if mask)


def _uses(move: Move, key: Sequence[tuple[int, int]]) -> bool:
    """Whether a move's reason strikes out the same."""
    for cell, mask in key:
        gone = 0
        for step, _ in move.steps:
            gone |= step.removes.get(cell, 0)
        if mask & ~gone:
            return False
    return bool(key)
