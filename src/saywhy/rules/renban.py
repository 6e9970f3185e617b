"""
Renban.

Meaning:
    The digits on the line are a set of consecutive digits without repeats, in any order.
Drawn as:
    A broad beaded line.
Example:
    5, 3, 6, 4 are the digits from 3 to 6.
Often confused with:
    A thermometer, which has an order; a nabner, on which no two digits are consecutive.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import ClassVar

from saywhy.outside import blames_of, common
from saywhy.primitives import AllDifferent, Automaton, Primitive, Regular, automaton, digits_of
from saywhy.ranges import check_length
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Line, Shape, Texture, Weight
from saywhy.thoughts import Said, Thought, a_digit, counted, listed, lone, spread


@lru_cache(maxsize=256)
def within(count: int, size: int) -> Automaton:
    """
    Give the automaton that reads digits of which the least and the greatest differ by less than their count.

    Different digits within such a span are that span, so all that it need remember is the least and the
    greatest digit so far.
    """
    start: tuple[int, ...] = ()

    def step(state: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
        least, most = min(*state, digit, digit), max(*state, digit, digit)
        return (least, most) if most - least < count else None

    return automaton(count, size, start, step, bool)


def _reach(runs: Iterable[int], held: Sequence[int]) -> str:
    """Give the digits of some sequences, those held left out where the others are few."""
    every = 0
    for run in runs:
        every |= run
    digits = [digit for digit in digits_of(every) if digit not in held]
    if len(digits) <= 2:
        return listed(digits, "or")
    return f"{(every & -every).bit_length()} to {every.bit_length()}"


@dataclass(frozen=True)
class Renban(CellsRule):
    """A line of consecutive digits in any order."""

    name: ClassVar[str] = "renban"
    title: ClassVar[str] = "Renban"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "renban"
cells = "r2c2 r1c3 r2c4 r3c4"

[[clue]]
rule = "renban"
cells = "r6c1 r5c1 r5c2"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 2

    def __post_init__(self) -> None:
        check_length("a renban", len(self.cells), self.grid.size, "its digits do not repeat")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digits, sorted, are a run without a gap."""
        held = self.held(digits)
        if held is None:
            return None
        return sorted(held) == list(range(min(held), min(held) + len(held)))

    def compile(self) -> list[Primitive]:
        """No repeats, and least and greatest no further apart than the cells are many."""
        return [AllDifferent(self.cells), Regular(self.cells, within(len(self.cells), self.grid.size))]

    def draw(self) -> list[Shape]:
        """A beaded line."""
        return [Line(self.cells, Texture.BEADED, Weight.BROAD, ink=4)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="renban",
            parts=(Part("cell", "line", self.cells),),
            law="its digits are consecutive, in any order",
            spoken="A renban line holds digits in sequence, shuffled in any order.",
            written="The digits on a renban line are consecutive and do not repeat, in any order.",
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """The sequences that are left, how far they reach, or the digit that a sequence would want."""
        count, n = len(self.cells), self.grid.size
        runs = {}
        for least in range(1, n - count + 2):
            filling = spread(self.cells, known, ((1 << count) - 1) << (least - 1))
            if filling is not None:
                runs[least] = filling
        if not runs:
            return []
        left = dict.fromkeys(self.cells, 0)
        for filling in runs.values():
            for cell, mask in filling.items():
                left[cell] |= mask
        held = lone(known, self.cells)
        among = f" with {listed(a_digit(digit) for digit in held)} among them" if held else ""
        head = f"{counted(count)} digits in sequence{among}"
        to = "and" if count == 2 else "to"
        spans = [f"{least} {to} {least + count - 1}" for least in runs]
        found: list[Thought] = []
        if len(spans) == 1:
            return [Thought(((f"{head} can only be {spans[0]}",),), left)]
        if len(spans) <= 3:
            found.append(Thought(((f"{head}: {listed(spans, 'or')}",),), left))
        least, most = min(runs), max(runs) + count - 1
        reach = {cell: known[cell] & ((1 << most) - 1) & ~((1 << (least - 1)) - 1) for cell in self.cells}
        if most < n and least > 1:
            found.append(Thought(((f"{head} stay between {least} and {most}",),), reach))
        elif least > 1:
            found.append(Thought(((f"{head} reach down to {least} at most",),), reach))
        elif most < n:
            found.append(Thought(((f"{head} reach up to {most} at most",),), reach))
        said = self._wanting(known, gone, left)
        return [*found, said] if said is not None else found

    def _wanting(
        self, known: Mapping[int, int], gone: Mapping[int, int], left: dict[int, int]
    ) -> Thought | None:
        """Say which digit every sequence through the digits ruled out would want, and finds no cell for."""
        count, n = len(self.cells), self.grid.size
        if len(gone) != 1 or not set(gone) <= set(self.cells):
            return None
        ((cell, mask),) = gone.items()
        tried = [digit for digit in range(1, n + 1) if mask >> (digit - 1) & 1]
        others = [other for other in self.cells if other != cell]
        absent = {d for d in range(1, n + 1) if not any(known[other] >> (d - 1) & 1 for other in others)}
        wanted: set[int] | None = None
        for digit in tried:
            for least in range(max(1, digit - count + 1), min(digit, n - count + 1) + 1):
                lacks = absent & set(range(least, least + count)) - {digit}
                wanted = lacks if wanted is None else wanted & lacks
        if not wanted or len(tried) > 3:
            return None
        lack = min(wanted)
        said: Said = (
            f"{listed((a_digit(d) for d in tried), 'or')} in ",
            (cell,),
            f" would want the {lack} too, and no other cell of the line can take it",
        )
        return Thought((said,), left)

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """The digit that every sequence left would want, or the cell that is out of its reach."""
        count, n = len(self.cells), self.grid.size
        held = lone(known, self.cells)
        if held and held[-1] - held[0] >= count:
            return (
                f"{held[0]} and {held[-1]} would be too far apart for {counted(count)} digits in sequence",
            )
        tightest = min(self.cells, key=lambda cell: known[cell].bit_count())
        runs = {least: ((1 << count) - 1) << (least - 1) for least in range(1, n - count + 2)}
        runs = {
            least: run
            for least, run in runs.items()
            if run & known[tightest] and all(run >> (digit - 1) & 1 for digit in held)
        }
        union = 0
        for cell in self.cells:
            union |= known[cell]
        lacks = {least: run & ~union for least, run in runs.items()}
        wants = [d for d in range(1, n + 1) if any(lack >> (d - 1) & 1 for lack in lacks.values())]
        for cell in self.cells:
            if runs and not any(run & known[cell] for run in runs.values()):
                return ((cell,), f" would have to be {_reach(runs.values(), held)}")
        for number, place in enumerate(("it", "either", "any"), 1):
            for digits in combinations(wants, number):
                mask = sum(1 << (digit - 1) for digit in digits)
                rest = [least for least, lack in lacks.items() if not lack & mask]
                if not rest:
                    asked = listed([a_digit(digit) for digit in digits], "or")
                    return (f"the line would want {asked}, and has no cell for {place}",)
                for cell in self.cells if number == 1 else ():
                    if not any(runs[least] & known[cell] for least in rest):
                        reach = _reach([runs[least] for least in rest], held)
                        asked = f"the line has no cell for {a_digit(digits[0])}, and without it "
                        return (asked, (cell,), f" would have to be {reach}")
        return self._misfit([least for least, lack in lacks.items() if not lack], known)

    def _misfit(self, starts: Sequence[int], known: Mapping[int, int]) -> Said | None:
        """Say what is wrong whichever of the sequences left it is, by their least digits."""
        count = len(self.cells)
        blames = [blames_of(range(s, s + count), self.cells, known, "on the line") for s in starts]
        shared = common(blames) if blames else ()
        if not shared:
            return None
        which = listed(
            [f"{start} {'to' if count > 2 else 'and'} {start + count - 1}" for start in starts], "or"
        )
        return (
            f"the line would be {which}, and " if len(starts) <= 2 else "whatever the line holds, ",
            *shared,
        )
