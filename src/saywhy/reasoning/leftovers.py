"""
Equal sets: rows or columns and as many regions hold the same digits, and so do the cells they do not share.

The trade knows it as the law of leftovers. Each digit stands once in each house; k lines and k regions hold
every digit k times, and without the cells that they share the same digits are left on both sides. It tells
something that locked digits do not only where regions are no boxes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache, partial

from saywhy.grid import Grid
from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import EVERY, Find, Step

#: More cells on a side than these and no listener compares them.
MOST = 5


@dataclass(frozen=True)
class Leftover:
    """
    Two sets of cells that hold the same digits, each as often.

    Attributes:
        houses: The houses compared, as places in ``frame.houses``: lines of one kind, then as many regions.
        lines: How many of them are lines.
        sides: The cells of the lines alone, and those of the regions alone.
    """

    houses: tuple[int, ...]
    lines: int
    sides: tuple[tuple[int, ...], tuple[int, ...]]


@lru_cache(maxsize=16)
def leftovers(grid: Grid) -> tuple[Leftover, ...]:
    """
    Give the equal sets of a grid, the smallest first: runs of lines with the regions that lie in them most.

    Of a run and the lines beside it, which leave the same cells over, the shorter is given.
    """
    houses = list(enumerate(grid.houses))
    regions = [(place, set(house.cells)) for place, house in houses if house.kind == "region"]
    found: dict[frozenset[tuple[int, ...]], Leftover] = {}
    if grid.box is not None or not regions:
        return ()
    for kind in ("row", "column"):
        lines = [(place, set(house.cells)) for place, house in houses if house.kind == kind]
        for first in range(len(lines)):
            for last in range(first + 1, min(first + len(lines) // 2, len(lines)) + 1):
                run = lines[first:last]
                inside = set[int]().union(*(cells for _, cells in run))
                nearest = sorted(regions, key=lambda region: (-len(region[1] & inside), region[0]))[
                    : len(run)
                ]
                covered = set[int]().union(*(cells for _, cells in nearest))
                sides = tuple(sorted(inside - covered)), tuple(sorted(covered - inside))
                if 1 <= len(sides[0]) <= MOST:
                    places = (*(place for place, _ in run), *sorted(place for place, _ in nearest))
                    here = Leftover(places, len(run), sides)
                    known = found.get(frozenset(sides))
                    if known is None or len(known.houses) > len(places):
                        found[frozenset(sides)] = here
    return tuple(sorted(found.values(), key=lambda one: (len(one.sides[0]), len(one.houses), one.houses)))


def equal_sets(position: Position, about: int = EVERY) -> Iterator[Find]:
    """Yield what equal sets show: what one side lacks goes from the other, what it has stands there."""
    frame = position.frame
    for one in leftovers(frame.grid):
        for here, there in (one.sides, one.sides[::-1]):
            if not any(frame.domain(about, cell) for cell in here):
                continue
            union = 0
            for cell in there:
                union |= position.domain(cell)
            gone = {cell: position.domain(cell) & ~union for cell in here if not position.placed[cell]}
            gone = {cell: mask for cell, mask in gone.items() if mask}
            missing = 0
            for mask in gone.values():
                missing |= mask
            while missing:
                bit = missing & -missing
                missing ^= bit
                cells = {cell: bit for cell, mask in gone.items() if mask & bit}
                yield Find({}, cells, partial(_step, position, one, there, cells, {}))
            for digit in {position.placed[cell] for cell in there} - {0}:
                bit = 1 << (digit - 1)
                able = [cell for cell in here if position.domain(cell) & bit]
                fresh = [cell for cell in able if not position.placed[cell]]
                times = sum(position.placed[cell] == digit for cell in there)
                if fresh and len(able) == times:
                    places = dict.fromkeys(fresh, digit)
                    yield Find(places, {}, partial(_step, position, one, there, {}, places))


def _step(
    position: Position,
    one: Leftover,
    there: tuple[int, ...],
    removes: dict[int, int],
    places: dict[int, int],
    _wanted: Mapping[int, int],
) -> Step:
    """Give the step: the other side lacks a digit, or has it and one side has room for it here alone."""
    frame = position.frame
    evidence = Evidence(position, [frame.houses[place][1] for place in one.houses])
    bit = 0
    for mask in removes.values():
        bit |= mask
        for cell in there:
            evidence.need(cell, mask)
    for digit in places.values():
        bit |= 1 << (digit - 1)
        here = one.sides[0] if there == one.sides[1] else one.sides[1]
        for cell in there:
            if position.placed[cell] == digit:
                evidence.rely(cell)
        for cell in here:
            if position.placed[cell] == digit:
                evidence.rely(cell)
            elif cell not in places:
                evidence.need(cell, bit)
    return Step("equal sets", evidence.reason(), places, removes, digits=bit)
