"""Which fewest clues and givens have to be altered for a puzzle without a solution to have one?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from saywhy.setting.bench import Bench
from saywhy.setting.repair_search import Search
from saywhy.setting.watch import StoppedError

#: At most so many smallest sets are listed; sets larger than the other are not looked for.
MOST_SETS, LARGEST = 60, 5


def corrections(bench: Bench, search: Search) -> tuple[list[int], bool]:
    """
    Find the smallest sets of members without which the puzzle has a solution.

    Why this way: such a set has a member of every clash, and each smallest hitting set of the clashes known
    so far either is one or shows a further clash (Reiter, "A theory of diagnosis from first
    principles", Artificial Intelligence 32, 1987).

    Returns:
        Masks of members, all of one size; and whether these are all of that size. None at all where the
        houses and grid-wide rules alone have no solution, or where it takes too many members.
    """
    if not search.relaxed(bench.everyone):
        return [], True
    clashes = [bench.clash()]
    for size in range(1, LARGEST + 1):
        found: dict[int, None] = {}
        try:
            while (hit := _untried(clashes, size, found)) is not None:
                if search.relaxed(hit):
                    found[hit] = None
                else:
                    clashes.append(bench.clash(without=hit))
                if len(found) >= MOST_SETS:
                    return list(found), False
        except StoppedError:
            return list(found), False
        if found:
            return list(found), True
    return [], False


def _untried(clashes: Sequence[int], size: int, found: dict[int, None]) -> int | None:
    return next((hit for hit in _hits(clashes, size, 0, 0) if hit not in found), None)


def _hits(clashes: Sequence[int], size: int, chosen: int, barred: int) -> Iterator[int]:
    """Give the sets of at most so many members that meet every clash, none of them twice."""
    missed = next((clash for clash in clashes if not clash & chosen), None)
    if missed is None:
        yield chosen
        return
    if not size:
        return
    left = missed & ~barred
    while left:
        member = left & -left
        left ^= member
        yield from _hits(clashes, size - 1, chosen | member, barred)
        barred |= member
