"""Full grids: the number of classes that the keys tell apart is the published one."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from math import factorial

from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.sameness.encoding import encode
from saywhy.sameness.keys import same_key
from saywhy.sameness.relations import relations


def full_grids(size: int, height: int, width: int, *, reduced: bool) -> Iterator[tuple[int, ...]]:
    """
    Give full grids by plain back-tracking, which shares nothing with the package.

    Args:
        size: 4 or 6.
        height: Rows of a box.
        width: Columns of a box.
        reduced: Only those with the digits in order in the first row, and the first column ascending within
            each further band and from band to band: every other grid is an exchange and relabelling of one.
    """
    cells = [0] * (size * size)

    def fill(cell: int) -> Iterator[tuple[int, ...]]:
        if cell == size * size:
            yield tuple(cells)
            return
        row, column = divmod(cell, size)
        box = {r * size + c for r in range(row - row % height, row + 1) for c in range(size)
               if c // width == column // width and r * size + c < cell}  # fmt: skip
        used = {cells[other] for other in box}
        used |= {cells[row * size + c] for c in range(column)} | {
            cells[r * size + column] for r in range(row)
        }
        for digit in range(1, size + 1):
            if digit in used or (reduced and not fits(row, column, digit)):
                continue
            cells[cell] = digit
            yield from fill(cell + 1)
        cells[cell] = 0

    def fits(row: int, column: int, digit: int) -> bool:
        if row == 0:
            return digit == column + 1
        if column or row < height:
            return True
        above = cells[(row - 1) * size] if row % height else 0
        before = cells[(row - height) * size] if row >= 2 * height and row % height == 0 else 0
        return digit > max(above, before)

    return fill(0)


def group_of(size: int, height: int, width: int) -> int:
    """Give the number of exchanges of rows, columns, bands and stacks, and turns where boxes are square."""
    bands, stacks = size // height, size // width
    exchanges = factorial(bands) * factorial(height) ** bands * factorial(stacks) * factorial(width) ** stacks
    turns = 2 if height == width else 1
    return int(exchanges * turns * factorial(size))


def classes(grids: Iterable[tuple[int, ...]], size: int, height: int, width: int) -> dict[str, int]:
    """
    Give for each key met how many grids share it, by the orbit's size: the group over the symmetries.

    Once the orbits of different keys hold all grids there can be no further class; as many grids again
    are looked at, so that a key too many would show.
    """
    found: dict[str, int] = {}
    left = None
    for number, digits in enumerate(grids):
        puzzle = Puzzle(Grid.standard(size), digits)
        key = same_key(puzzle)
        if key not in found:
            orbit, rest = divmod(group_of(size, height, width), encode(relations(puzzle)).symmetries())
            assert rest == 0
            found[key] = orbit
        if left is None and sum(found.values()) >= 28_200_960:
            left = 2 * number
        if left is not None and number > left:
            break
    return found


def test_the_288_grids_of_4_by_4_are_two() -> None:
    """Sources: 288 grids, OEIS A107739; 2 essentially different ones, OEIS A109741."""
    grids = list(full_grids(4, 2, 2, reduced=False))
    assert len(grids) == 288
    found = classes(grids, 4, 2, 2)
    assert len(found) == 2
    assert sum(found.values()) == 288


def test_the_28200960_grids_of_6_by_6_are_49() -> None:
    """
    The reduced grids meet every class, and the sizes of the classes sum to all grids.

    Sources: 49 essentially different grids with boxes of 2 by 3, OEIS A291188; 28,200,960 grids computed
    by independent enumeration, and so on the enumeration pages of Pettersen and Jarvis (from memory).
    """
    grids = list(full_grids(6, 2, 3, reduced=True))
    random.Random(6).shuffle(grids)
    found = classes(grids, 6, 2, 3)
    assert len(found) == 49
    assert sum(found.values()) == 28_200_960


def test_the_exchanges_of_empty_grids_are_as_many_as_published() -> None:
    """Source: OEIS A346008, 2 (n!)^(2n+2): 128 for boxes of 2 by 2 and 3,359,232 for 3 by 3, digits apart."""
    for size, exchanges in ((4, 128), (9, 3_359_232)):
        graph = encode(relations(Puzzle(Grid.standard(size), (0,) * size**2)))
        assert graph.symmetries() == exchanges * factorial(size)
