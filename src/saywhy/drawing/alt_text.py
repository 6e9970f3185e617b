"""A puzzle described in words, for those who do not see the picture; it spoils nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.rule import ClueRule, Form
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

#: More places than this are "spread over the grid".
_MOST_PLACES = 4


def describe(puzzle: Puzzle) -> str:
    """
    Describe a puzzle: size, regions, givens, and each rule with how many clues it has and where they lie.

    No digit, no printed number and no cell is named, so it can stand beside a picture before the solve.
    """
    grid = puzzle.grid
    given = sum(1 for digit in puzzle.givens if digit)
    parts = [
        f"A {grid.size} by {grid.size} sudoku grid with {_regions(grid)} and {_plural(given, 'given digit')}"
    ]
    rules = placed(puzzle)
    if rules.grid_wide:
        titles = [rule.title.lower() for rule in rules.grid_wide.values()]
        parts.append(f"For the whole grid: {_listed(titles)}")
    held: dict[str, list[ClueRule]] = {}
    for rule in rules.clues:
        held.setdefault(rule.title, []).append(rule)
    for title, clues in held.items():
        parts.append(f"{title}: {_plural(len(clues), 'clue')}, {_where(clues, grid)}")
    return ". ".join(parts) + "."


def _regions(grid: Grid) -> str:
    if grid.regions is None:
        return "no regions"
    if grid.box is None:
        return _plural(grid.size, "irregular region")
    return f"{_plural(grid.size, 'box')} of {grid.box[0]} by {grid.box[1]}"


def _plural(count: int, noun: str) -> str:
    plural = noun + ("es" if noun.endswith("x") else "s")
    return f"{_NUMBERS[count] if count < len(_NUMBERS) else count} {noun if count == 1 else plural}"


def _where(clues: Sequence[ClueRule], grid: Grid) -> str:
    if clues[0].form in (Form.OUTSIDE, Form.DIAGONAL):
        sides = Counter(_side(rule.scope, grid) for rule in clues)
        return f"outside the grid {_listed(list(sides))}"
    places = Counter(_place(rule.scope, grid) for rule in clues)
    if len(places) > _MOST_PLACES:
        return "spread over the grid"
    return _listed(sorted(places, key=lambda place: (-places[place], place)))


def _side(scope: Sequence[int], grid: Grid) -> str:
    """Say on which side of the grid a clue stands, by its first cell and the way it looks."""
    row, column = grid.place(scope[0])
    down, right = 0, 0
    if len(scope) > 1:
        next_row, next_column = grid.place(scope[1])
        down, right = next_row - row, next_column - column
    if down > 0 and row == 0:
        return "above"
    if down < 0 and row == grid.size - 1:
        return "below"
    return "on the left" if right > 0 or column == 0 else "on the right"


def _place(scope: Sequence[int], grid: Grid) -> str:
    """Say in which of nine parts of the grid the middle of some cells lies."""
    places = [grid.place(cell) for cell in scope]
    row = (sum(row for row, _ in places) / len(places) + 0.5) / grid.size
    column = (sum(column for _, column in places) / len(places) + 0.5) / grid.size
    down = "upper" if row < 1 / 3 else "lower" if row > 2 / 3 else ""
    right = "left" if column < 1 / 3 else "right" if column > 2 / 3 else ""
    if down:
        return f"in the {down} {right or 'middle'}"
    return f"on the {right}" if right else "in the centre"


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
