"""A puzzle turned, mirrored, or with its digits counted from the other end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle

#: Where a turn or mirror takes (row, column) on a grid of a size.
MOVES: dict[str, Callable[[int, int, int], tuple[int, int]]] = {
    "quarter turn": lambda row, column, n: (column, n - 1 - row),
    "half turn": lambda row, column, n: (n - 1 - row, n - 1 - column),
    "three quarter turn": lambda row, column, n: (n - 1 - column, row),
    "mirror left to right": lambda row, column, n: (row, n - 1 - column),
    "mirror top to bottom": lambda row, column, n: (n - 1 - row, column),
    "mirror in the falling diagonal": lambda row, column, _: (column, row),
    "mirror in the rising diagonal": lambda row, column, n: (n - 1 - column, n - 1 - row),
}

#: The moves that exchange rows and columns.
TRANSPOSING = {name for name in MOVES if "quarter" in name or "diagonal" in name}

#: The moves that exchange the two diagonals.
CROSSING = {name for name in MOVES if "quarter turn" in name or "left" in name or "top" in name}

_OTHER = {"falling-diagonal": "rising-diagonal", "rising-diagonal": "falling-diagonal"}


def moved(puzzle: Puzzle, name: str) -> Puzzle:
    """
    Give a puzzle turned or mirrored.

    Regions go with it, so that boxes wider than high may become boxes higher than wide; an edge sum
    without a count is given the count that it had.
    """
    n = puzzle.grid.size

    def there(cell: int) -> int:
        row, column = MOVES[name](*divmod(cell, n), n)
        return row * n + column

    givens = [0] * n * n
    regions = [0] * n * n
    for cell in range(n * n):
        givens[there(cell)] = puzzle.givens[cell]
        if puzzle.grid.regions is not None:
            regions[there(cell)] = puzzle.grid.regions[cell]
    order: dict[int, int] = {}
    renumbered = tuple(order.setdefault(region, len(order)) for region in regions)
    grid = Grid(n, None if puzzle.grid.regions is None else renumbered)
    rules = tuple(_OTHER.get(rule, rule) if name in CROSSING else rule for rule in puzzle.rules)
    return replace(
        puzzle,
        grid=grid,
        givens=tuple(givens),
        rules=rules,
        clues=tuple(_moved(clue, there, puzzle.grid) for clue in puzzle.clues),
    )


def _moved(clue: Clue, there: Callable[[int], int], grid: Grid) -> Clue:
    cells = tuple(map(there, clue.cells))
    groups = tuple(tuple(map(there, group)) for group in clue.groups)
    count = clue.count
    if clue.rule == "edge-sum" and count is None and grid.box is not None:
        count = grid.box[1]
    if clue.rule == "magic-square":
        cells = tuple(sorted(cells))
    return replace(clue, cells=cells, groups=groups, count=count)


def reflected(puzzle: Puzzle) -> Puzzle | None:
    """
    Give the puzzle whose solutions are this one's with each digit d replaced by n + 1 - d.

    None where a rule has no such twin: most that multiply, count, or read places from digits.
    """
    n = puzzle.grid.size
    clues = [_reflected(clue, puzzle.grid) for clue in puzzle.clues]
    if set(puzzle.all_given) - ({"white-dot", "x"} if n == 9 else {"white-dot"}) or not all(clues):
        return None
    return replace(
        puzzle,
        givens=tuple(n + 1 - digit if digit else 0 for digit in puzzle.givens),
        clues=tuple(clue for clue in clues if clue is not None),
    )


#: Clues that say the same of the digits counted from the other end.
_SAME = {
    "white-dot",
    "between-line",
    "lockout-line",
    "palindrome",
    "renban",
    "whisper",
    "nabner",
    "parity-line",
    "modular-line",
    "entropic-line",
    "clone",
    "extra-region",
    "magic-square",
}

#: Clues that say the same where both sides of their balance have as many cells.
_BALANCED: dict[str, Callable[[Clue], bool]] = {
    "double-arrow": lambda clue: len(clue.cells) == 4,
    "zipper-line": lambda clue: len(clue.cells) % 2 == 0,
    "equal-sum-cages": lambda clue: len(set(map(len, clue.groups))) == 1,
}

_EXCHANGED = {"low-spot": "high-spot", "high-spot": "low-spot"}
_BACKWARDS = {"thermometer", "slow-thermometer", "less-than"}
_SUMS = {"killer-cage", "little-killer", "pair-sum", "x", "v", "edge-sum"}


def _reflected(clue: Clue, grid: Grid) -> Clue | None:  # noqa: PLR0911
    n, rule = grid.size, clue.rule
    if rule in _SAME or rule in _BALANCED:
        return clue if rule in _SAME or _BALANCED[rule](clue) else None
    if rule in _BACKWARDS:
        return replace(clue, cells=clue.cells[::-1])
    if rule in _EXCHANGED:
        return replace(clue, rule=_EXCHANGED[rule])
    if rule in ("odd", "even"):
        return replace(clue, rule={"odd": "even", "even": "odd"}[rule]) if n % 2 == 0 else clue
    if rule == "quadruple":
        return replace(clue, digits=tuple(n + 1 - digit for digit in clue.digits))
    if rule in _SUMS:
        return _other_sum(clue, grid)
    return None


def _other_sum(clue: Clue, grid: Grid) -> Clue:
    """Give the clue on the sum that the cells make when their digits are counted from the other end."""
    value = {"x": 10, "v": 5}.get(clue.rule, clue.value)
    if value is None:
        return clue
    summed = len(clue.cells)
    if clue.rule == "edge-sum":
        summed = clue.count or (grid.box[1] if grid.box else 0)
    turned = summed * (grid.size + 1) - value
    if clue.rule == "x" and turned == 10:
        return clue
    return replace(clue, rule="pair-sum" if clue.rule in ("x", "v") else clue.rule, value=turned)
