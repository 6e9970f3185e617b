"""
Small valid puzzles, at least one for every rule and every option: for these tests and for others.

Each rule brings its own specimen, a small puzzle file that the rules page shows; further sizes, lengths
and values stand here as one line each: size, rule, cells, and then the other fields of the clue.
"""

from __future__ import annotations

import re
from functools import cache

from saywhy.files import read_text
from saywhy.grid import BOXES, Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.rules import all_rules, grid_rules

#: Regions drawn by hand for sizes without usual boxes, and one jigsaw of a size that has some.
JIGSAW = {
    4: (0, 0, 0, 1, 0, 2, 1, 1, 2, 2, 3, 1, 2, 3, 3, 3),
    5: (0, 0, 0, 1, 1, 0, 2, 2, 1, 1, 0, 2, 3, 3, 1, 4, 2, 2, 3, 3, 4, 4, 4, 4, 3),
}

#: size | rule | cells or groups parted by / | further fields
FURTHER = """
4 | odd | r1c2
9 | odd | r5c5
4 | even | r2c3
16 | even | r16c16
4 | low-spot | r2c2
4 | low-spot | r1c1
4 | high-spot | r1c2
5 | high-spot | r3c3
4 | counting-circles | r1c1
4 | counting-circles | r1c1 r1c2 r2c3 r3c4 r4c4 r4c1
9 | counting-circles | r1c1 r5c5 r9c9
4 | white-dot | r1c1 r1c2
4 | white-dot | r1c1 r1c2 | value=3
9 | white-dot | r5c5 r4c5 | value=4
16 | white-dot | r1c1 r1c2
4 | black-dot | r1c1 r1c2
9 | black-dot | r1c1 r1c2
9 | black-dot | r1c1 r1c2 | value=3
9 | black-dot | r1c1 r1c2 | value=4
9 | black-dot | r1c1 r1c2 | value=9
16 | black-dot | r1c1 r1c2
9 | x | r1c1 r1c2
9 | v | r1c1 r1c2
4 | v | r1c1 r1c2
4 | pair-sum | r1c1 r2c1 | value=3
9 | pair-sum | r1c1 r2c1 | value=17
4 | less-than | r1c1 r2c1
9 | less-than | r2c1 r1c1
4 | quadruple | r1c1 r1c2 r2c1 r2c2 | digits=4
4 | quadruple | r2c2 r2c3 r3c2 r3c3 | digits=1 1 3 3
9 | quadruple | r3c3 r3c4 r4c3 r4c4 | digits=9 2 2 5
4 | thermometer | r1c1 r1c2 r1c3 r1c4
9 | thermometer | r1c1 r2c1 r3c2
9 | thermometer | r1c1 r1c2
4 | slow-thermometer | r1c1 r2c1 r3c2 r4c3 r4c4
9 | slow-thermometer | r1c1 r2c1 r3c2
9 | arrow | r1c3 r2c4
4 | arrow | r1c1 r2c2 r3c3 r4c4
9 | arrow | r1c1 r2c2 r3c3
9 | arrow | r1c1 r1c2 r2c3 r3c3 | pill=2
4 | arrow | r1c1 r1c2 r1c3 r1c4 r2c4 r3c4 | pill=2
16 | arrow | r1c1 r1c2 r1c3
4 | double-arrow | r1c1 r2c2 r3c3
4 | double-arrow | r1c1 r2c1 r3c2 r3c3 r4c4
9 | double-arrow | r1c1 r2c2 r2c3 r1c4
4 | between-line | r1c1 r2c2 r3c3
4 | between-line | r1c1 r2c2 r3c3 r4c3 r4c4
9 | between-line | r1c1 r2c2 r3c3
4 | lockout-line | r1c1 r2c2 r3c3 r4c3 | value=1
4 | lockout-line | r1c1 r2c2 r3c3 r4c3 | value=2
9 | lockout-line | r1c1 r2c2 r3c3
9 | lockout-line | r1c1 r2c2 r3c3 | value=7
4 | palindrome | r2c2 r3c3
6 | palindrome | r2c2 r1c3 r2c4 r3c4 r4c5
9 | palindrome | r1c3 r2c3 r3c4 r4c4
4 | renban | r1c1 r2c2
4 | renban | r2c2 r2c3 r3c3 r3c2
9 | renban | r1c1 r2c1 r3c2 r4c3
16 | renban | r1c1 r2c1 r3c2
4 | whisper | r1c1 r2c2 r3c3 | value=1
4 | whisper | r1c1 r2c2 r3c3 | value=3
9 | whisper | r1c1 r2c2 r3c3
9 | whisper | r1c1 r2c2 r3c3 | value=4
4 | nabner | r1c1 r2c1
9 | nabner | r1c1 r2c1 r3c2
9 | nabner | r1c1 r2c1 r3c2 r4c3
12 | nabner | r1c1 r2c1 r3c2
4 | parity-line | r1c1 r2c2
4 | parity-line | r1c1 r2c2 r3c3 r4c3 r4c4
9 | parity-line | r1c1 r2c2 r3c3
4 | modular-line | r1c1 r2c2 r3c3
4 | modular-line | r1c1 r2c2 r3c3 r4c3 r4c4
9 | modular-line | r1c1 r2c2 r3c3 r4c4
9 | entropic-line | r1c1 r2c2 r3c3
4 | region-sum-line | r1c1 r1c2 r2c3 r2c4 r3c3
4 | region-sum-line | r2c1 r1c2 r2c3 r3c2
4 | region-sum-line | r1c2 r2c3 | value=3
6 | region-sum-line | r1c2 r1c3 r1c4 r2c3
9 | region-sum-line | r1c3 r1c4 r2c5
4 | sum-line | r1c1 r2c2 r3c3 r4c3 r4c4 | value=5
4 | sum-line | r1c1 r2c2 r3c3 r4c3 r4c4 | value=4
9 | sum-line | r1c1 r2c2 r3c3 r4c3 | value=10
4 | zipper-line | r1c1 r2c2 r3c3
4 | zipper-line | r1c1 r2c2 r3c3 r4c3
4 | zipper-line | r1c1 r2c2 r3c3 r4c3 r4c4
4 | zipper-line | r1c1 r1c2 r2c2 r3c3 r4c3 r4c4
9 | zipper-line | r1c1 r2c2 r3c3
4 | killer-cage | r1c1
4 | killer-cage | r1c1 | value=3
4 | killer-cage | r1c1 r1c2 r2c1 | value=7
4 | killer-cage | r1c1 r1c2 r2c1 r3c1
9 | killer-cage | r1c1 r1c2 r2c1 | value=13
4 | equal-sum-cages | r1c1 r1c2 / r3c3 r4c3 r4c4
9 | equal-sum-cages | r1c1 r1c2 / r9c9
4 | clone | r1c1 r1c2 r2c1 / r3c2 r3c3 r4c2
4 | clone | r1c1 r1c2 / r2c3 r2c4 / r3c2 r3c3
4 | extra-region | r2c2 r2c3 r3c2 r3c3
4 | extra-region | r1c1 r2c3 r4c4
9 | magic-square | r2c2-r2c4 r3c2-r3c4 r4c2-r4c4
10 | magic-square | r2c2-r2c4 r3c2-r3c4 r4c2-r4c4
4 | little-killer | r1c2 r2c3 r3c4 | value=7
4 | little-killer | r1c4-r4c1 | value=11
4 | little-killer | r1c1 | value=2
9 | little-killer | r1c7-r3c9 | value=9
4 | sandwich | r1c1-r1c4 | value=0
4 | sandwich | r4c2-r1c2 | value=3
4 | sandwich | r1c1-r1c4 | value=5
5 | sandwich | r1c1-r1c5 | value=4
4 | x-sum | r1c1-r1c4 | value=1
4 | x-sum | r1c1-r1c4 | value=6
4 | x-sum | r4c2-r1c2 | value=10
5 | x-sum | r1c1-r1c5 | value=9
4 | skyscraper | r1c1-r1c4 | value=1
4 | skyscraper | r1c1-r1c4 | value=2
4 | skyscraper | r3c4-r3c1 | value=4
5 | skyscraper | r3c5-r3c1 | value=3
4 | numbered-room | r1c1-r1c4 | value=1
4 | numbered-room | r4c3-r1c3 | value=3
5 | numbered-room | r1c1-r1c5 | value=5
4 | edge-sum | r1c1-r1c4 | value=5
4 | edge-sum | r4c1-r1c1 | value=6 count=3
5 | edge-sum | r1c1-r1c5 | value=4 count=1
6 | edge-sum | r6c2-r1c2 | value=9
"""


def grid_of(size: int) -> Grid:
    """Give the grid with the usual boxes, or with the regions drawn here."""
    return Grid.standard(size) if size in BOXES else Grid(size, JIGSAW[size])


def clue_of(line: str) -> tuple[Grid, Clue]:
    """Read one line of the list above."""
    size, rule, cells, *more = (part.strip() for part in line.split("|"))
    grid = grid_of(int(size))
    groups = tuple(grid.path(group) for group in cells.split("/"))
    fields = dict(re.findall(r"(\w+)=([\d ]+)", more[0] if more else ""))
    return grid, Clue(
        rule,
        cells=groups[0] if len(groups) == 1 else (),
        groups=groups if len(groups) > 1 else (),
        value=int(fields["value"]) if "value" in fields else None,
        digits=tuple(map(int, fields.get("digits", "").split())),
        pill=int(fields["pill"]) if "pill" in fields else None,
        count=int(fields["count"]) if "count" in fields else None,
    )


def empty(grid: Grid, *clues: Clue, rules: tuple[str, ...] = (), all_given: tuple[str, ...] = ()) -> Puzzle:
    """Give a puzzle without givens."""
    return Puzzle(grid, (0,) * len(grid.cells), rules, all_given, clues)


def specimen(name: str) -> Puzzle:
    """Give the puzzle that a rule shows itself in."""
    [puzzle] = read_text("format = 1\n" + all_rules()[name].specimen, f"specimen of {name}")
    return puzzle


@cache
def samples() -> tuple[tuple[str, Puzzle], ...]:
    """Give every sample: the name of its rule and a puzzle; each can be filled in at least one way."""
    found = [(name, specimen(name)) for name in all_rules()]
    for size in (4, 6, 9):
        found += [(name, empty(Grid.standard(size), rules=(name,))) for name in WIDE[size]]
    found += [
        ("all-given", empty(Grid.standard(9), all_given=("x", "v"))),
        ("all-given", empty(Grid.standard(4), all_given=("v",))),
    ]
    for line in FURTHER.strip().splitlines():
        grid, clue = clue_of(line)
        found.append((clue.rule, empty(grid, clue)))
    return tuple(found)


#: Grid-wide rules under which grids of the size exist.
WIDE = {
    4: sorted(set(grid_rules()) - {"anti-king", "non-consecutive"}),
    6: sorted(grid_rules()),
    9: sorted(grid_rules()),
}
