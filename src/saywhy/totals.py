"""What cells make, and why that is not what they should make."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import combinations, combinations_with_replacement
from math import prod

from saywhy.primitives import digits_of, mask
from saywhy.thoughts import Said, a_digit, counted, listed

#: Totals, digits and ways that are listed at most, and the digits of all these ways together.
TOTALS, DIGITS, WAYS, SHOWN = 3, 4, 2, 4
#: Most fillings that are looked through.
MANY = 1000

#: For each cell the places of the earlier cells that it differs from.
Apart = tuple[tuple[int, ...], ...]


def made(domains: Sequence[int], apart: Apart | None = None) -> frozenset[int] | None:
    """
    Give the totals of some cells.

    Args:
        domains: For each cell the mask of digits left.
        apart: Which cells differ; None where all do.

    Returns:
        The totals; None where there are too many fillings to look through.
    """
    if apart is None or all(len(earlier) == place for place, earlier in enumerate(apart)):
        return frozenset(map(_total, _held(tuple(sorted(domains, key=int.bit_count)))))
    if prod(held.bit_count() for held in domains) > MANY and any(apart):
        return None
    return _sums(tuple(domains), apart)


def making(domains: Sequence[int], amount: int) -> list[tuple[int, ...]]:
    """
    List the sets of digits that make an amount in cells that all differ, each ascending.

    Args:
        domains: For each cell the mask of digits left.
        amount: What they should make.
    """
    held = _held(tuple(sorted(domains, key=int.bit_count)))
    return sorted(tuple(digits_of(digits)) for digits in held if _total(digits) == amount)


@lru_cache(maxsize=1 << 13)
def _held(domains: tuple[int, ...]) -> frozenset[int]:
    """Give the sets of digits, as masks, that cells can hold which all differ."""
    if not domains:
        return frozenset({0})
    bits = [1 << (digit - 1) for digit in digits_of(domains[-1])]
    return frozenset(taken | bit for taken in _held(domains[:-1]) for bit in bits if not taken & bit)


@lru_cache(maxsize=1 << 12)
def _total(digits: int) -> int:
    return sum(digits_of(digits))


@lru_cache(maxsize=1 << 12)
def _sums(domains: tuple[int, ...], apart: Apart) -> frozenset[int]:
    """Give the totals of cells of which some differ."""
    if not any(apart):
        totals = {0}
        for held in domains:
            totals = {total + digit for total in totals for digit in digits_of(held)}
        return frozenset(totals)
    fillings: list[tuple[int, ...]] = [()]
    for place, held in enumerate(domains):
        fillings = [
            (*before, digit)
            for before in fillings
            for digit in digits_of(held)
            if all(before[i] != digit for i in apart[place])
        ]
    return frozenset(map(sum, fillings))


@lru_cache(maxsize=1 << 12)
def _ways(union: int, amount: int, apart: Apart) -> list[tuple[int, ...]]:
    """List the ways to make an amount with these digits, whatever their order."""
    count = len(apart)
    together = (
        count if not any(apart) else 1 if sum(map(len, apart)) == count * (count - 1) // 2 else count - 1
    )
    choose = combinations if together == 1 else combinations_with_replacement
    ways = [way for way in choose(digits_of(union), count) if sum(way) == amount]
    if together in (1, count):
        return ways
    return [way for way in ways if all(way.count(digit) <= together for digit in way)]


def reach(totals: Iterable[int], amount: int, *, always: bool = False) -> str:
    """
    Give what can be made: ``9 at most``, ``12 or 16``, ``9 at most or at least 12``.

    Args:
        totals: All that can be made.
        amount: What should be made, none of them.
        always: Whether the totals next to the amount are given however near they are.

    Returns:
        Words; else empty where the totals next to the amount say no more than that it is not made.
    """
    found = sorted(totals)
    if not found or (len(found) <= TOTALS and found[0] < amount < found[-1]):
        return listed(found, "or")
    if len(found) == 1:
        return str(found[0])
    below, above = [t for t in found if t < amount], [t for t in found if t > amount]
    if not above:
        return f"{below[-1]} at most"
    if not below:
        return f"at least {above[0]}"
    far = always or above[0] - below[-1] > 2
    return f"{below[-1]} at most or at least {above[0]}" if far else ""


def unmade(
    cells: Sequence[int], known: Mapping[int, int], amount: int, size: int, apart: Apart | None = None
) -> Said | None:
    """
    Say what cells make instead of an amount: a clause without its subject.

    Args:
        cells: Two or more cells.
        known: For each cell the mask of digits that it may hold.
        amount: What they should make.
        size: The largest digit.
        apart: Which cells differ; None where all do.

    Returns:
        ``make 12 or 16``, ``have just 3, 5 and 8 for 10``, ``would have to be 2 and 8, and this cell is
        neither``; None where there are no such words.
    """
    apart = tuple(tuple(range(place)) for place in range(len(cells))) if apart is None else apart
    totals = made([known[cell] for cell in cells], apart)
    if not totals or amount in totals:
        return None
    if len(totals) <= TOTALS or not min(totals) < amount < max(totals):
        return (f"make {reach(totals, amount)}",)
    if all((total - amount) % 2 for total in totals):
        return (f"make an {'even' if amount % 2 else 'odd'} number",)
    return next(_reasons(cells, known, amount, size, apart), None) or _made_instead(totals, amount)


def _made_instead(totals: frozenset[int], amount: int) -> Said | None:
    found = reach(totals, amount)
    return (f"make {found}",) if found else None


def _reasons(
    cells: Sequence[int], known: Mapping[int, int], amount: int, size: int, apart: Apart
) -> Iterator[Said]:
    """Say what they would need, or which of their digits might do and don't."""
    if len(cells) == 2:
        yield from _needed(cells, known, amount, size)
    union = 0
    for cell in cells:
        union |= known[cell]
    ways = _ways(union, amount, apart)
    if not ways:
        few = union.bit_count() <= DIGITS
        yield (
            f"have just {listed(digits_of(union))} for {amount}"
            if few
            else f"have no {counted(len(cells))} digits that make {amount}",
        )
    if len(ways) > WAYS or sum(map(len, ways)) > SHOWN:
        # A way that leaves one of the cells without a digit is plainly none.
        masks = [known[cell] for cell in cells]
        ways = [way for way in ways if all(map(mask(way).__and__, masks))]
    if 1 <= len(ways) <= WAYS and sum(map(len, ways)) <= SHOWN:
        shown = listed([listed(way) for way in ways], "or")
        yield (f"would have to be {shown}", *_unfitting(cells, known, ways))
    yield from _splits(cells, known, amount, apart)


def _needed(cells: Sequence[int], known: Mapping[int, int], amount: int, size: int) -> Iterator[Said]:
    """Say which very few digits one of two cells would need beside what is left of the other."""
    for cell, other in sorted((cells, cells[::-1]), key=lambda two: known[two[1]].bit_count()):
        wanted = [amount - digit for digit in digits_of(known[other])[::-1] if 0 < amount - digit <= size]
        if 1 <= len(wanted) <= WAYS and not any(known[cell] >> (digit - 1) & 1 for digit in wanted):
            yield (f"would need {listed(map(a_digit, wanted), 'or')} in ", (cell,), f" to make {amount}")


def _unfitting(cells: Sequence[int], known: Mapping[int, int], ways: Sequence[tuple[int, ...]]) -> Said:
    """Say why none of these ways fits the cells."""
    wanted = mask(digit for way in ways for digit in way)
    for cell in cells:
        if not known[cell] & wanted:
            few = f"no {ways[0][0]}" if wanted.bit_count() == 1 else "neither"
            which = few if wanted.bit_count() <= 2 else "none of these"
            return (", and ", (cell,), f" is {which}")
    if len(ways) > 1:
        return (", and neither fits",)
    for two in combinations(cells, 2):
        left = (known[two[0]] | known[two[1]]) & wanted
        if left.bit_count() == 1 and ways[0].count(left.bit_length()) == 1:
            return (", and ", two, f" would both be {left.bit_length()}")
    return (", which doesn't fit",)


def _splits(cells: Sequence[int], known: Mapping[int, int], amount: int, apart: Apart) -> Iterator[Said]:
    """Say that one digit of a cell leaves too little and its other one too much."""
    for cell in cells:
        if known[cell].bit_count() != 2:
            continue
        ends = []
        for digit in digits_of(known[cell]):
            one = [1 << (digit - 1) if other == cell else known[other] for other in cells]
            totals = made(one, apart) or ()
            ends.append((digit, min(totals, default=0), max(totals, default=0)))
        low = [(digit, most) for digit, _, most in ends if 0 < most < amount]
        high = [(digit, least) for digit, least, _ in ends if least > amount]
        if len(low) == len(high) == 1:
            (small, most), (large, least) = low[0], high[0]
            with_small = f"make {most} at most with {a_digit(small)} in "
            yield (with_small, (cell,), f" and at least {least} with {a_digit(large)}")
