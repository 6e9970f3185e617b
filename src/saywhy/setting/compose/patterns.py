"""
Patterns that a solution hides: a place on the grid and what is to be seen there.

``region 5 in order``, ``row 1 balanced``, ``r1c1-r4c4 read 1 9 6 8``. A pattern guides the search for a grid
and nothing else: no clue says it, and no reason of the path rests on it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import ClassVar

from saywhy.errors import Problem
from saywhy.grid import Grid
from saywhy.primitives import AllDifferent, Primitive, balance, only, relation, sum_of

LONGEST = 200  #: characters of a pattern

Pairs = list[tuple[int, int]]


def _mirrored(cells: Sequence[int]) -> Pairs:
    half = len(cells) // 2
    return list(zip(cells[:half], reversed(cells[-half:]), strict=True)) if half else []


def _same(a: int, b: int) -> bool:
    return a == b


def _next(a: int, b: int) -> bool:
    return b == a + 1


@dataclass(frozen=True)
class Kind:
    """
    What can be seen in a place.

    Attributes:
        words: How it is written behind the place.
        primitives: What the grid must keep, from the cells, the size and the digits written.
        holds: The definition, on the digits of the cells: naive on purpose.
        alike: Two cells each that must hold the same digit.
        fewest: The fewest cells in which it means something.
    """

    words: str
    primitives: Callable[[Sequence[int], int, Sequence[int]], list[Primitive]]
    holds: Callable[[Sequence[int], int, Sequence[int]], bool]
    alike: Callable[[Sequence[int]], Pairs] = lambda _: []
    fewest: int = 2


def _balanced(cells: Sequence[int], size: int) -> list[Primitive]:
    found: list[Primitive] = [sum_of(pair, size + 1) for pair in _mirrored(cells)]
    middle = cells[len(cells) // 2]
    return found if len(cells) % 2 == 0 else [*found, balance((middle, middle), (), size + 1)]


#: Everything that can be seen; ``read`` is followed by digits.
KINDS = (
    Kind(
        "in order",
        lambda cells, size, _: [relation(a, b, size, _next) for a, b in pairwise(cells)],
        lambda digits, _, __: all(b == a + 1 for a, b in pairwise(digits)),
    ),
    Kind(
        "reads the same both ways",
        lambda cells, size, _: [relation(a, b, size, _same) for a, b in _mirrored(cells)],
        lambda digits, _, __: list(digits) == list(reversed(digits)),
        _mirrored,
    ),
    Kind(
        "balanced",
        lambda cells, size, _: _balanced(cells, size),
        lambda digits, size, _: all(a + b == size + 1 for a, b in zip(digits, reversed(digits), strict=True)),
    ),
    Kind(
        "all different",
        lambda cells, _, __: [AllDifferent(tuple(cells))],
        lambda digits, _, __: len(set(digits)) == len(digits),
    ),
    Kind(
        "alike",
        lambda cells, size, _: [relation(a, b, size, _same) for a, b in pairwise(cells)],
        lambda digits, _, __: len(set(digits)) == 1,
        lambda cells: list(combinations(cells, 2)),
    ),
    Kind(
        "read",
        lambda cells, size, said: [only(cell, [d], size) for cell, d in zip(cells, said, strict=True)],
        lambda digits, _, said: list(digits) == list(said),
        fewest=1,
    ),
)


@dataclass(frozen=True)
class Pattern:
    """
    A pattern on a grid.

    Attributes:
        text: As it was written.
        kind: Place of its kind in ``KINDS``.
        cells: Where it lies, in the order in which it is read.
        digits: The digits that ``read`` names.
    """

    text: str
    kind: int
    cells: tuple[int, ...]
    digits: tuple[int, ...] = ()

    most_shown: ClassVar[int] = 60

    def primitives(self, grid: Grid) -> list[Primitive]:
        """Give what the search for a grid is told."""
        return KINDS[self.kind].primitives(self.cells, grid.size, self.digits)

    def holds(self, digits: Sequence[int], grid: Grid) -> bool:
        """Say whether a filled grid has it."""
        held = [digits[cell] for cell in self.cells]
        return KINDS[self.kind].holds(held, grid.size, self.digits)


def read_pattern(written: str, grid: Grid) -> Pattern | Problem:
    """
    Read a pattern.

    Returns:
        The pattern, or what is wrong with it: that it cannot be read, or that no grid can have it.
    """
    words = " ".join(written.split())
    place, *tail = _READ.split(words, maxsplit=1)
    kind = next((k for k, held in enumerate(KINDS) if words.endswith(f" {held.words}")), None)
    if kind is not None:
        place = words.removesuffix(f" {KINDS[kind].words}")
    digits: tuple[int, ...] = ()
    if tail:
        kind, (text,) = next(k for k, held in enumerate(KINDS) if held.words == "read"), tail
        said = text.split() if " " in text or grid.size > 9 else list(text)
        if not all(word.isascii() and word.isdigit() and len(word) < 3 for word in said):
            return _problem(words, "does not name digits", "Write digits, such as r1c1-r1c4 read 1 9 6 8")
        digits = tuple(int(word) for word in said)
    if kind is None:
        what = f"says none of: {', '.join(held.words for held in KINDS)} 1 2 3"
        return _problem(words, what, "Write a place and one of these, such as region 5 in order")
    try:
        cells = place_cells(place, grid)
    except ValueError as error:
        return _problem(words, f"names no place: {error}", PLACES)
    wrong = _impossible(KINDS[kind], cells, digits, grid)
    return _problem(words, *wrong) if wrong else Pattern(words, kind, cells, digits)


PLACES = (
    "Name row 1, column 1, region 1, falling diagonal, rising diagonal, corners, centres, or cells such as "
    "r1c1-r1c4"
)
_READ = re.compile(r" reads? (?=[0-9])")
_HOUSE = re.compile(r"(row|column|region) ([1-9]\d?)")


def place_cells(place: str, grid: Grid) -> tuple[int, ...]:
    """
    Give the cells of a place, in the order in which it is read.

    Raises:
        ValueError: There is no such place on this grid.
    """
    n = grid.size
    if house := _HOUSE.fullmatch(place):
        for held in grid.houses:
            if held.name == place:
                return held.cells
        raise ValueError(f"there is no {house[1]} {house[2]}")
    if place == "falling diagonal":
        return tuple(k * n + k for k in range(n))
    if place == "rising diagonal":
        return tuple((n - 1 - k) * n + k for k in range(n))
    if place == "corners":
        return (0, n - 1, n * n - n, n * n - 1)
    if place == "centres":
        box = grid.box
        if box is None or not box[0] % 2 or not box[1] % 2:
            raise ValueError("these regions have no centres")
        rows, columns = range(box[0] // 2, n, box[0]), range(box[1] // 2, n, box[1])
        return tuple(row * n + column for row in rows for column in columns)
    cells = grid.path(place)
    if len(set(cells)) < len(cells):
        raise ValueError("a cell stands twice")
    if not cells:
        raise ValueError("no cells came")
    return cells


def _impossible(
    kind: Kind, cells: Sequence[int], digits: Sequence[int], grid: Grid
) -> tuple[str, str] | None:
    """Give why no grid can have a pattern, and how to mend it; None where nothing is plain to see."""
    n = grid.size
    if len(cells) < kind.fewest:
        return f"needs {kind.fewest} cells at least", "Name a longer place"
    if kind.words == "read" and (len(digits) != len(cells) or not all(1 <= digit <= n for digit in digits)):
        return (
            f"has {len(cells)} cells and {len(digits)} digits",
            f"Write one digit from 1 to {n} for each cell",
        )
    if kind.words in {"in order", "all different"} and len(cells) > n:
        return f"has {len(cells)} cells, and there are {n} digits", "Name a shorter place"
    if kind.words == "balanced" and len(cells) % 2 and n % 2 == 0:
        return f"has a middle cell, which would be {n + 1} halves", "Name an even number of cells"
    for a, b in kind.alike(cells):
        for house in grid.houses:
            if a in house.cells and b in house.cells:
                what = f"cannot be: {grid.name(a)} and {grid.name(b)} lie in {house.name}, so they differ"
                balanced = 'Wish it "balanced", where cells the same way from the middle'
                return what, f"{balanced} make {n + 1}, or name cells that can be the same"
    return None


def _problem(words: str, what: str, mend: str) -> Problem:
    shown = repr(words if len(words) <= Pattern.most_shown else words[: Pattern.most_shown] + "...")
    return Problem(f"the pattern {shown} {what}", mend, "wish, pattern")
