"""Changes of a puzzle: what a setter could have meant instead, one alteration at a time."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal

from saywhy.puzzle import Clue, Puzzle
from saywhy.rules import place

Kind = Literal[
    "add-given",
    "change-given",
    "drop-given",
    "swap-givens",
    "change-value",
    "give-value",
    "drop-value",
    "swap-values",
    "swap-kinds",
    "change-kind",
    "turn-clue",
    "add-clue",
    "drop-clue",
]

#: What each kind does, without saying where: one of it, and several.
TOLD: dict[str, tuple[str, str]] = {
    "add-given": ("a given is added", "givens are added"),
    "change-given": ("a given gets another digit", "givens get other digits"),
    "drop-given": ("a given is taken out", "givens are taken out"),
    "swap-givens": ("two givens change places", "pairs of givens change places"),
    "change-value": ("the number of a clue is changed", "numbers of clues are changed"),
    "give-value": ("a clue without a number gets one", "clues without a number get one"),
    "drop-value": ("a clue loses its number", "clues lose their numbers"),
    "swap-values": ("two clues exchange their numbers", "pairs of clues exchange their numbers"),
    "swap-kinds": ("two marks of different kinds change places", "pairs of marks change places"),
    "change-kind": ("a mark becomes one of another kind", "marks become others"),
    "turn-clue": ("a clue is turned round", "clues are turned round"),
    "add-clue": ("a mark of a kind already there is added", "marks of kinds already there are added"),
    "drop-clue": ("a clue is taken out", "clues are taken out"),
}


@dataclass(frozen=True)
class Change:
    """
    One alteration of a puzzle.

    Attributes:
        kind: What sort of alteration it is.
        givens: Cells and the digits that they hold afterwards, 0 for none.
        clues: Places of clues in the puzzle and what stands there afterwards; None where it goes.
        added: A further clue.
    """

    kind: Kind
    givens: tuple[tuple[int, int], ...] = ()
    clues: tuple[tuple[int, Clue | None], ...] = ()
    added: Clue | None = None

    @property
    def adds(self) -> bool:
        """Whether it takes nothing away: every solution afterwards was one before."""
        return self.kind in ("add-given", "give-value", "add-clue")

    def clashes(self, other: Change) -> bool:
        """Say whether both alter the same thing, so that they cannot be made together."""
        cells = {cell for cell, _ in self.givens} & {cell for cell, _ in other.givens}
        places = {place for place, _ in self.clues} & {place for place, _ in other.clues}
        return bool(cells or places)


def apply(puzzle: Puzzle, changes: Iterable[Change]) -> Puzzle:
    """Give the puzzle with these changes made; clues that are added come last."""
    givens, clues = list(puzzle.givens), list[Clue | None](puzzle.clues)
    added: list[Clue] = []
    for change in changes:
        for cell, digit in change.givens:
            givens[cell] = digit
        for index, clue in change.clues:
            clues[index] = clue
        if change.added is not None:
            added.append(change.added)
    kept = [clue for clue in clues if clue is not None]
    return replace(puzzle, givens=tuple(givens), clues=(*kept, *added))


def told(changes: Iterable[Change]) -> str:
    """Say what sort of changes these are, without where: ``a given is added``."""
    counts: dict[str, int] = {}
    for change in changes:
        counts[change.kind] = counts.get(change.kind, 0) + 1
    parts = [TOLD[kind][0] if many == 1 else f"{many} {TOLD[kind][1]}" for kind, many in counts.items()]
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def shown(change: Change, puzzle: Puzzle) -> str:  # noqa: PLR0911 - one sentence a kind
    """Say a change in full, with cells and digits: this spoils."""
    name = puzzle.grid.name
    match change.kind, change.givens, change.clues:
        case "swap-givens", ((cell, digit), (other, second)), _:
            return f"the givens in {name(cell)} and {name(other)} change places: {digit} and {second}"
        case "add-given", ((cell, digit),), _:
            return f"give {digit} in {name(cell)}"
        case "drop-given", ((cell, _),), _:
            return f"take out the given {puzzle.givens[cell]} in {name(cell)}"
        case "change-given", ((cell, digit),), _:
            return f"give {digit} instead of {puzzle.givens[cell]} in {name(cell)}"
        case (("swap-values" | "swap-kinds"), _, ((one, _), (two, _))):
            return f"exchange {_clue(puzzle, one)} and {_clue(puzzle, two)}"
        case "drop-clue", _, ((index, _),):
            return f"take out {_clue(puzzle, index)}"
        case "drop-value", _, ((index, _),):
            return f"take the number off {_clue(puzzle, index)}"
        case "turn-clue", _, ((index, _),):
            return f"turn {_clue(puzzle, index)} round"
        case "give-value", _, ((index, Clue() as clue),):
            return f"write {printed(clue)} on {_clue(puzzle, index)}"
        case "change-value", _, ((index, Clue() as clue),):
            return (
                f"write {printed(clue)} instead of {printed(puzzle.clues[index])} on {_clue(puzzle, index)}"
            )
        case "change-kind", _, ((index, Clue() as clue),):
            return f"make a {place(clue, puzzle.grid).title} of {_clue(puzzle, index)}"
    assert change.added is not None
    rule = place(change.added, puzzle.grid)
    return f"add a {rule.title} at {' '.join(puzzle.grid.names(change.added.cells))}"


def printed(clue: Clue) -> str:
    """Give what is printed on a clue: its number or its digits."""
    return " ".join(map(str, clue.digits)) if clue.digits else str(clue.value)


def _clue(puzzle: Puzzle, index: int) -> str:
    """Name a clue as a list of clues does, with where it stands."""
    clue = puzzle.clues[index]
    rule = place(clue, puzzle.grid)
    line = f", line {clue.line}" if clue.line is not None else ""
    return f"clue {index + 1} (the {rule.phrases.noun} at {' '.join(puzzle.grid.names(rule.scope))}{line})"
