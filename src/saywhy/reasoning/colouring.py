"""
Colouring: odd and even, or low and high, followed from cell to cell through clues of two cells.

A dot between consecutive digits makes one of its cells odd and the other even; a sum of two cells says
whether they are alike; neighbours on a whisper are low and high. Cells joined so fall into two colours, and
which colour is which may be settled by a house: five cells of one colour are not even where a house has four
even digits. What follows along a chain from a cell whose kind is known needs no colours: single clues show it
step by step.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache, partial
from itertools import chain

from saywhy.engine.constraints import Source
from saywhy.primitives import Linear, Pair, mask
from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.frame import Frame, Held
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import EVERY, Find, Step

#: Cells whose marks one thought may settle.
MOST = 4


@dataclass(frozen=True)
class Trait:
    """
    Two kinds of digits.

    Attributes:
        names: What they are called.
        kinds: Their masks; a digit may be of neither kind.
    """

    names: tuple[str, str]
    kinds: tuple[int, int]


@dataclass
class Coloured:
    """
    Cells joined through clues of two cells.

    Attributes:
        trait: What is followed.
        colour: For each cell its colour, 0 or 1.
        parent: For each cell but the first, the cell that it was joined to, and the source of the clue.
    """

    trait: Trait
    colour: dict[int, int] = field(default_factory=dict)
    parent: dict[int, tuple[int, Source]] = field(default_factory=dict)

    def joining(self, cells: list[int]) -> set[Source]:
        """Give the sources along which these cells hang together."""
        ways = [self._up(cell) for cell in cells]
        # What lies on all ways to the first cell joins none of these cells to another.
        common = set(ways[0]).intersection(*ways[1:])
        return {self.parent[cell][1] for cell in chain(*ways) if cell not in common}

    def _up(self, cell: int) -> list[int]:
        """Give the cells on the way to the first one, whose joints are used; the first itself left out."""
        found = []
        while cell in self.parent:
            found.append(cell)
            cell = self.parent[cell][0]
        return found


def traits(size: int) -> tuple[Trait, Trait]:
    """Give odd and even, and low and high (a middle digit is neither)."""
    half = size // 2
    digits = range(1, size + 1)
    low, high = mask(digits[:half]), mask(digits[size - half :])
    return (
        Trait(("odd", "even"), (mask(digits[::2]), mask(digits[1::2]))),
        Trait(("low", "high"), (low, high)),
    )


@lru_cache(maxsize=8)
def coloured(frame: Frame) -> tuple[Coloured, ...]:
    """Give the sets of at least three cells whose colours hang together, for each trait."""
    found = []
    for trait in traits(frame.n):
        near: dict[int, list[tuple[int, int, Source]]] = {}
        for held in frame.stated:
            joint = _joint(held, frame.n, trait)
            if joint is None:
                continue
            (source,) = held.sources
            a, b = held.cells
            near.setdefault(a, []).append((b, joint, source))
            near.setdefault(b, []).append((a, joint, source))
        left = set(near)
        while left:
            first = min(left)
            one = Coloured(trait, {first: 0})
            waiting = [first]
            for cell in waiting:
                for other, joint, source in near[cell]:
                    if other not in one.colour:
                        one.colour[other] = one.colour[cell] ^ joint
                        one.parent[other] = cell, source
                        waiting.append(other)
            left -= set(waiting)
            if len(waiting) > 2:
                found.append(one)
    return tuple(found)


def _joint(held: Held, size: int, trait: Trait) -> int | None:
    """Say whether a primitive of two cells makes them alike (0) or unlike (1); None if it does neither."""
    if len(held.cells) != 2 or any(source.kind != "clue" for source in held.sources):
        return None
    table = _table(held, size)
    if table is None:
        return None
    able = [place for place in range(size) if table[place]]
    sides = {place: side for place in able for side, kind in enumerate(trait.kinds) if kind >> place & 1}
    for joint in (0, 1):
        if able and all(
            place in sides and not table[place] & ~trait.kinds[sides[place] ^ joint] for place in able
        ):
            return joint
    return None


def _table(held: Held, size: int) -> list[int] | None:
    primitive = held.primitive
    if isinstance(primitive, Pair):
        return list(primitive.table)
    if not isinstance(primitive, Linear):
        return None
    a, b = primitive.coefficients
    digits = range(1, size + 1)
    return [mask(y for y in digits if a * x + b * y == primitive.total) for x in digits]


class Colours:
    """Finds what colours show in one frame."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame

    def finds(self, position: Position, about: int = EVERY) -> Iterator[Find]:
        """Yield for each set of coloured cells that a house settles what its cells lose."""
        domains = position.domains()
        for one in coloured(self.frame):
            first, second = one.trait.kinds
            if not any(self.frame.domain(about, cell) for cell in one.colour):
                continue
            if any(domains[cell] & first and domains[cell] & second for cell in one.colour):
                yield from self._settled(position, one, domains)

    def _settled(self, position: Position, one: Coloured, domains: list[int]) -> Iterator[Find]:
        for index, (house, _) in enumerate(self.frame.houses):
            for colour, kind in ((0, 0), (0, 1), (1, 0), (1, 1)):
                # Were this colour of this kind, the house would have more such cells than there are digits.
                held = one.trait.kinds[kind]
                room = held.bit_count()
                inside = [cell for cell in house.cells if one.colour.get(cell) == colour]
                known = [c for c in house.cells if c not in one.colour and not domains[c] & ~held]
                if not inside or len(inside) + len(known) <= room:
                    continue
                known = known[: max(0, room + 1 - len(inside))]
                counted = inside[: room + 1 - len(known)]
                wrong = {
                    c: one.trait.kinds[kind ^ its ^ colour] & domains[c] for c, its in one.colour.items()
                }
                removes = {c: gone for c, gone in wrong.items() if gone and not position.placed[c]}
                if removes:
                    build = partial(self._step, position, one, (index, held, counted, known), removes)
                    yield Find({}, removes, build)
                    return

    def _step(
        self,
        position: Position,
        one: Coloured,
        why: tuple[int, int, list[int], list[int]],
        removes: Mapping[int, int],
        wanted: Mapping[int, int],
    ) -> Step:
        index, held, counted, known = why
        asked = [cell for cell in removes if removes[cell] & wanted.get(cell, 0)] or list(removes)
        # Those that are counted anyway first; what is left out is told when it is asked for.
        told = sorted(asked, key=lambda cell: (cell not in counted, cell))[:MOST]
        evidence = Evidence(position, {self.frame.houses[index][1], *one.joining([*counted, *told])})
        for cell in known:
            evidence.need(cell, self.frame.full & ~held)
        gone = {cell: removes[cell] for cell in told}
        return Step("colouring", evidence.reason(), removes=gone, house=index, digits=held)
