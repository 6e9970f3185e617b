"""
Sandwich.

Meaning:
    The digits strictly between the 1 and the greatest digit of the row or column sum to the value.
Drawn as:
    The value outside the grid in a box.
Example:
    12 on a 9x9 grid: 1, 4, 8, 9 or 9, 7, 3, 2, 1. With 0 the 1 and the 9 are neighbours.
Often confused with:
    An X-sum, which begins at the side; a skyscraper, which counts digits.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import ClassVar

from saywhy.outside import Filling, no_place
from saywhy.primitives import Automaton, Primitive, Regular, automaton
from saywhy.ranges import shown
from saywhy.rule import OutsideRule, Part, Phrases, RuleError, outside_plate
from saywhy.shapes import Shape
from saywhy.thoughts import Said, Thought, counted, listed, lone, spread
from saywhy.totals import made, making, reach, unmade

#: Sets of digits outside that are listed at most.
WAYS = 3


@lru_cache(maxsize=256)
def crust_to_crust(total: int, size: int) -> Automaton:
    """
    Give the automaton that reads a row whose digits between 1 and the greatest make the total.

    Its states: before the first crust, the sum so far between the two, after the second. That digits
    differ is the row's law and not the clue's, so the automaton uses none of it: a reason that rests on
    the clue alone must not rest on the row in secret.
    """
    before, after = -1, -2

    def step(state: int, digit: int) -> int | None:
        crust = digit in (1, size)
        if state == before:
            return 0 if crust else before
        if state == after:
            return None if crust else after
        if crust:
            return after if state == total else None
        return state + digit if state + digit <= total else None

    return automaton(size, size, before, step, lambda state: state == after)


def _span(numbers: list[int]) -> str:
    """Give ``two``, ``two or three``, ``two to five``."""
    if len(numbers) < 3:
        return listed([counted(number) for number in numbers], "or")
    return f"{counted(numbers[0])} to {counted(numbers[-1])}"


@dataclass(frozen=True)
class Sandwich(OutsideRule):
    """
    A row or column in which the digits between the 1 and the greatest have a printed sum.

    Attributes:
        value: The sum.
    """

    name: ClassVar[str] = "sandwich"
    title: ClassVar[str] = "Sandwich"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "sandwich"
cells = "r1c2-r6c2"
value = 7

[[clue]]
rule = "sandwich"
cells = "r3c1-r3c6"
value = 0
"""
    needs: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 0

    def __post_init__(self) -> None:
        n = self.grid.size
        whole = sum(range(2, n))
        if self.value in (0, whole) or 2 <= self.value <= whole - 2:
            return
        what = f"digits between 1 and {n} make 0, 2 to {whole - 2} or {whole}, and {shown(self.value)} came"
        raise RuleError("value", what, "Write one of these numbers")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digits between the two crusts sum to the value."""
        held = self.held(digits)
        if held is None:
            return None
        crusts = [place for place, digit in enumerate(held) if digit in (1, self.grid.size)]
        return len(crusts) == 2 and sum(held[crusts[0] + 1 : crusts[1]]) == self.value

    def compile(self) -> list[Primitive]:
        """An automaton that counts from crust to crust."""
        return [Regular(self.cells, crust_to_crust(self.value, self.grid.size))]

    def draw(self) -> list[Shape]:
        """The value outside in a box."""
        return [outside_plate(self.grid, self.cells, str(self.value), "boxed")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        n = self.grid.size
        return Phrases(
            noun=f"{self.value} sandwich",
            parts=(Part(f"cell of the {self.lane}", self.lane, self.cells),),
            law=f"the digits between the 1 and the {n} make {self.value}",
            spoken=f"A boxed number outside is the total between the 1 and the {n} of that row or column.",
            written=(
                f"A boxed number outside the grid is the sum of the digits strictly between the 1 and the "
                f"{n} in that row or column."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """How many digits the sum takes, so how far 1 and the greatest stand apart; and what is between."""
        del gone
        n, cells = self.grid.size, self.cells
        inner = range(2, n)
        sizes = [g for g in range(n - 1) if sum(inner[:g]) <= self.value <= sum(inner[len(inner) - g :])]
        top = 1 << (n - 1)
        pairs = self._crusts(known, sizes)
        ones, tops = {p for p, _ in pairs}, {q for _, q in pairs}
        left = {
            cell: known[cell] & ~(0 if p in ones else 1) & ~(0 if p in tops else top)
            for p, cell in enumerate(cells)
        }
        for places, bit in ((ones, 1), (tops, top)):
            if len(places) == 1:
                left[cells[next(iter(places))]] = bit
        if self.value == 0:
            found = [Thought(((f"nothing stands between the 1 and the {n}, so they are neighbours",),), left)]
        else:
            takes, apart = _span(sizes), _span([size + 1 for size in sizes])
            noun = "digit" if sizes == [1] else "digits"
            text = f"{self.value} takes {takes} {noun}, so the 1 and the {n} are {apart} cells apart"
            turned = f"the 1 and the {n} are {apart} cells apart, since {self.value} takes {takes} {noun}"
            found = [Thought(((text,),), left), Thought(((turned,),), left)]
        found += self._few(sizes, pairs, known)
        crusts = sorted(p for p, cell in enumerate(cells) if known[cell] in (1, top))
        if len(crusts) == 2:
            found += self._filling(cells[crusts[0] + 1 : crusts[1]], known)
        return found

    def _few(self, sizes: list[int], pairs: list[tuple[int, int]], known: Mapping[int, int]) -> list[Thought]:
        """The digits between, or those left outside, where there are very few ways."""
        n, cells = self.grid.size, self.cells
        every = range(2, n)
        sets = [way for g in sizes for way in combinations(every, g) if sum(way) == self.value]
        if not 1 <= len(sets) <= 3:
            return []
        left = dict.fromkeys(cells, 0)
        whole = (1 << n) - 1
        for p, q in pairs:
            between, outside = (
                cells[min(p, q) + 1 : max(p, q)],
                [*cells[: min(p, q)], *cells[max(p, q) + 1 :]],
            )
            for way in sets:
                mask = sum(1 << (digit - 1) for digit in way)
                inner = spread(between, known, mask) if len(between) == len(way) else None
                outer = (
                    spread(outside, known, whole & ~mask & ~1 & ~(1 << (n - 1)))
                    if inner is not None
                    else None
                )
                if inner is None or outer is None:
                    continue
                left[cells[p]] |= 1
                left[cells[q]] |= 1 << (n - 1)
                for cell, digits in {**inner, **outer}.items():
                    left[cell] |= digits
        if not all(left.values()):
            return []
        if 2 * self.value <= sum(every):
            ways = listed([listed(way) or "nothing" for way in sets], "or")
            text = (
                f"{self.value} between the 1 and the {n} is {ways}"
                if self.value
                else f"the 1 and the {n} touch"
            )
            text = f"{text} alone" if len(sets) == 1 and len(sets[0]) == 1 else text
            return [Thought(((text,),), left)]
        if self.value == sum(every):
            text = f"{self.value} is all from 2 to {n - 1}, so the 1 and the {n} stand at the ends"
            return [Thought(((text,),), left)]
        ways = listed([listed([d for d in every if d not in way]) or "nothing" for way in sets], "or")
        return [Thought(((f"{self.value} leaves just {ways} outside the 1 and the {n}",),), left)]

    def _filling(self, between: tuple[int, ...], known: Mapping[int, int]) -> list[Thought]:
        """The few sets of digits that the cells between can take."""
        held = lone(known, between)
        rest = [cell for cell in between if known[cell] & (known[cell] - 1)]
        amount = self.value - sum(held)
        left = dict.fromkeys(rest, 0)
        kept = []
        for way in combinations([d for d in range(2, self.grid.size) if d not in held], len(rest)):
            filling = spread(rest, known, sum(1 << (d - 1) for d in way)) if sum(way) == amount else None
            if filling is not None:
                kept.append(listed(way))
                for cell, mask in filling.items():
                    left[cell] |= mask
        if not rest or not 1 <= len(kept) <= 2:
            return []
        count = "the one cell" if len(rest) == 1 else f"the {counted(len(rest))} cells"
        less = f"{listed(held)} leave" if len(held) > 1 else f"the {held[0]} leaves" if held else ""
        start = (
            f"{less} {amount} of the {self.value} for {count} between"
            if held
            else (f"{count} between the 1 and the {self.grid.size} make {amount}")
        )
        return [Thought(((f"{start}: {listed(kept, 'or')}",),), left)]

    def _crusts(self, known: Mapping[int, int], sizes: Sequence[int]) -> list[tuple[int, int]]:
        """Give the places that the 1 and the greatest may take, so many digits between them."""
        n, cells = self.grid.size, self.cells
        top = 1 << (n - 1)
        crust = {p for p, cell in enumerate(cells) if not known[cell] & ~(1 | top)}
        return [
            (p, q)
            for p in range(n)
            for q in range(n)
            if known[cells[p]] & 1
            and known[cells[q]] & top
            and p != q
            and abs(p - q) - 1 in sizes
            and crust <= {p, q}
        ]

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """No distance from 1 to the greatest that does, nothing that makes the sum, or no place outside."""
        n = self.grid.size
        inner = range(2, n)
        sizes = [g for g in range(n - 1) if sum(inner[:g]) <= self.value <= sum(inner[len(inner) - g :])]
        spans = sorted({(min(pair), max(pair)) for pair in self._crusts(known, range(n - 1))})
        fitting = [(low, high) for low, high in spans if high - low - 1 in sizes]
        if fillings := self._fillings(fitting, known):
            return no_place(fillings, known, inner, self._filled) or self._left_out(known)
        if len(spans) == 1 or len(fitting) == 1:
            low, high = (fitting or spans)[0]
            return self._unfilled(self.cells[low + 1 : high], known)
        if not fitting and self.value == 0:
            return (f"the 1 and the {n} can't be neighbours",)
        if not fitting:
            takes, apart = _span(sizes), _span([size + 1 for size in sizes])
            noun = "digit" if sizes == [1] else "digits"
            return (f"{self.value} takes {takes} {noun}, and no 1 and {n} can be {apart} cells apart",)
        return self._none_makes([self.cells[low + 1 : high] for low, high in spans], fitting, known)

    def _left_out(self, known: Mapping[int, int]) -> Said | None:
        """Say that an end of the row holds none of the few digits that are not between."""
        n = self.grid.size
        amount = sum(range(2, n)) - self.value
        ways = [w for g in range(1, n - 2) for w in combinations(range(2, n), g) if sum(w) == amount]
        if not 1 <= len(ways) <= WAYS:
            return None
        fit = sum(1 << (digit - 1) for digit in {d for way in ways for d in way}) | 1 | 1 << (n - 1)
        for cell in (self.cells[0], self.cells[-1]):
            if not known[cell] & fit:
                which = listed([listed(way) for way in ways], "or") if len(ways) > 1 else listed(ways[0])
                return (f"{self.value} leaves just {which} outside, and ", (cell,), " would be none of these")
        return None

    def _unfilled(self, between: tuple[int, ...], known: Mapping[int, int]) -> Said:
        """Say what the only cells that can lie between make, or what the last of them would have to be."""
        n = self.grid.size
        if not between:
            return (f"the 1 and the {n} would be neighbours",)
        digits = lone(known, between)
        rest = tuple(cell for cell in between if known[cell] & (known[cell] - 1))
        totals = self._totals(between, known)
        if digits and len(rest) == 1 and totals and min(totals) < self.value < max(totals):
            leave = "leaves" if len(digits) == 1 else "leave"
            left = self.value - sum(digits)
            return (f"the {listed(digits)} {leave} {left} for ", rest, f" between the 1 and the {n}")
        return ("the filling would be ", *self._which(between, known))

    def _filling_of(self, between: Sequence[int], known: Mapping[int, int]) -> dict[int, int]:
        """Give what cells may hold where they are between: neither the 1 nor the greatest."""
        return {cell: known[cell] & ((1 << (self.grid.size - 1)) - 2) for cell in between}

    def _totals(self, between: Sequence[int], known: Mapping[int, int]) -> frozenset[int]:
        """Give what cells make where they are between."""
        return made(list(self._filling_of(between, known).values())) or frozenset()

    def _which(self, between: tuple[int, ...], known: Mapping[int, int]) -> Said:
        """Name cells between and say what they make."""
        if len(between) == 1:
            one = self.value < self.grid.size
            makes = f"makes {reach(self._totals(between, known), self.value)}"
            return (between, f" alone, which {f'would have to be {self.value}' if one else makes}")
        said = unmade(between, self._filling_of(between, known), self.value, self.grid.size)
        return (between, ", which ", *(said or (f"can't make {self.value}",)))

    def _none_makes(
        self,
        betweens: Iterable[tuple[int, ...]],
        fitting: Iterable[tuple[int, int]],
        known: Mapping[int, int],
    ) -> Said:
        """Say what the digits between make, where there are several places for the 1 and the greatest."""
        n = self.grid.size
        totals = {total for cells in betweens if cells for total in self._totals(cells, known)}
        if within := reach(totals, self.value):
            return (f"the digits between a 1 and a {n} would make {within}",)
        which = [self._which(self.cells[low + 1 : high], known) for low, high in fitting]
        if len(which) == 2 and all(len(said) <= 3 and "can't" not in said[-1] for said in which):
            return ("the filling would be ", *which[0], ", or ", *which[1])
        return (f"no cells between a 1 and a {n} can make {self.value}",)

    def _fillings(self, spans: Sequence[tuple[int, int]], known: Mapping[int, int]) -> list[Filling]:
        """Give the sets of digits that the cells between can take, each with the cells outside."""
        found: list[Filling] = []
        for low, high in spans:
            between, outside = self.cells[low + 1 : high], [*self.cells[:low], *self.cells[high + 1 :]]
            inner = list(self._filling_of(between, known).values())
            found += [(way, outside) for way in making(inner, self.value)]
        return found

    def _filled(self, ways: Sequence[tuple[int, ...]]) -> str:
        """Say what would stand between, or of many digits which would not; no sets are any of them."""
        if not ways:
            return "whatever the filling"
        if ways == [()]:
            return f"the 1 and the {self.grid.size} would be neighbours"
        outside = [digit for digit in range(2, self.grid.size) if digit not in ways[0]]
        if len(ways) > 1 or len(ways[0]) <= len(outside) + 1 or not outside:
            return f"the filling would be {listed([listed(way) for way in ways], 'or')}"
        return f"the filling would be all but {listed(outside)}"
