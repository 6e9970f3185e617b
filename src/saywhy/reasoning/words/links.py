"""One inference of a story: from what, what it leaves, or what breaks there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent, Pair, digits_of
from saywhy.reasoning.words.plan import Ref
from saywhy.reasoning.words.scene import Scene


@dataclass(slots=True)
class Link:
    """
    One inference.

    Attributes:
        source: The clue, house or rule that it is drawn from; None for sight alone.
        left: For each cell concluded on, the digits left.
        house: For a house, its index in ``frame.houses``; with ``must`` the house of those digits.
        digit: For a house's only place, the digit.
        breaks: Whether it ends in a contradiction.
        clash: For a contradiction at sight, two cells that would both hold ``digit``.
        empty: For a contradiction in one cell, that cell.
        known: For a break at a clue, what its cells hold by then; for cells that share as many digits as
            they are, those digits.
        primitive: The primitive that it is drawn from, where there is one; "set" for such cells, "hidden" for
            digits with as many cells as they are.
        last: Whether the digit is the last that the house lacks.
        both: For a contradiction in one cell, the two digits that it would be.
        between: For a contradiction in one cell, two masks of digits that it would have to be of at once.
        seen: For a contradiction in one cell, the digits left to it by a mark, all of which it sees by then.
        must: For a clue, the digits of the house that find a place within it alone.
        supposed: The cell that a story supposes something of.
        lost: For each cell concluded on, the digits that matter of those struck out.
    """

    source: Source | None = None
    left: Mapping[int, int] = field(default_factory=dict)
    house: int | None = None
    digit: int = 0
    breaks: bool = False
    clash: tuple[int, int] | None = None
    empty: int | None = None
    known: Mapping[int, int] = field(default_factory=dict)
    primitive: object = None
    last: bool = False
    both: tuple[int, ...] = ()
    between: tuple[int, int] = (0, 0)
    seen: int = 0
    must: int = 0
    supposed: frozenset[int] = frozenset()
    lost: Mapping[int, int] = field(default_factory=dict)


def of_step(scene: Scene) -> Link:
    """Give a step as a link."""
    step = scene.step
    sources = sorted(scene.sources, key=lambda source: (source.kind != "clue", source))
    clue = next((source for source in sources if source.kind == "clue"), None)
    if step.breaks:
        if step.focus is not None and step.idea == "only digit":
            return Link(breaks=True, empty=step.focus, seen=_seen(scene, step.focus))
        if step.house is not None:
            return Link(house=step.house, digit=step.digits.bit_length(), breaks=True)
        known = {cell: scene.domain(cell) for held in scene.helds for cell in held.cells}
        primitives = [
            held.primitive
            for held in (scene.frame.of(clue) if clue else ())
            if not isinstance(held.primitive, AllDifferent)
        ]
        pairs = [primitive for primitive in primitives if isinstance(primitive, Pair)]
        if pairs and len(pairs) == len(primitives) > 1:
            met = _met(pairs, known)
            return Link(clue, known, breaks=True, known=known, primitive=met)
        one = primitives[0] if len(primitives) == 1 else None
        return Link(clue, known, breaks=True, known=known if one else {}, primitive=one)
    if step.idea in ("only place", "last digit") and step.house is not None:
        left = {cell: 1 << (digit - 1) for cell, digit in step.places.items()}
        return Link(
            None, left, house=step.house, digit=step.digits.bit_length(), last=step.idea == "last digit"
        )
    source = clue if len(scene.clue_sources) == 1 else None
    return Link(source, dict(scene.results), lost=step.struck(scene.full))


def _met(pairs: Sequence[Pair], known: dict[int, int]) -> Pair | None:
    """Follow relations from cell to cell to the one that fails; what is known is narrowed on the way."""
    news = True
    while news:
        news = False
        for pair in pairs:
            a, b = known[pair.a], known[pair.b]
            there = 0
            for digit in digits_of(a):
                there |= pair.table[digit - 1]
            if not there & b:
                return pair
            back = sum(1 << place for place, row in enumerate(pair.table) if row & b and a >> place & 1)
            if (back, there & b) != (a, b):
                known[pair.a], known[pair.b], news = back, there & b, True
    return None


def far(scene: Scene, index: int) -> Ref:
    """Name a house that need not be lit: a box by its place on the board."""
    _, source = scene.frame.houses[index]
    return scene.names.house(source, () if source.kind == "house" else scene.frame.houses[index][0].cells)


def _seen(scene: Scene, cell: int) -> int:
    """Give the two or more digits that a cell's mark left it, where it sees every one of them; else 0."""
    left = scene.facts.get(cell, scene.full)
    if left.bit_count() < 2:
        return 0
    for sight in scene.sights(cell):
        if sight.struck == 1 << (sight.digit - 1):
            left &= ~sight.struck
    return 0 if left else scene.marks.get(cell, scene.full)
