"""Small sketches of the harbour, and a plain count of a small puzzle's solutions."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.puzzle import Puzzle
from saywhy.rules import placed

PUNT = """
format = 1
title = "Punt"
size = 4

[wish]
givens = "at most 4"
symmetry = "half turn"

[[clue]]
rule = "thermometer"
cells = "?"
shapes = 2
length = "3"
symmetry = "half turn"

[[clue]]
rule = "killer-cage"
cells = "r1c1 r1c2"
value = "?"
"""

SKIFF = """
format = 1
title = "Skiff"
size = 6

[wish]
givens = "4-6"
symmetry = "half turn"
effort = ["a stroll", "a steady walk"]
pattern = "region 1 in order"

[[clue]]
rule = "killer-cage"
cells = "?"
shapes = 4
length = "2-3"
symmetry = "half turn"
value = "?"

[[clue]]
rule = "white-dot"
cells = "?"
shapes = 4
symmetry = "half turn"

[[clue]]
rule = "quadruple"
cells = "r3c3 r3c4 r4c3 r4c4"
digits = "??"
"""

DOTS = """
format = 1
size = 6
all-given = ["white-dot", "black-dot"]
[wish]
givens = "at most 4"
[[clue]]
rule = "white-dot"
cells = "?"
shapes = "all"
[[clue]]
rule = "black-dot"
cells = "?"
shapes = "all"
"""

MARKED = """
format = 1
size = 6
givens = \"\"\"
? . . . . ?
. . . . . .
. . 3 . . .
. . . ? . .
. . . . . .
? . . . . ?
\"\"\"
[wish]
givens = "at most 14"
"""

SKETCHES = {"punt": PUNT, "skiff": SKIFF, "dots": DOTS, "marked": MARKED}


def solutions(puzzle: Puzzle) -> int:
    """
    Count a small puzzle's solutions, two at most, by trying every digit in every cell.

    Nothing of the engine runs here: houses are looked at one by one, clues by their definitions.
    """
    size = puzzle.grid.size
    held = placed(puzzle)
    rules = [*held.grid_wide.values(), *held.clues]
    houses = [house.cells for house in puzzle.grid.houses]
    near: list[list[int]] = [[] for _ in puzzle.grid.cells]
    for cells in houses:
        for cell in cells:
            near[cell] += [other for other in cells if other != cell]
    speaking = [[rule for rule in rules if cell in rule.scope] for cell in puzzle.grid.cells]
    digits = list(puzzle.givens)
    order = sorted(puzzle.grid.cells, key=lambda cell: (puzzle.givens[cell] == 0, cell))

    def fits(cell: int) -> bool:
        alike = any(digits[other] == digits[cell] for other in near[cell])
        return not alike and all(rule.holds(digits) is not False for rule in speaking[cell])

    def search(place: int, found: int) -> int:
        if place == len(order):
            return found + 1
        cell = order[place]
        given = puzzle.givens[cell]
        for digit in [given] if given else range(1, size + 1):
            digits[cell] = digit
            if fits(cell):
                found = search(place + 1, found)
            if found >= 2:
                break
        digits[cell] = given
        return found

    return search(0, 0)


def keeps(puzzle: Puzzle, solution: Sequence[int]) -> bool:
    """Say whether a filled grid keeps givens, houses, grid-wide rules and clues by their definitions."""
    held = placed(puzzle)
    return (
        all(given in (0, digit) for given, digit in zip(puzzle.givens, solution, strict=True))
        and all(
            len({solution[cell] for cell in house.cells}) == puzzle.grid.size for house in puzzle.grid.houses
        )
        and all(rule.holds(list(solution)) is True for rule in (*held.grid_wide.values(), *held.clues))
    )
