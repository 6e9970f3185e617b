"""Slow twins of what the reasoning asks of the native core: plain enumeration, nothing shared with it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from saywhy.primitives import AllDifferent, Pair, Primitive
from tests.second_opinion.plain import obeys


def cells_of(primitive: Primitive) -> tuple[int, ...]:
    """Give the cells that a primitive speaks of."""
    return (primitive.a, primitive.b) if isinstance(primitive, Pair) else primitive.cells


def bits_of(mask: int) -> list[int]:
    """List the digits of a mask."""
    return [place + 1 for place in range(mask.bit_length()) if mask >> place & 1]


def joint(primitives: Sequence[Primitive], domains: Sequence[int]) -> Iterator[list[int]]:
    """Give every joint filling of the cells that these primitives speak of; 0 elsewhere."""
    cells = sorted({cell for primitive in primitives for cell in cells_of(primitive)})
    rank = {cell: place for place, cell in enumerate(cells)}
    due: list[list[Primitive]] = [[] for _ in cells]
    differ: list[set[int]] = [set() for _ in cells]
    for primitive in primitives:
        held = sorted(rank[cell] for cell in cells_of(primitive))
        if isinstance(primitive, AllDifferent):
            for place, later in enumerate(held):
                differ[later].update(held[:place])
        else:
            due[held[-1]].append(primitive)
    digits = [0] * len(domains)

    def fill(place: int) -> Iterator[list[int]]:
        if place == len(cells):
            yield digits
            return
        taken = {digits[cells[other]] for other in differ[place]}
        for digit in bits_of(domains[cells[place]]):
            digits[cells[place]] = digit
            if digit not in taken and all(obeys(primitive, digits) for primitive in due[place]):
                yield from fill(place + 1)
        digits[cells[place]] = 0

    yield from fill(0)


def supported(primitives: Sequence[Primitive], domains: Sequence[int]) -> list[int]:
    """Give the digits that occur in some joint filling, on the primitives' cells; the rest is left alone."""
    touched = {cell for primitive in primitives for cell in cells_of(primitive)}
    found = [0 if cell in touched else mask for cell, mask in enumerate(domains)]
    for filling in joint(primitives, domains):
        for cell in touched:
            found[cell] |= 1 << (filling[cell] - 1)
    return found


def possible(primitives: Sequence[Primitive], domains: Sequence[int]) -> bool:
    """Say whether there is a joint filling at all."""
    return next(joint(primitives, domains), None) is not None
