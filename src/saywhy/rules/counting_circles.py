"""
Counting circles.

Meaning:
    One clue lists all circled cells. A digit in a circle says how many of the circles hold that digit.
Drawn as:
    A dashed ring in each of the cells.
Example:
    Six circles: 1, 2, 2, 3, 3 and 3.
Often confused with:
    The circle of an arrow, which has a shaft; odd cells, which are discs.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import ClassVar

from saywhy.primitives import Count, Primitive, digits_of
from saywhy.ranges import check_length
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Ring, Shape
from saywhy.thoughts import Said, Thought, a_digit, counted, listed

#: Cells of which it is worked out how many may be equal at once, at most.
MANY = 14
#: Sets of digits that are listed, and numerals in them.
SETS, NUMERALS = 3, 6


@dataclass(frozen=True)
class CountingCircles(CellsRule):
    """Circled cells whose digits count themselves."""

    name: ClassVar[str] = "counting-circles"
    title: ClassVar[str] = "Counting circles"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "counting-circles"
cells = "r1c1 r1c4 r2c6 r4c2 r5c5 r6c3"
"""
    form: ClassVar[Form] = Form.CELLS

    def __post_init__(self) -> None:
        n = self.grid.size
        why = f"once 1, twice 2 and so on up to {n}"
        check_length("counting-circles", len(self.cells), n * (n + 1) // 2, why)

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether each digit in a circle stands in exactly that many."""
        held = self.held(digits)
        return None if held is None else all(held.count(digit) == digit for digit in held)

    def compile(self) -> list[Primitive]:
        """One count."""
        return [Count(self.cells)]

    def draw(self) -> list[Shape]:
        """A dashed ring in each cell."""
        return [Ring((cell,), ink=6, dashed=True) for cell in self.cells]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="counting circles",
            parts=(Part("circle", "circles", self.cells),),
            law="each digit in a circle stands in exactly that many circles",
            spoken="A digit in a dashed circle says how many dashed circles hold that digit.",
            written=(
                "A digit in a dashed circle stands in exactly as many dashed circles as it says. "
                "A digit in none of them is free."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:  # noqa: ARG002
        """Digits that stand often enough, that need every circle they can have, or that find too few."""
        held, can = self._held(known), self._can(known)
        found = []
        for digit, cells in held.items():
            if len(cells) == digit:
                said = f"{counted(digit)} {'circle is' if digit == 1 else 'circles are'} {digit} already"
                found.append(Thought(((said,),), self._without(known, [digit], cells)))
            elif len(can[digit]) == digit:
                said = f"{_is(len(cells), digit)}, so {counted(digit)} are, and only {counted(digit)} can be"
                found.append(Thought(((said,),), {**known, **dict.fromkeys(can[digit], 1 << (digit - 1))}))
        few = [digit for digit, cells in can.items() if len(cells) < digit]
        found += [Thought((_wants(digit, len(can[digit])),), self._without(known, [digit])) for digit in few]
        if len(few) > 1:
            which = (
                f"above {few[0] - 1}" if few[-1] - few[0] == len(few) - 1 == self.grid.size - few[0] else ""
            )
            none = f"no digit {which}" if which else f"none of {listed(few)}"
            found.append(
                Thought(((f"{none} finds as many circles as it wants",),), self._without(known, few))
            )
        sets = self._sets(held, few)
        if sets and len(sets) <= SETS and sum(map(len, sets)) < NUMERALS:
            ways = listed([" + ".join(map(str, digits)) for digits in sets], "or")
            whole = counted(len(self.cells))
            total = f"{whole} circles can only be {ways}"
            if len(sets) == 1:
                each = [f"{counted(digit)} {digit}{'' if digit == 1 else 's'}" for digit in sets[0]]
                total = f"nothing but {listed(each)} fills the {whole} circles"
            union = sum(1 << (digit - 1) for digit in set().union(*sets))
            found.append(Thought(((total,),), {cell: known[cell] & union for cell in self.cells}))
            for digit in set(sets[0]).intersection(*sets):
                if len(can[digit]) == digit:
                    only = f"so {digit} is among them, and only {counted(digit)} can be {digit}"
                    left = {**known, **dict.fromkeys(can[digit], 1 << (digit - 1))}
                    found.append(Thought(((total,), (only,)), left))
        return found

    def fails_apart(self, known: Mapping[int, int], differ: Callable[[int, int], bool]) -> Said | None:
        """A digit stands too often or finds too few circles; or the digits do not add up to the circles."""
        held, can = self._held(known), self._can(known)
        for digit, cells in held.items():
            if len(cells) > digit:
                return (f"{counted(len(cells))} circles would be {digit}",)
            if len(can[digit]) < digit:
                return (f"{_would(digit)}, and only {counted(len(can[digit]))} can",)
        most = {digit: _apart(cells, differ) for digit, cells in can.items()}
        for digit in held:
            if most[digit] < digit:
                return (f"{_would(digit)}, and at most {counted(most[digit])} can at once",)
        sets = self._sets(held, [digit for digit, count in most.items() if count < digit])
        if not sets:
            return self._off(sorted(held))
        union = set().union(*sets)
        bare = next((c for c in self.cells if not union.intersection(digits_of(known[c]))), None)
        if bare is None or len(union) >= NUMERALS:
            return None
        return (f"the circles would hold only {listed(sorted(union))}, and ", (bare,), " takes none of these")

    def _off(self, digits: Sequence[int]) -> Said | None:
        """Say that these digits want more circles than there are, or that nothing fills the others."""
        count, total = len(self.cells), sum(digits)
        if not digits or len(digits) >= NUMERALS:
            return None
        want = (
            _want(digits[0])
            if len(digits) == 1
            else f"{listed(digits)} together want {counted(total)} circles"
        )
        if total > count:
            return (f"{want}, and there are {counted(count)}",)
        rest = count - total
        one = "the one circle left" if rest == 1 else f"the {counted(rest)} circles left"
        return (f"{want}, and no other digits fill {one}",)

    def _held(self, known: Mapping[int, int]) -> dict[int, list[int]]:
        """For each digit that some circle is, these circles."""
        found: dict[int, list[int]] = {}
        for cell in self.cells:
            if known[cell] and not known[cell] & (known[cell] - 1):
                found.setdefault(known[cell].bit_length(), []).append(cell)
        return found

    def _can(self, known: Mapping[int, int]) -> dict[int, list[int]]:
        """For each digit the circles that may be it."""
        size = self.grid.size
        return {d: [c for c in self.cells if known[c] >> (d - 1) & 1] for d in range(1, size + 1)}

    def _without(
        self, known: Mapping[int, int], digits: Sequence[int], but: Sequence[int] = ()
    ) -> dict[int, int]:
        gone = sum(1 << (digit - 1) for digit in digits)
        return {cell: known[cell] if cell in but else known[cell] & ~gone for cell in self.cells}

    def _sets(self, held: Mapping[int, object], few: Sequence[int]) -> list[tuple[int, ...]]:
        """List the sets of digits that want as many circles as there are, ascending."""
        count = len(self.cells)
        must = set(held)
        may = [d for d in range(1, self.grid.size + 1) if d <= count and d not in few and d not in must]
        rest = count - sum(must)
        return [
            tuple(sorted({*must, *more}))
            for size in range(len(may) + 1)
            for more in combinations(may, size)
            if sum(more) == rest
        ]


def _want(digit: int) -> str:
    return f"{a_digit(digit)} wants {counted(digit)} circle{'' if digit == 1 else 's'}"


def _wants(digit: int, able: int) -> Said:
    return (f"{_want(digit)}, and {'only ' if able else ''}{counted(able)} can be {digit}",)


def _would(digit: int) -> str:
    return f"{counted(digit)} circle{'' if digit == 1 else 's'} would be {digit}"


def _is(count: int, digit: int) -> str:
    return f"{counted(count)} {'circle is' if count == 1 else 'circles are'} {digit}"


def _apart(cells: Sequence[int], differ: Callable[[int, int], bool]) -> int:
    """Give how many of these cells may be equal at once; of many cells all, which is no less."""
    if len(cells) > MANY:
        return len(cells)

    def go(left: Sequence[int]) -> int:
        if not left:
            return 0
        first, *rest = left
        beside = [cell for cell in rest if not differ(first, cell)]
        return max(1 + go(beside), go(rest) if len(beside) < len(rest) else 0)

    return go(cells)
