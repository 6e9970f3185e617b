"""
What one primitive of a certificate shows: the links that a chain is made of.

A *move* is a primitive to look at; what follows from it is drawn as links, from the same digits once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations
from operator import itemgetter

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent, Automaton, Regular, automaton, digits_of
from saywhy.reasoning.frame import Held
from saywhy.reasoning.words.links import Link
from saywhy.reasoning.words.scene import Scene

#: Nodes for one question to the native core.
NODES = 400
#: Cells that share as many digits as they are, at most.
LARGEST_SET = 4


@dataclass(slots=True)
class Drawn:
    """
    A link with the cells whose knowledge it used and those that it changed.

    Attributes:
        silent: Whether it is seen at sight and goes without saying.
        move: What it was drawn from; None for sight.
    """

    link: Link
    used: frozenset[int]
    changed: frozenset[int]
    silent: bool = False
    move: Move | None = None


@dataclass(frozen=True)
class Move:
    """
    A primitive with what the certificate says differs among its cells; or cells that all differ.

    Attributes:
        source: The clue, house or rule.
        ids: What the native core is asked about.
        cells: The cells it speaks of.
        primitive: The clue's primitive.
        house: The index of a whole house.
        apart: Whether it says that the cells differ.
        shared: For a clue within a house, those of its cells that are in the house.
        reads: The cells whose digits matter to it.
        number: Its place among the moves.
    """

    source: Source
    ids: tuple[int, ...]
    cells: tuple[int, ...]
    primitive: object = None
    house: int | None = None
    apart: bool = False
    shared: tuple[int, ...] = ()
    reads: tuple[int, ...] = ()
    number: int = 0


class Drawer:
    """
    Draws what follows from the moves of one certificate.

    Attributes:
        scene: The step with its certificate.
        moves: What there is to look at.
        supposed: The cell of a supposition, where it is one cell; links that break say so.
    """

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.frame = scene.frame
        self.moves = _moves(scene)
        self.supposed: frozenset[int] = frozenset()
        #: For each move what gives the domains that it reads; a look-up here is the commonest of all calls.
        self._reads: list[Callable[[Sequence[int]], object]] = [
            itemgetter(*(move.reads or (0,))) for move in self.moves
        ]
        self._drawn: dict[tuple[int, str, frozenset[int], object], list[Drawn]] = {}

    def draw(self, move: Move, domains: Sequence[int], kind: str = "") -> list[Drawn]:
        """Give what follows from one move; where a kind of thought is given, by that alone."""
        key = (move.number, kind, self.supposed, self._reads[move.number](domains))
        found = self._drawn.get(key)
        if found is None:
            if move.apart:
                kinds = (("house", self._house), ("set", self._sets), ("hidden", self._hidden))
                found = [one for name, draw in kinds if kind in ("", name) for one in draw(move, domains)]
            else:
                found = list(self._clue(move, domains))
            self._drawn[key] = found
        return found

    def _clue(self, move: Move, domains: Sequence[int]) -> Iterator[Drawn]:
        """What a clue shows, with the digits that it must hold where it lies in a house."""
        must = self._must(move, domains) if move.shared else 0
        if move.shared and not must:
            return
        after, _ = self.frame.model.shows(move.ids, domains, NODES)
        full = self.scene.full
        if must:
            plain = after
            holding = Regular(move.shared, _holding(tuple(digits_of(must)), len(move.shared), self.scene.n))
            extra = self.frame.derive(holding, [self.frame.houses[move.house or 0][1]])
            after, _ = self.frame.model.shows([*move.ids, extra.id], domains, NODES)
            if after == plain:
                return
        used = frozenset(cell for cell in move.cells if domains[cell] != full)
        if move.house is not None and must:
            used |= frozenset(self.frame.houses[move.house][0].cells) - frozenset(move.shared)
        if any(not after[cell] for cell in move.cells):
            if must and not must & (must - 1):
                return  # The house says so itself, once the clue has no cell for the digit.
            known = {cell: domains[cell] for cell in move.cells}
            link = Link(
                move.source,
                house=move.house,
                breaks=True,
                known=known,
                primitive=move.primitive,
                must=must,
                supposed=self.supposed,
            )
            yield Drawn(link, used, frozenset(), move=move)
            return
        left = {cell: after[cell] for cell in move.cells if after[cell] != domains[cell]}
        if left:
            lost = {cell: domains[cell] & ~mask for cell, mask in left.items()}
            link = Link(move.source, left, move.house, lost=lost, must=must)
            yield Drawn(link, used, frozenset(left), move=move)

    def _must(self, move: Move, domains: Sequence[int]) -> int:
        """Give the digits of a house that find a place only where a clue lies in it, none of them placed."""
        assert move.house is not None
        inside = outside = placed = 0
        for cell in self.frame.houses[move.house][0].cells:
            mask = domains[cell]
            if cell in move.shared:
                inside |= mask
                if not mask & (mask - 1):
                    placed |= mask
            else:
                outside |= mask
        must = inside & ~outside & ~placed
        return must if must.bit_count() <= len(move.shared) else 0

    def _house(self, move: Move, domains: Sequence[int]) -> Iterator[Drawn]:
        """The only place of a digit in a whole house, or none."""
        if move.house is None:
            return
        used = frozenset(move.cells)
        seen = many = 0
        for cell in move.cells:
            many |= seen & domains[cell]
            seen |= domains[cell]
        for digit in digits_of(self.scene.full & ~seen):
            link = Link(move.source, house=move.house, digit=digit, breaks=True)
            yield Drawn(link, used, frozenset(), move=move)
        only: dict[int, int] = {}
        for digit in digits_of(seen & ~many):
            bit = 1 << (digit - 1)
            cell = next(cell for cell in move.cells if domains[cell] & bit)
            if cell in only:
                both = (only[cell], digit)
                link = Link(move.source, house=move.house, breaks=True, both=both, empty=cell)
                yield Drawn(link, used, frozenset(), move=move)
            only[cell] = digit
            if domains[cell] != bit:
                lost = {cell: domains[cell] & ~bit}
                link = Link(move.source, {cell: bit}, house=move.house, digit=digit, lost=lost)
                yield Drawn(link, used - {cell}, frozenset({cell}), move=move)

    def _sets(self, move: Move, domains: Sequence[int]) -> Iterator[Drawn]:
        """Cells that share as many digits as they are: no other cell has these."""
        for size in range(2, LARGEST_SET + 1):
            few = [
                cell
                for cell in move.cells
                if domains[cell].bit_count() <= size and domains[cell] & (domains[cell] - 1)
            ]
            for cells in combinations(few, size):
                union = 0
                for cell in cells:
                    union |= domains[cell]
                count = union.bit_count()
                if count > size:
                    continue
                used = frozenset(cells)
                if count < size:
                    link = Link(move.source, breaks=True, known=dict.fromkeys(cells, union), primitive="set")
                    yield Drawn(link, used, frozenset(), move=move)
                    return
                left = {
                    cell: domains[cell] & ~union
                    for cell in move.cells
                    if cell not in used and domains[cell] & union
                }
                if not left:
                    continue
                empty = next((cell for cell, mask in left.items() if not mask), None)
                if empty is not None:
                    known = dict.fromkeys(cells, union)
                    link = Link(move.source, breaks=True, known=known, empty=empty, primitive="set")
                    yield Drawn(link, used | {empty}, frozenset(), move=move)
                    return
                lost = {cell: domains[cell] & union for cell in left}
                known = dict.fromkeys(cells, union)
                link = Link(move.source, left, known=known, primitive="set", lost=lost)
                yield Drawn(link, used, frozenset(left), move=move)

    def _hidden(self, move: Move, domains: Sequence[int]) -> Iterator[Drawn]:
        """Digits of a whole house with as many places as they are: these cells hold nothing else."""
        if move.house is None:
            return
        places: dict[int, int] = {}
        for place, cell in enumerate(move.cells):
            mask = domains[cell]
            if mask & (mask - 1):
                for digit in digits_of(mask):
                    places[digit] = places.get(digit, 0) | 1 << place
        for size in (2, 3, 4):
            few = [digit for digit, held in places.items() if held.bit_count() <= size]
            for digits in combinations(few, size):
                union = 0
                for digit in digits:
                    union |= places[digit]
                mask = sum(1 << (digit - 1) for digit in digits)
                cells = [cell for place, cell in enumerate(move.cells) if union >> place & 1]
                if union.bit_count() < size:
                    known = dict.fromkeys(cells, mask)
                    link = Link(move.source, {}, move.house, breaks=True, known=known, primitive="hidden")
                    yield Drawn(link, frozenset(move.cells), frozenset(), move=move)
                    return
                if union.bit_count() > size:
                    continue
                left = {cell: domains[cell] & mask for cell in cells if domains[cell] & ~mask}
                if not left:
                    continue
                lost = {cell: domains[cell] & ~mask for cell in left}
                link = Link(
                    move.source,
                    left,
                    move.house,
                    known=dict.fromkeys(cells, mask),
                    primitive="hidden",
                    lost=lost,
                )
                used = frozenset(cell for cell in move.cells if cell not in cells)
                yield Drawn(link, used, frozenset(left), move=move)


def kind_of(step: Drawn) -> str:
    """Give the kind of thought by which cells that all differ were looked at."""
    kind = step.link.primitive
    return kind if isinstance(kind, str) else "house"


def _moves(scene: Scene) -> list[Move]:
    frame = scene.frame
    moves: list[Move] = []
    apart = [held for held in scene.helds if isinstance(held.primitive, AllDifferent)]
    indexes = {source: index for index, (_, source) in enumerate(frame.houses)}
    for held in scene.helds:
        (source, *_) = held.sources
        if isinstance(held.primitive, AllDifferent):
            whole = len(held.cells) == scene.n and source in indexes
            moves.append(Move(source, (), held.cells, None, indexes[source] if whole else None, apart=True))
            continue
        beside = _restricted(scene, apart, set(held.cells))
        ids = (held.id, *(h.id for h in beside))
        moves.append(Move(source, ids, held.cells, held.primitive))
        for house in apart:
            (of_house, *_) = house.sources
            shared = tuple(cell for cell in held.cells if cell in house.cells)
            if len(house.cells) == scene.n and of_house in indexes and 1 < len(shared) < scene.n:
                moves.append(Move(source, ids, held.cells, held.primitive, indexes[of_house], shared=shared))
    return [replace(move, number=number, reads=_reads(scene, move)) for number, move in enumerate(moves)]


def _reads(scene: Scene, move: Move) -> tuple[int, ...]:
    if not move.shared or move.house is None:
        return move.cells
    return tuple({*move.cells, *scene.frame.houses[move.house][0].cells})


@lru_cache(maxsize=256)
def _holding(digits: tuple[int, ...], count: int, size: int) -> Automaton:
    """Give the automaton that reads so many digits with all of these among them."""

    def step(state: frozenset[int], digit: int) -> frozenset[int]:
        return state - {digit}

    return automaton(count, size, frozenset(digits), step, lambda state: not state)


def _restricted(scene: Scene, apart: list[Held], cells: set[int]) -> list[Held]:
    found = []
    for held in apart:
        shared = tuple(cell for cell in held.cells if cell in cells)
        if len(shared) >= 2:
            found.append(
                held
                if len(shared) == len(held.cells)
                else scene.frame.derive(AllDifferent(shared), held.sources)
            )
    return found
