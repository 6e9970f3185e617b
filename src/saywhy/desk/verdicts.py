"""The live verdict: how many solutions, and on request where they differ or what clashes."""

from __future__ import annotations

import msgspec

from saywhy.engine import Budget, Cancel, conflict, prove
from saywhy.puzzle import Puzzle
from saywhy.rule import Rule
from saywhy.rules import placed

#: Seconds that the verdict on a puzzle may take while it is drawn, and that the search for a clash may take.
LIVE_S = 20.0
CLASH_S = 10.0


class Verdict(msgspec.Struct, frozen=True, kw_only=True):
    """
    A verdict; without the solution.

    Attributes:
        verdict: ``unique``, ``none``, ``many`` or ``undecided``.
        seconds: Wall time of the proof.
    """

    verdict: str
    seconds: float


class Where(msgspec.Struct, frozen=True, kw_only=True):
    """
    Where a puzzle fails.

    Attributes:
        verdict: As of ``Verdict``.
        cells: Cells to light up: where two solutions differ, or the cells of what clashes.
        words: One sentence a line.
        clues: For a clash, the places of its clues.
    """

    verdict: str
    cells: list[int] = []
    words: list[str] = []
    clues: list[int] = []


def verdict(puzzle: Puzzle, cancel: Cancel | None = None, seconds: float = LIVE_S) -> Verdict:
    """Give the verdict on a puzzle; ``undecided`` where it was cancelled."""
    proof = prove(puzzle, Budget(seconds=seconds), cancel)
    return Verdict(verdict=proof.verdict, seconds=round(proof.seconds, 4))


def where(puzzle: Puzzle, cancel: Cancel | None = None) -> Where:
    """Say where two solutions differ, or which few things clash."""
    proof = prove(puzzle, Budget(seconds=LIVE_S), cancel)
    if proof.verdict == "many" and proof.solution and proof.other:
        pairs = enumerate(zip(proof.solution, proof.other, strict=True))
        apart = [(cell, one, other) for cell, (one, other) in pairs if one != other]
        cells = "1 cell" if len(apart) == 1 else f"{len(apart)} cells"
        words = [f"Two solutions differ in {cells}, among others:"]
        words += [f"{puzzle.grid.name(cell)} is {one} or {other}" for cell, one, other in apart[:6]]
        return Where(verdict="many", cells=[cell for cell, _, _ in apart], words=words)
    if proof.verdict == "none":
        return _clash(puzzle, cancel)
    return Where(verdict=proof.verdict)


def _clash(puzzle: Puzzle, cancel: Cancel | None) -> Where:
    found = conflict(puzzle, Budget(seconds=CLASH_S), cancel)
    if found is None:
        return Where(verdict="none", words=["No clash was pinned down in the time allowed."])
    grid, rules = puzzle.grid, placed(puzzle)
    houses = {house.name: house for house in grid.houses}
    cells: dict[int, None] = {}
    words = []
    for index in found.clues:
        rule = rules.clues[index]
        cells.update(dict.fromkeys(rule.scope))
        words.append(f"Clue {index + 1}: the {rule.phrases.noun} at {grid.name(rule.scope[0])}")
    for cell in found.givens:
        cells[cell] = None
        words.append(f"The given {puzzle.givens[cell]} in {grid.name(cell)}")
    for name in found.houses:
        if not (found.clues or found.givens) and name in houses:
            cells.update(dict.fromkeys(houses[name].cells))
        words.append((name.replace("region", "box") if grid.box else name).capitalize())
    words += [f"The rule {name}" for name in found.rules]
    head = (
        "These cannot hold together, and there is no smaller clash:"
        if found.smallest
        else ("These cannot hold together:")
    )
    return Where(verdict="none", cells=sorted(cells), words=[head, *words], clues=list(found.clues))


def breaks(puzzle: Puzzle, digits: list[int]) -> list[int]:
    """
    Give the cells whose digits break a rule as they stand, by the rules' own definitions.

    Args:
        puzzle: The puzzle.
        digits: One a cell, 0 where empty; givens count besides.

    Returns:
        Cells that hold a digit, ascending.
    """
    held = [given or digit for given, digit in zip(puzzle.givens, digits, strict=True)]
    rules = placed(puzzle)
    found: set[int] = set()
    houses = [*puzzle.grid.houses, *(house for rule in rules.grid_wide.values() for house in rule.houses())]
    for house in houses:
        for cell in house.cells:
            if held[cell] and sum(held[other] == held[cell] for other in house.cells) > 1:
                found.add(cell)
    for rule in (*rules.clues, *rules.grid_wide.values()):
        if rule.holds(held) is False:
            found.update(_guilty(rule, held))
    return sorted(found)


def _guilty(rule: Rule, held: list[int]) -> list[int]:
    """Give the cells of a broken rule without which, one by one, it would not be known broken; else all."""
    filled = [cell for cell in rule.scope if held[cell]]
    needed = []
    for cell in filled:
        without = held.copy()
        without[cell] = 0
        if rule.holds(without) is not False:
            needed.append(cell)
    return needed or filled
