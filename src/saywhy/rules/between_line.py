"""
Between line.

Meaning:
    Every digit between the two ends is strictly between the ends' digits.
Drawn as:
    A double line with open squares at its ends.
Example:
    Ends 2 and 7, between them 5, 3, 6.
Often confused with:
    A lockout line, which keeps digits between its ends' digits out; a double arrow, whose ends sum.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton, digits_of
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Cap, Line, Shape, Texture, Weight
from saywhy.thoughts import Said, Thought, counted, listed, lone


@lru_cache(maxsize=256)
def between(count: int, size: int) -> Automaton:
    """Give the automaton that reads two ends and then digits strictly between them."""
    start: tuple[int, ...] = ()

    def step(state: tuple[int, ...], digit: int) -> tuple[int, ...] | None:
        if len(state) < 2:
            ends = tuple(sorted((*state, digit)))
            return ends if len(ends) < 2 or ends[1] - ends[0] >= 2 else None
        return state if state[0] < digit < state[1] else None

    return automaton(count, size, start, step, lambda state: len(state) == 2)


@dataclass(frozen=True)
class BetweenLine(CellsRule):
    """Two ends that bound the digits between them."""

    name: ClassVar[str] = "between-line"
    title: ClassVar[str] = "Between line"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "between-line"
cells = "r2c2 r1c3 r2c4 r3c4"

[[clue]]
rule = "between-line"
cells = "r6c1 r5c1 r5c2 r6c3"
"""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 3

    @property
    def ends(self) -> tuple[int, int]:
        """The two ends."""
        return self.cells[0], self.cells[-1]

    @property
    def line(self) -> tuple[int, ...]:
        """The cells between the ends."""
        return self.cells[1:-1]

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether every inner digit lies strictly between the ends' digits."""
        held = self.held(digits)
        if held is None:
            return None
        low, high = sorted((held[0], held[-1]))
        return all(low < digit < high for digit in held[1:-1])

    def compile(self) -> list[Primitive]:
        """An automaton that reads both ends first and then holds each inner digit against them."""
        order = (*self.ends, *self.line)
        return [Regular(order, between(len(order), self.grid.size))]

    def draw(self) -> list[Shape]:
        """A double line between open squares."""
        square = Cap.OPEN_SQUARE
        return [Line(self.cells, Texture.DOUBLE, Weight.MEDIUM, ink=5, start=square, end=square)]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun="between line",
            parts=(Part("end", "ends", self.ends), Part("inner cell", "line", self.line)),
            law="everything on the line lies between its ends",
            spoken="Digits on a between line lie strictly between the digits at its two ends.",
            written="Every digit along a between line is above one of its ends and below the other.",
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """Which ends leave room for the line, and what lies between them."""
        del gone
        n = self.grid.size
        one, other = self.ends
        left = dict.fromkeys((*self.ends, *self.line), 0)
        for a in range(1, n + 1):
            for b in range(1, n + 1):
                low, high = min(a, b), max(a, b)
                room = ((1 << (high - 1)) - 1) & ~((1 << low) - 1) if high > low else 0
                if not (known[one] >> (a - 1) & 1 and known[other] >> (b - 1) & 1):
                    continue
                if all(known[cell] & room for cell in self.line):
                    left[one] |= 1 << (a - 1)
                    left[other] |= 1 << (b - 1)
                    for cell in self.line:
                        left[cell] |= known[cell] & room
        if not left[one]:
            return []
        ends, held = lone(known, self.ends), lone(known, self.line)
        if len(ends) == 2:
            text = f"everything on the line lies between {min(ends)} and {max(ends)}"
            return [Thought(((text,),), left)]
        found: list[Thought] = []
        if all(known[cell] == (1 << n) - 1 for cell in left):
            found.append(Thought(((f"nothing between two ends can be a 1 or a {n}",),), left))
        if held and held[0] == held[-1]:
            found.append(Thought(((f"the {held[0]} has one end below it and the other above",),), left))
        elif held:
            text = f"{held[0]} and {held[-1]} have one end below them and the other above"
            found.append(Thought(((text,),), left))
        if len(ends) == 1:
            found.append(Thought(((f"one end is {ends[0]}, so the line lies all to one side of it",),), left))
        low = min((known[end] & -known[end]).bit_length() for end in self.ends)
        high = max(known[end].bit_length() for end in self.ends)
        text = f"the ends reach from {low} to {high} at most, and the line stays strictly between them"
        return [*found, Thought(((text,),), left)]

    def fails(self, known: Mapping[int, int]) -> Said | None:
        """The reach of the ends, or the cell for which nothing is left between them."""
        ends = [digits_of(known[end]) for end in self.ends]
        pairs = [(a, b) for a in ends[0] for b in ends[1] if abs(a - b) > 1]
        if not pairs:
            return ("no two digits left for the ends have one between them",)
        low, high = min(map(min, pairs)), max(map(max, pairs))
        for cell in self.line:
            if not known[cell] >> low:
                return (f"neither end would be below {low}",)
            if not known[cell] & ((1 << (high - 1)) - 1):
                return (f"neither end would be above {high}",)
        return self._nothing([p for p in pairs if p[0] < p[1]], [p for p in pairs if p[0] > p[1]], known)

    def _nothing(
        self, up: Sequence[tuple[int, int]], down: Sequence[tuple[int, int]], known: Mapping[int, int]
    ) -> Said | None:
        """Say for which cells nothing is left between the ends, whichever of them is the higher one."""
        blamed = [self._outside(side, known) for side in (up, down) if side]
        both = next((cell for cell in blamed[0] if all(cell in other for other in blamed)), None)
        if both is not None:
            one, other = (_which(known[end], self.grid.size) for end in self.ends)
            if one and other:
                which = (
                    f"both ends would be {one}" if one == other else f"the ends would be {one} and {other}"
                )
                return (f"{which}, with nothing between for ", (both,))
            return ("nothing left for ", (both,), " lies between the ends")
        single = lone(known, self.ends)
        if len(single) != 1 or not all(blamed):
            return None
        above, below = blamed if known[self.ends[0]] == 1 << (single[0] - 1) else blamed[::-1]
        return (
            f"between the {single[0]} and a higher end is nothing for ",
            (above[0],),
            ", and with a lower end nothing for ",
            (below[0],),
        )

    def fails_apart(self, known: Mapping[int, int], differ: Callable[[int, int], bool]) -> Said | None:
        """Too few digits between the ends for the cells of the line."""
        if not all(differ(a, b) for a, b in combinations(self.line, 2)):
            return None
        ends = [digits_of(known[end]) for end in self.ends]
        rooms = [
            (1 << (max(a, b) - 1)) - (1 << min(a, b)) for a in ends[0] for b in ends[1] if abs(a - b) > 1
        ]
        most = max((room.bit_count() for room in rooms), default=0)
        if most < len(self.line):
            lie = "digit lies" if most == 1 else "digits lie"
            return (f"no more than {counted(most)} {lie} between the ends, too few for the line",)
        for count in range(2, len(self.line) + 1):
            for some in combinations(self.line, count):
                left = 0
                for room in rooms:
                    for cell in some:
                        left |= known[cell] & room
                if left.bit_count() < count:
                    return (f"only {listed(digits_of(left))} would be left for ", some)
        return None

    def _outside(self, pairs: Sequence[tuple[int, int]], known: Mapping[int, int]) -> list[int]:
        """List the cells that have no digit between two ends, whichever of these they are."""
        return [
            cell
            for cell in self.line
            if not any(min(pair) < digit < max(pair) for pair in pairs for digit in digits_of(known[cell]))
        ]


def _which(mask: int, size: int) -> str:
    """Give the digits of an end in a few words; empty where these would be many."""
    digits = digits_of(mask)
    if len(digits) <= 2:
        return listed(digits, "or")
    if digits == list(range(1, digits[-1] + 1)):
        return f"{digits[-1]} at most"
    return f"{digits[0]} or more" if digits == list(range(digits[0], size + 1)) else ""
