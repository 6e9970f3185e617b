"""Smallest hitting sets: the fewest elements that meet every set of a family."""

from __future__ import annotations

from collections.abc import Callable, Sequence


def hitting_set(
    sets: Sequence[int], at_least: int, at_most: int, go_on: Callable[[], bool]
) -> tuple[int | None, bool]:
    """
    Find a smallest hitting set.

    Why this way: the sets come from one search for a smallest conflict, are a few hundred at most and large,
    so depth first with growing size, a bound by disjoint sets, and elements ruled out once tried is enough.

    Args:
        sets: Bit masks, none empty.
        at_least: A known lower bound of the size.
        at_most: Give up on larger ones.
        go_on: Asked now and then; False ends the search.

    Returns:
        The hitting set as a mask, None if there is none of at most ``at_most`` elements; and whether
        the search came to its end (else the first value means nothing).
    """
    family = [s for s in sets if not any(other != s and other & s == other for other in sets)]
    family = sorted(set(family), key=int.bit_count)
    for size in range(max(at_least, _disjoint(family)), at_most + 1):
        search = _Search(go_on)
        found = search.within(family, size)
        if search.stopped:
            return None, False
        if found is not None:
            return found, True
    return None, True


def _disjoint(family: Sequence[int]) -> int:
    """Count sets that share nothing, taken greedily: each needs an element of its own."""
    met = count = 0
    for held in family:
        if not held & met:
            met |= held
            count += 1
    return count


class _Search:
    def __init__(self, go_on: Callable[[], bool]) -> None:
        self.go_on = go_on
        self.visited = 0
        self.stopped = False

    def within(self, family: Sequence[int], size: int) -> int | None:
        """Hit a family, smallest sets first, with at most so many elements; None if that cannot be."""
        if not family:
            return 0
        self.visited += 1
        if self.visited % 256 == 0 and not self.go_on():
            self.stopped = True
        if self.stopped or _disjoint(family) > size:
            return None
        if size == 1:
            common = family[0]
            for held in family:
                common &= held
            return common & -common or None
        left, barred = family[0], 0
        while left:
            element = self._busiest(left, family)
            left ^= element
            rest = [held & ~barred for held in family if not held & element]
            if all(rest):
                found = self.within(sorted(rest, key=int.bit_count), size - 1)
                if found is not None:
                    return found | element
            barred |= element
        return None

    @staticmethod
    def _busiest(elements: int, family: Sequence[int]) -> int:
        best, most = 0, -1
        while elements:
            element = elements & -elements
            elements ^= element
            met = sum(1 for held in family if held & element)
            if met > most:
                best, most = element, met
        return best
