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

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar

from saywhy.primitives import Automaton, Primitive, Regular, automaton, digits_of
from saywhy.ranges import check_range
from saywhy.rule import OutsideRule, Part, Phrases, outside_plate
from saywhy.shapes import Shape
from saywhy.thoughts import Thought, listed, lone, placed


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
        # Elsewhere than first the digit outside is another than the first digit, which names the place.
        other = [] if self.value == 1 else [1, self.value]
        rooms = [
            place
            for place, cell in enumerate(self.cells, 1)
            if known[cell] & bit and known[first] >> (place - 1) & 1 and place not in other
        ]
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
            text = f"the {self.value} stands where the first digit says, so that is no 1 and no {self.value}"
            found.append(Thought(((text,),), {first: known[first] & ~(1 | bit)}))
        if not found:
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
        if len(never) > 3 or len(unsaid) > 3 or not (never or unsaid):
            return []
        left = {self.cells[place - 1]: known[self.cells[place - 1]] & ~bit for place in unsaid}
        unsaid = [place for place in unsaid if place not in never]
        says = f"says where the {self.value} stands"
        if never:
            left[first] = known[first] & ~sum(1 << (place - 1) for place in never)
            says += f", and that is not {listed([placed(place) for place in never], 'or')}"
        if unsaid:
            says = f"is not {listed(unsaid, 'or')} and {says}"
        return [Thought(((f"the first digit {says}",),), left)]
