"""A puzzle described in words, for those who do not see the picture; it spoils nothing."""

from __future__ import annotations

from collections import Counter

from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.rules import placed

_NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def describe(puzzle: Puzzle) -> str:
    """
    Describe a puzzle: size, regions, givens, and each rule with how many clues it has and where they lie.

    No digit and no cell is named.
    """
    grid = puzzle.grid
    kind = {True: "box", False: "irregular region"}[grid.box is not None]
    shape = "no regions" if grid.regions is None else f"{_plural(grid.size, kind)}"
    if grid.box is not None:
        shape += f" of {grid.box[0]} by {grid.box[1]}"
    given = [cell for cell in grid.cells if puzzle.givens[cell]]
    parts = [
        f"A {grid.size} by {grid.size} sudoku grid with {shape} and {_plural(len(given), 'given digit')}"
    ]
    rules = placed(puzzle)
    parts += [f"{rule.title} applies to the whole grid" for rule in rules.grid_wide.values()]
    held: dict[str, list[tuple[int, ...]]] = {}
    for rule in rules.clues:
        held.setdefault(rule.title, []).append(rule.scope)
    for title, scopes in held.items():
        parts.append(f"{title}: {_plural(len(scopes), 'clue')}{_places(scopes, grid)}")
    return ". ".join(parts) + "."


def _plural(count: int, noun: str) -> str:
    plural = noun + ("es" if noun.endswith("x") else "s")
    return f"{_NUMBERS[count] if count < len(_NUMBERS) else count} {noun if count == 1 else plural}"


def _places(scopes: list[tuple[int, ...]], grid: Grid) -> str:
    """Say roughly where clues lie: the thirds of the grid that hold their middles."""
    found = Counter(_third(scope, grid) for scope in scopes if scope)
    if not found:
        return ""
    if len(found) > 4:
        return ", spread over the grid"
    order = sorted(found, key=lambda place: (-found[place], place))
    return ", " + _listed(order)


def _third(scope: tuple[int, ...], grid: Grid) -> str:
    rows = [grid.place(cell)[0] for cell in scope]
    columns = [grid.place(cell)[1] for cell in scope]
    row = (sum(rows) / len(rows) + 0.5) / grid.size
    column = (sum(columns) / len(columns) + 0.5) / grid.size
    down = "upper " if row < 1 / 3 else "lower " if row > 2 / 3 else ""
    right = "left" if column < 1 / 3 else "right" if column > 2 / 3 else "middle"
    if not down and right == "middle":
        return "in the centre"
    if right == "middle":
        return f"in the {down}middle"
    return f"in the {down}{right}" if down else f"on the {right}"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
