"""The clues of a sketch with all their cells, some of their numbers still open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from random import Random

from saywhy.engine.constraints import constraints
from saywhy.engine.model import Model
from saywhy.puzzle import Clue, Puzzle
from saywhy.rule import PairRule
from saywhy.rules import place
from saywhy.setting.compose.grids import Grids
from saywhy.setting.compose.shapes import orbits, taken_by
from saywhy.setting.compose.sketch import OpenClue, Sketch, rule_of
from saywhy.setting.compose.values import with_digits, with_number, without_number

#: Shapes made up for one place, of which the ones that say most are taken more often.
OFFERS = 48
#: How many of the best offers chance chooses among on average: at most so many, as each layout has it.
AMONG = 4.0
#: How many offers are tried one after another until a grid is found that keeps them.
TURNS = 6


@dataclass(frozen=True)
class Slot:
    """
    A clue of which something may still be open.

    Attributes:
        clue: Its rule and cells; what is open is left out of it.
        value_open: Whether its number is read off the grid.
        digits: How many of its digits are read off the grid.
    """

    clue: Clue
    value_open: bool = False
    digits: int = 0

    @property
    def known(self) -> Clue | None:
        """What it says of every grid that it can be read off; None where that is nothing."""
        if self.value_open:
            return without_number(self.clue, rule_of(self.clue.rule))
        if self.digits:
            return self.clue if self.clue.digits else None
        return self.clue

    def read(self, puzzle: Puzzle, grid: Sequence[int], random: Random) -> Clue | None:
        """Give the clue as a filled grid has it; None where it cannot be."""
        if self.value_open:
            return with_number(self.clue, puzzle.grid, grid, random)
        if self.digits:
            padded = replace(self.clue, digits=(*self.clue.digits, *(1,) * self.digits))
            return with_digits(padded, self.digits, puzzle.grid, grid, random)
        return self.clue


def layout(sketch: Sketch, random: Random) -> list[Slot] | None:
    """
    Place the clues that have no cells yet.

    Shapes whose clue says all it will ever say are chosen for how much they rule out, beside what is there;
    shapes whose number is still open say little yet, and lie as chance has them.

    Returns:
        Every clue of the sketch with its cells, those that were drawn first; None where there is no room,
        or no grid is found that keeps them all.
    """
    made = _Layout(sketch, random)
    return made.slots if all(made.place(open_clue) for open_clue in sketch.open_clues) else None


def known(sketch: Sketch, slots: Sequence[Slot]) -> Puzzle:
    """Give the puzzle that holds what is known of every grid, givens included."""
    puzzle = sketch.puzzle
    all_given = tuple(name for name in puzzle.all_given if name not in _every(sketch))
    clues = tuple(clue for slot in slots if (clue := slot.known) is not None)
    return replace(puzzle, clues=clues, all_given=all_given)


def read_off(sketch: Sketch, slots: Sequence[Slot], grid: Sequence[int], random: Random) -> Puzzle | None:
    """Give the puzzle with all that is open read off a filled grid; None where something cannot be."""
    puzzle = sketch.puzzle
    clues = []
    for slot in slots:
        clue = slot.read(puzzle, grid, random)
        if clue is None:
            return None
        clues.append(clue)
    return replace(puzzle, clues=(*clues, *_marks(sketch, clues, grid, random)))


def drawn(sketch: Sketch) -> list[Slot]:
    """Give the clues that have their cells."""
    digits = dict(sketch.open_digits)
    slots = []
    for number, clue in enumerate(sketch.puzzle.clues):
        many = digits.get(number, 0)
        bare = replace(clue, line=None, digits=clue.digits[: len(clue.digits) - many])
        value_open = number in sketch.open_values
        slots.append(Slot(replace(bare, value=None) if value_open else bare, value_open, many))
    return slots


class _Layout:
    """A layout in the making."""

    def __init__(self, sketch: Sketch, random: Random) -> None:
        self.sketch = sketch
        self.random = random
        self.slots = drawn(sketch)
        self.taken = {key for slot in self.slots for key in taken_by(slot.clue, sketch.grid)}
        self.among = random.uniform(1, AMONG)

    def place(self, open_clue: OpenClue) -> bool:
        """Place all shapes of an open clue, and say whether that was possible."""
        left = open_clue.shapes
        while left:
            offers = orbits(open_clue, self.sketch.grid, self.taken, self.random, left)
            is_open = open_clue.value_open or open_clue.digits
            made = next(offers, None) if is_open else self._chosen(offers)
            if made is None:
                return False
            self.slots += [Slot(clue, open_clue.value_open, open_clue.digits) for clue in made]
            self.taken |= {key for clue in made for key in taken_by(clue, self.sketch.grid)}
            left -= len(made)
        return True

    def _chosen(self, offers: Iterator[tuple[Clue, ...]]) -> tuple[Clue, ...] | None:
        """Choose shapes that rule out much and that some grid keeps; None where there are none."""
        here = known(self.sketch, self.slots)
        grid = here.grid
        base = [constraint.primitive for constraint in constraints(here)]
        full = (1 << grid.size) - 1
        start = [1 << (digit - 1) if digit else full for digit in here.givens]
        rated: list[tuple[int, int, tuple[Clue, ...]]] = []
        for number, made in zip(range(OFFERS), offers, strict=False):
            added = [primitive for clue in made for primitive in place(clue, grid).compile()]
            model = Model(grid.size, len(start), [*base, *added])
            left, _, _ = model.native.supports(None, start, 0)
            if all(left):
                rated.append((sum(map(int.bit_count, left)), number, made))
        rated.sort(key=lambda offer: offer[:2])
        for _ in range(min(TURNS, len(rated))):
            _, _, made = rated.pop(min(int(self.random.expovariate(1 / self.among)), len(rated) - 1))
            tried = replace(here, clues=(*here.clues, *made))
            if Grids(tried, self.sketch.wish.pattern).some(1, self.random):
                return made
        return None


def _every(sketch: Sketch) -> list[str]:
    """Name the rules of which every mark is read off the grid."""
    return [clue.rule for clue in sketch.open_clues if not clue.shapes]


def _marks(sketch: Sketch, clues: Sequence[Clue], grid: Sequence[int], random: Random) -> list[Clue]:
    """Give every mark of the rules of which all are read off; of two like marks on a border, one."""
    names = _every(sketch)
    marked = {frozenset(clue.cells) for clue in clues if clue.rule in names}
    found = []
    for pair in sketch.grid.neighbour_pairs if names else ():
        if frozenset(pair) in marked:
            continue
        fitting: dict[str, list[str]] = {}
        for name in names:
            rule = rule_of(name)
            assert issubclass(rule, PairRule)
            if rule.relates(grid[pair[0]], grid[pair[1]]) or rule.relates(grid[pair[1]], grid[pair[0]]):
                fitting.setdefault(rule.family, []).append(name)
        found += [Clue(random.choice(alike), pair) for alike in fitting.values()]
    return found
