"""Why the digits that are not in one part of a row or column have no place in the rest of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import combinations

from saywhy.primitives import digits_of
from saywhy.thoughts import Said, listed

#: Digits of all fillings that are listed at most, and cells that are looked at together.
SHOWN, TOGETHER = 4, 3

#: The digits of a part, and the cells outside it.
Filling = tuple[tuple[int, ...], Sequence[int]]


def no_place(
    fillings: Sequence[Filling],
    known: Mapping[int, int],
    digits: Sequence[int],
    filled: Callable[[Sequence[tuple[int, ...]]], str],
    where: str = "outside",
) -> Said | None:
    """
    Say what cannot be outside a part, whichever of a few sets of digits it holds.

    Args:
        fillings: All that the part can be, one or more.
        known: For each cell the mask of digits known to be left.
        digits: All digits that are either in the part or outside.
        filled: Gives the words for some sets of digits in the part; for none of them, "whatever ...".
        where: What the rest is called.

    Returns:
        ``..., and the 5 has no cell outside``; None where no such reason holds for all.
    """
    ways = sorted({way for way, _ in fillings})
    blames = [
        list(_blames([d for d in digits if d not in way], rest, known, where)) for way, rest in fillings
    ]
    few = len(ways) == 1 or sum(map(len, ways)) <= SHOWN
    for blame in blames[0]:
        if all(blame in others for others in blames):
            return (f"{filled(ways)}, and " if few else f"{filled([])}, ", *blame)
    if few and len(fillings) == len(ways) == 2 and all(blames):
        (way, _), (other, _) = fillings
        ends = blames[0][0], blames[1][0]
        return (f"{filled([way])}, and ", *ends[0], f", or {listed(other)}, and ", *ends[1])
    return None


def common(blames: Sequence[list[Said]]) -> Said:
    """Give the first of the things wrong that is wrong in every case; empty if there is none."""
    return next((blame for blame in blames[0] if all(blame in others for others in blames)), ())


def blames_of(
    digits: Sequence[int], cells: Sequence[int], known: Mapping[int, int], where: str
) -> list[Said]:
    """
    Give what is wrong where these cells hold these digits: one without a cell, or cells with too few.

    Args:
        digits: As many as the cells are.
        cells: The cells.
        known: For each cell the mask of digits known to be left.
        where: What the cells are called: ``outside``, ``on the line``.
    """
    return list(_blames(digits, cells, known, where))


def _blames(
    digits: Sequence[int], cells: Sequence[int], known: Mapping[int, int], where: str
) -> Iterator[Said]:
    mask = sum(1 << (digit - 1) for digit in digits)
    for digit in digits:
        if not any(known[cell] >> (digit - 1) & 1 for cell in cells):
            yield (f"the {digit} has no cell {where}",)
    for count in range(1, TOGETHER + 1):
        for some in combinations(cells, count):
            left = 0
            for cell in some:
                left |= known[cell] & mask
            if left.bit_count() < count:
                only = f"only {listed(digits_of(left))}" if left else "nothing"
                yield (f"{only} {'are' if left.bit_count() > 1 else 'is'} left for ", some)
    for pair in combinations(digits, 2):
        places = [cell for cell in cells if any(known[cell] >> (digit - 1) & 1 for digit in pair)]
        if len(places) == 1:
            yield (f"the {listed(pair)} have one cell {where}",)
