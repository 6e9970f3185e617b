"""
Numbered room.

Meaning:
    The X-th digit, seen from the clue, is the value; X is the first digit.
Drawn as:
    The value outside the grid in a round plate.
Example:
    7 before a row that begins 4, 2, 9, 7: the fourth digit is 7.
Often confused with:
    An X-sum, which sums the first X digits.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton, digits_of
from saywhy.ranges import check_range
from saywhy.rule import OutsideRule, Part, Phrases, outside_plate
from saywhy.shapes import Shape
from saywhy.thoughts import Said, Thought, a_digit, listed, lone, placed

#: Places that are listed at most.
PLACES = 3


@lru_cache(maxsize=256)
def door(value: int, size: int) -> Automaton:
    """Give the automaton that remembers how many digits it still passes before the one that must be "
    "right.
    """
    begin, done = -1, 0

    def step(state: int, digit: int) -> int | None:
        if state == done:
            return done
        left = (digit if state == begin else state) - 1
        return left if left > 0 or digit == value else None

    return automaton(size, size, begin, step, lambda state: state == done)


@dataclass(frozen=True)
class NumberedRoom(OutsideRule):
    """
    A row or column whose first digit says where the printed digit stands.

    Attributes:
        value: The printed digit.
    """

    name: ClassVar[str] = "numbered-room"
    title: ClassVar[str] = "Numbered room"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "numbered-room"
cells = "r1c2-r6c2"
value = 4

[[clue]]
rule = "numbered-room"
cells = "r3c6-r3c1"
value = 2
"""
    needs: ClassVar[frozenset[str]] = frozenset({"value"})

    value: int = 0

    def __post_init__(self) -> None:
        check_range("value", self.value, 1, self.grid.size, "the digit in a numbered room")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether the digit whose place the first one names is the value."""
        held = self.held(digits)
        return None if held is None else held[held[0] - 1] == self.value

    def compile(self) -> list[Primitive]:
        """An automaton that counts down from the first digit."""
        return [Regular(self.cells, door(self.value, self.grid.size))]

    def draw(self) -> list[Shape]:
        """The value outside in a round plate."""
        return [outside_plate(self.grid, self.cells, str(self.value), "round")]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        return Phrases(
            noun=f"room {self.value}",
            parts=(
                Part("first cell", "first cells", self.cells[:1]),
                Part(f"cell of the {self.lane}", self.lane, self.cells),
            ),
            law=f"the first digit says in which place the {self.value} stands",
            spoken=(
                "A round number outside is a digit of that row or column; the first digit there says at "
                "which place."
            ),
            written=(
                "A round number outside the grid is the X-th digit of that row or column seen from there, "
                "X being its first digit."
            ),
        )

    def thoughts(self, known: Mapping[int, int], gone: Mapping[int, int]) -> list[Thought]:
        """The places where the digit outside can stand, which the first digit names."""
        first, bit = self.cells[0], 1 << (self.value - 1)
        head = lone(known, [first])
        if head:
            place = head[0]
            room = self.cells[place - 1]
            text = (
                f"the first digit is {place}, so the {self.value} stands {placed(place)} in the {self.lane}"
            )
            return [Thought(((text,),), {room: known[room] & bit})]
        rooms = [place for place in self._rooms(known) if place != self.value or place == 1]
        left = {first: known[first] & sum(1 << (place - 1) for place in rooms)}
        for place, cell in enumerate(self.cells, 1):
            if place > 1:
                left[cell] = known[cell] & ~(0 if place in rooms else bit)
        found: list[Thought] = []
        if 1 <= len(rooms) <= 4:
            where = listed([placed(place) for place in rooms], "or")
            text = f"the {self.value} can stand only {where} in the {self.lane}"
            if len(rooms) == 1:
                left[self.cells[rooms[0] - 1]] = bit
            else:
                text += ", and the first digit says which"
            found.append(Thought(((text,),), left))
        found += self._limits(known, gone, rooms)
        if self.value != 1:
            text = (
                f"the {self.value} stands where the first digit says: not first, nor {placed(self.value)}, "
                f"where the first digit would be {a_digit(self.value)} as well"
            )
            left_two = {first: known[first] & ~(1 | bit)}
            if self.value <= len(self.cells):
                room = self.cells[self.value - 1]
                left_two[room] = known[room] & ~bit
            found.append(Thought(((text,),), left_two))
        rest = {cell: mask & known.get(cell, 0) for cell, mask in gone.items()}
        if all(any(mask & thought.left.get(c, mask) for c, mask in rest.items()) for thought in found):
            found.append(Thought(((f"the first digit says where the {self.value} stands",),), left))
        return found

    def _limits(
        self, known: Mapping[int, int], gone: Mapping[int, int], rooms: Sequence[int]
    ) -> list[Thought]:
        """Where the digit outside cannot stand, so that the first digit does not say so, and the reverse."""
        first, bit = self.cells[0], 1 << (self.value - 1)
        never = [place for place in digits_of(gone.get(first, 0) & known[first]) if place not in rooms]
        unsaid = [
            place for place, cell in enumerate(self.cells[1:], 2) if cell in gone and place not in rooms
        ]
        if len(never) > PLACES or len(unsaid) > PLACES or not (never or unsaid):
            return []
        if self.value in never and {1, self.value}.issuperset([*never, *unsaid]):
            return []  # This has a reason of its own.
        left = {self.cells[place - 1]: known[self.cells[place - 1]] & ~bit for place in unsaid}
        unsaid = [place for place in unsaid if place not in never]
        says = f"says where the {self.value} stands"
        if never:
            left[first] = known[first] & ~sum(1 << (place - 1) for place in never)
            says += f", and that is not {listed([placed(place) for place in never], 'or')}"
        if unsaid:
            says = f"is not {listed(unsaid, 'or')} and {says}"
        return [Thought(((f"the first digit {says}",),), left)]

    def fails(self, known: Mapping[int, int]) -> Said | None:  # noqa: PLR0911 - a list of cases
        """The first digit names no place that the digit can stand in."""
        if self._rooms(known):
            return None
        first, bit = self.cells[0], 1 << (self.value - 1)
        heads = digits_of(known[first])
        if heads == [1]:
            return (f"the {self.value} would have to stand first, where the 1 is",)
        places = [place for place, cell in enumerate(self.cells, 1) if known[cell] & bit]
        if len(heads) == 1 and heads[0] <= len(self.cells):
            return (f"the first digit is {heads[0]}, and the {placed(heads[0])} is no {self.value}",)
        fixed = [place for place in places if not known[self.cells[place - 1]] & ~bit]
        if fixed:
            there = placed(fixed[0])
            return (f"the {self.value} stands {there}, and the first digit would have to be {fixed[0]}",)
        if not places:
            return (f"the {self.value} would have no place in the {self.lane}",)
        if len(places) <= PLACES:
            where = listed([placed(place) for place in places], "or")
            return (f"the {self.value} can stand only {where}, and the first digit never says so",)
        if len(heads) <= PLACES:
            where = listed([placed(place) for place in heads], "or")
            return (f"the first digit says that the {self.value} stands {where}, and it can't",)
        return None

    def fails_apart(self, known: Mapping[int, int], differ: Callable[[int, int], bool]) -> Said | None:
        """Only the place is left where the first digit would be the same."""
        first, value = self.cells[0], self.value
        if value > 1 and self._rooms(known) == [value] and differ(first, self.cells[value - 1]):
            return ((first, self.cells[value - 1]), f" would both be {value}")
        return None

    def _rooms(self, known: Mapping[int, int]) -> list[int]:
        """List the places where the digit can stand and that the first digit can name, from 1."""
        first, bit = self.cells[0], 1 << (self.value - 1)
        return [
            place
            for place, cell in enumerate(self.cells, 1)
            if known[cell] & bit and known[first] >> (place - 1) & 1 and (place > 1 or self.value == 1)
        ]
