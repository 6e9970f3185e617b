"""A puzzle explained from beginning to end: its verdict, its path in words and its effort."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from saywhy.engine import Budget, prove
from saywhy.puzzle import Puzzle
from saywhy.reasoning.beats import beats
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.path import Walk, Walker
from saywhy.reasoning.position import Position
from saywhy.reasoning.profile import Profile, profile
from saywhy.reasoning.step import PathStep, Step, Told
from saywhy.reasoning.thought import joined
from saywhy.reasoning.words import Teller

#: Seconds after which a walk stops where it stands and says so.
WALK_S = 60.0


@dataclass(frozen=True)
class Path:
    """
    A puzzle's reasoned path.

    Attributes:
        puzzle: The puzzle.
        verdict: ``unique``, ``none``, ``many`` or ``undecided``; steps are given for ``unique`` only.
        complete: Whether the steps fill the grid.
        steps: The steps with their words, in order.
        beats: The text of each beat, in order.
        effort: The profile; None where there is no complete path.
    """

    puzzle: Puzzle
    verdict: str
    complete: bool
    steps: tuple[PathStep, ...]
    beats: tuple[str, ...]
    effort: Profile | None

    def as_json(self, file: str) -> dict[str, Any]:
        """Give the object that ``explain --json`` prints for a file."""
        return {
            "file": file,
            "verdict": self.verdict,
            "complete": self.complete,
            "steps": [step.as_json(self.puzzle.grid) for step in self.steps],
        }


def explain(puzzle: Puzzle, budget: Budget | None = None, seconds: float = WALK_S) -> Path:
    """
    Prove a puzzle and say why each digit is forced.

    Args:
        puzzle: The puzzle.
        budget: Limits of the proof; None for as many seconds as a walk has.
        seconds: Wall time for the walk.
    """
    proof = prove(puzzle, budget or Budget(seconds=WALK_S))
    if proof.verdict != "unique":
        return Path(puzzle, proof.verdict, complete=False, steps=(), beats=(), effort=None)
    frame = Frame(puzzle)
    return told(Walker(frame, proof.solution).walk(seconds), proof.verdict)


def told(walk: Walk, verdict: str = "unique") -> Path:
    """Give a walk in words, beat by beat."""
    frame = walk.frame
    teller = Teller(frame)
    position = walk.start.copy()
    spoken: list[tuple[Step, Told]] = []
    openings: list[int] = []
    for thought, ready in zip(walk.steps, walk.openings, strict=True):
        for step, words in _tellings(teller, position, thought, spoken):
            spoken.append((step, words))
            openings.append(ready)
            position.apply(step)
    numbers = beats([step for step, _ in spoken], frame.full)
    steps = tuple(
        PathStep(n, beat, step, words)
        for n, (beat, (step, words)) in enumerate(zip(numbers, spoken, strict=True), 1)
    )
    grouped: list[list[tuple[Step, Told]]] = [[] for _ in range(numbers[-1] if numbers else 0)]
    for beat, pair in zip(numbers, spoken, strict=True):
        grouped[beat - 1].append(pair)
    heads = [words for (_, words), *_ in grouped]
    texts = [teller.beat(pairs, heads[:place]) for place, pairs in enumerate(grouped)]
    if texts and walk.start.placed == Position.opening(frame).placed:
        texts[0] = teller.opened(spoken[0][0], texts[0])
    if texts and walk.complete:
        texts[-1] = teller.closed(texts[-1])
    return Path(
        frame.puzzle,
        verdict,
        walk.complete,
        steps,
        tuple(texts),
        profile(steps, openings, texts) if walk.complete else None,
    )


def _tellings(
    teller: Teller, position: Position, thought: Step, before: Sequence[tuple[Step, Told]]
) -> list[tuple[Step, Told]]:
    """Tell a thought that joins several steps as one, or part by part where that says more or is shorter."""
    if not thought.parts:
        return [(thought, teller.tell(position, thought, before))]
    spoken: list[tuple[Step, Told]] = []
    vague: list[bool] = []
    for part in thought.parts:
        told = teller.tell(position, part, [*before, *spoken])
        dim = bool(teller.last.vague)
        for place, (other, its) in enumerate(spoken):
            one = joined(teller.frame, other, part)
            if one is None:
                continue
            both = teller.tell(position, one, [*before, *spoken[:place]])
            shorter = len(both.text.split()) < len(its.text.split()) + len(told.text.split())
            if shorter and (not teller.last.vague or (dim and vague[place])):
                spoken[place], vague[place] = (one, both), bool(teller.last.vague)
                break
        else:
            spoken.append((part, told))
            vague.append(dim)
    return spoken
