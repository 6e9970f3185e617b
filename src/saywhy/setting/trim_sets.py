"""What may go: the sets of clues and givens that suffice, by what every other filling has to be broken by."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from saywhy.engine.hitting import hitting_set
from saywhy.setting.bench import Bench
from saywhy.setting.watch import StoppedError


class Sets:
    """
    The sets of elements that suffice for one solution; an element is a mask of members that stay together.

    A set of elements is a bit mask over ``elements``. Every filling but the solution has to be broken by
    something that stays, so the sets that suffice are the hitting sets of what breaks the others; those
    seen so far are kept.

    Attributes:
        bench: The puzzle.
        solution: Its solution.
        always: Mask of the members that stay whatever happens.
        elements: Masks of members.
    """

    def __init__(
        self, bench: Bench, solution: tuple[int, ...], always: int, elements: Sequence[int], seed: int = 0
    ) -> None:
        self.bench = bench
        self.solution = solution
        self.always = always
        self.elements = list(elements)
        self.others: list[int] = []
        self._random = random.Random(seed)

    def members(self, chosen: int) -> int:
        """Give the members of a set of elements, with those that always stay."""
        held = self.always
        for place, element in enumerate(self.elements):
            if chosen >> place & 1:
                held |= element
        return held

    def other(self, chosen: int) -> int | None:
        """
        Give the elements that break another solution that these leave; None where they suffice.

        Returns:
            A mask; 0 where nothing breaks it, so that not even all elements suffice.
        """
        for filling in self.bench.keep(self.members(chosen)).fillings:
            if filling != self.solution:
                held = self.bench.witness(filling)
                broken = 0 if held is None else held.broken
                return sum(1 << k for k, element in enumerate(self.elements) if element & broken)
        return None

    def fewest(self) -> tuple[int, int]:
        """
        Find a smallest set that suffices.

        Returns:
            The set, where time ran out the smallest so far, none of it to spare; and how many elements at
            least every set has.

        Raises:
            ValueError: Not even all elements suffice.
        """
        everything = (1 << len(self.elements)) - 1
        if self.other(everything) is not None:
            raise ValueError("not even all of it suffices")
        best, least = everything, 0
        try:
            best = self._without_spare(everything)
            while True:
                hit, done = hitting_set(
                    self.others, least, best.bit_count() - 1, lambda: not self.bench.watch.over
                )
                if not done:
                    break
                if hit is None:
                    return best, best.bit_count()
                least = hit.bit_count()
                chosen = self._settle(hit)
                if chosen == hit:
                    return hit, least
                if chosen.bit_count() <= best.bit_count():
                    fewer = self._without_spare(chosen)
                    best = fewer if fewer.bit_count() < best.bit_count() else best
        except StoppedError:
            pass
        return best, least

    def minimal(self, most: int) -> tuple[list[int], bool]:
        """
        List the sets that suffice and have nothing to spare.

        Why this is all of them: a minimal hitting set of what is known so far either suffices, and then has
        nothing to spare, or leaves another filling, which then is known; grown until it suffices and
        trimmed again, it gives a set as well (the idea of MARCO: Liffiton, Previti, Malik and Marques-Silva,
        Constraints 21, 2016).

        Args:
            most: List at most so many.

        Returns:
            The sets, and whether they are all.
        """
        found: dict[int, None] = {}
        try:
            fresh = True
            while fresh:
                fresh = False
                for chosen in minimal_hitting_sets(tuple(self.others)):
                    if chosen in found:
                        continue
                    enough = self._settle(chosen)
                    fresh = enough != chosen
                    found[self._without_spare(enough) if fresh else chosen] = None
                    if len(found) >= most:
                        return list(found), False
                    if fresh:
                        break
        except StoppedError:
            return list(found), False
        return list(found), True

    def _settle(self, chosen: int) -> int:
        while (broken_by := self.other(chosen)) is not None:
            self.others.append(broken_by)
            places = [k for k in range(len(self.elements)) if broken_by >> k & 1]
            chosen |= 1 << self._random.choice(places)
        return chosen

    def _without_spare(self, chosen: int) -> int:
        places = [k for k in range(len(self.elements)) if chosen >> k & 1]
        self._random.shuffle(places)
        for place in places:
            fewer = chosen & ~(1 << place)
            if not all(held & fewer for held in self.others):
                continue
            if (broken_by := self.other(fewer)) is None:
                chosen = fewer
            else:
                self.others.append(broken_by)
        return chosen


def minimal_hitting_sets(family: Sequence[int], chosen: int = 0, barred: int = 0) -> Iterator[int]:
    """
    Give the minimal hitting sets of a family, each once.

    Why this way: depth first over the first set not yet met, keeping only choices of which each member
    alone meets some set (the idea of MMCS in Murakami and Uno, Discrete Applied Mathematics 170, 2014).

    Args:
        family: Bit masks, none empty.
        chosen: Elements that are in.
        barred: Elements that are out.
    """
    missed = next((held for held in family if not held & chosen), None)
    if missed is None:
        yield chosen
        return
    left = missed & ~barred
    while left:
        element = left & -left
        left ^= element
        more = chosen | element
        if _each_alone(family, more):
            yield from minimal_hitting_sets(family, more, barred)
        barred |= element


def _each_alone(family: Sequence[int], chosen: int) -> bool:
    alone = 0
    for held in family:
        met = held & chosen
        if met and not met & (met - 1):
            alone |= met
    return alone == chosen
