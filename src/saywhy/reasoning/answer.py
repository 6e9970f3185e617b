"""Answering back: why a cell is what it is, what comes next from a position, hints in three strengths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from saywhy.grid import Grid
from saywhy.primitives import digits_of
from saywhy.puzzle import Puzzle
from saywhy.reasoning.claims import SEARCH, Claims, Judged, judge
from saywhy.reasoning.explain import WALK_S, Path, told
from saywhy.reasoning.frame import Frame, bits
from saywhy.reasoning.path import Walker
from saywhy.reasoning.step import PathStep
from saywhy.rules import placed


def rests_on(path: Path, cell: int) -> list[PathStep]:
    """
    Give the steps on which a cell's digit rests, in path order, the one that places it last.

    Returns:
        Empty for a given, and where the path does not come to the cell.
    """
    full = (1 << path.puzzle.grid.size) - 1
    target = next((n for n, step in enumerate(path.steps) if cell in step.step.places), None)
    if target is None:
        return []
    n = path.puzzle.grid.size
    giver: dict[int, int] = {}
    for place, step in enumerate(path.steps):
        for where, mask in step.step.struck(full).items():
            for bit in bits(mask):
                giver.setdefault(where * n + bit, place)
    needed, waiting = {target}, [target]
    while waiting:
        for where, mask in path.steps[waiting.pop()].step.reason.facts.items():
            for bit in bits(full & ~mask):
                by = giver.get(where * n + bit)
                if by is not None and by not in needed:
                    needed.add(by)
                    waiting.append(by)
    return [path.steps[place] for place in sorted(needed)]


@dataclass(frozen=True)
class Answer:
    """
    What to say to somebody at a position.

    Attributes:
        kind: ``false``, ``unshown``, ``next``, ``done`` or ``stuck``.
        text: One or two sentences; for ``next`` the spoken beat.
        cells: The cells that it is about.
        steps: For ``next``, the steps of the beat.
    """

    kind: str
    text: str
    cells: tuple[int, ...] = ()
    steps: tuple[PathStep, ...] = ()


def from_position(puzzle: Puzzle, claims: Claims, solution: Sequence[int]) -> Answer:
    """
    Say what is first to be said at a position: what is false, what is not shown, or the next beat.

    Args:
        puzzle: A puzzle with exactly one solution.
        claims: What stands on the board beside the givens.
        solution: That solution, one digit a cell.
    """
    frame = Frame(puzzle)
    walker = Walker(frame, solution)
    judged = judge(walker.sweeper, claims, tuple(solution))
    at_once = _of_claims(puzzle, claims, judged)
    if at_once is not None:
        return at_once
    path = told(walker.walk(WALK_S, judged.position))
    if not path.steps:
        return Answer("stuck", "Nothing more is seen from here.")
    beat = tuple(step for step in path.steps if step.beat == 1)
    cells = tuple({cell: None for step in beat for cell in (*step.step.places, *step.step.removes)})
    return Answer("next", path.beats[0], cells, beat)


def _of_claims(puzzle: Puzzle, claims: Claims, judged: Judged) -> Answer | None:
    """Say which claim is false, that all is done, or which is not shown; None where all are good."""
    name = puzzle.grid.name
    for cell in judged.false_digits:
        return Answer("false", f"The {claims.digits[cell]} in {name(cell)} can't be right.", (cell,))
    for cell in judged.false_options:
        return Answer("false", f"The options in {name(cell)} leave out its digit.", (cell,))
    if all(given or cell in claims.digits for cell, given in enumerate(puzzle.givens)):
        return Answer("done", "Every cell has its digit, and all are right.")
    for cell in judged.unshown_digits:
        said = f"The {claims.digits[cell]} in {name(cell)} is right"
        return Answer("unshown", f"{said}, but nothing shows it yet: {SEARCH}.", (cell,))
    for cell in judged.unshown_options:
        left = _listed([str(digit) for digit in digits_of(claims.options[cell])])
        said = f"Leaving {left} in {name(cell)} is right"
        return Answer("unshown", f"{said}, but nothing shows it yet: {SEARCH}.", (cell,))
    return None


def nudge(puzzle: Puzzle, step: PathStep, strength: int) -> str:
    """
    Give a hint of one step.

    Args:
        puzzle: The puzzle.
        step: The step.
        strength: 1 says where to look, 2 which clue or house, 3 the whole reason.
    """
    if strength >= 3:
        return step.told.text
    grid = puzzle.grid
    cells = sorted({*step.step.places, *step.step.removes})
    reason = step.step.reason
    if strength == 1:
        houses = [house for house in reversed(grid.houses) if any(cell in house.cells for cell in cells)]
        best = max(houses, key=lambda house: sum(cell in house.cells for cell in cells))
        return f"Look around {_house(grid, best.name)}."
    placed_clues = placed(puzzle).clues if reason.of_kind("clue") else ()
    clues = [placed_clues[source.number] for source in reason.of_kind("clue")]
    named = [f"the {clue.phrases.noun} at {grid.name(clue.scope[0])}" for clue in clues]
    named = named or [f"the {source.name} rule" for source in reason.of_kind("rule")]
    if step.step.house is not None or not named:
        named += [_house(grid, source.name) for source in reason.of_kind("house")]
    if not named:  # the notes of a cell show its digit by themselves
        return f"Think of what can still be in {_listed(grid.names(reason.facts))}."
    return f"Think of {_listed(list(dict.fromkeys(named)))}."


def _house(grid: Grid, name: str) -> str:
    return name.replace("region", "box") if grid.box else name


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
