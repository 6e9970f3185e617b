"""
One inference in a clause: what happens next in a story, or what breaks there.

A link says its conclusion and hardly why: the listener sees the clue that it lights.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent, Linear, Pair, digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.names import Names
from saywhy.reasoning.words.plan import Phrase, Ref, join, say
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import says
from saywhy.reasoning.words.ways import makings
from saywhy.rule import ClueRule


@dataclass(frozen=True)
class Link:
    """
    One inference.

    Attributes:
        source: The clue, house or rule that it is drawn from; None for sight alone.
        left: For each cell concluded on, the digits left.
        house: For a house, its index in ``frame.houses``.
        digit: For a house's only place, the digit.
        breaks: Whether it ends in a contradiction.
        clash: For a contradiction at sight, two cells that would both hold ``digit``.
        empty: For a contradiction in one cell, that cell.
        known: For a break at a clue, what its cells hold by then.
        primitive: The primitive that it is drawn from, where there is one.
        last: Whether the digit is the last that the house lacks.
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


def clause(scene: Scene, link: Link) -> Phrase:
    """Say a link: "the circle is then 7", "this box has nowhere for its 4"."""
    if link.breaks:
        return broken(scene, link)
    if link.house is not None and link.digit:
        (cell,) = link.left
        source = scene.frame.houses[link.house][1]
        if link.last:
            return say(
                "{} is left with its {} {}",
                _far(scene, link.house),
                link.digit,
                scene.names.spot(cell, source),
            )
        return say(
            "the {} of {} goes {}", link.digit, _far(scene, link.house), scene.names.spot(cell, source)
        )
    parts = []
    for cells, mask in _groups(link.left):
        ref = _ref(scene, link, cells)
        parts.append(say("{} {}", ref, _verdict(scene, cells, mask, many=ref.many)))
    return join(parts)


def of_step(scene: Scene) -> Link:
    """Give a step as a link."""
    step = scene.step
    sources = sorted(scene.sources, key=lambda source: (source.kind != "clue", source))
    clue = next((source for source in sources if source.kind == "clue"), None)
    if step.breaks:
        if step.focus is not None and step.idea == "only digit":
            return Link(breaks=True, empty=step.focus)
        if step.house is not None:
            return Link(house=step.house, digit=step.digits.bit_length(), breaks=True)
        cells = {cell for held in scene.helds for cell in held.cells}
        known = {cell: scene.domain(cell) for cell in cells}
        primitive = (
            next(
                (
                    held.primitive
                    for held in scene.frame.of(clue)
                    if not isinstance(held.primitive, AllDifferent)
                ),
                None,
            )
            if clue
            else None
        )
        one = (
            clue is not None
            and sum(not isinstance(h.primitive, AllDifferent) for h in scene.frame.of(clue)) == 1
        )
        return Link(
            clue, known, breaks=True, known=known if one else {}, primitive=primitive if one else None
        )
    if step.idea in ("only place", "last digit") and step.house is not None:
        left = {cell: 1 << (digit - 1) for cell, digit in step.places.items()}
        return Link(
            None, left, house=step.house, digit=step.digits.bit_length(), last=step.idea == "last digit"
        )
    return Link(clue if len(scene.clue_sources) == 1 else None, dict(scene.results))


def _far(scene: Scene, index: int) -> Ref:
    """Name a house that need not be lit: a box by its place on the board."""
    _, source = scene.frame.houses[index]
    return scene.names.house(source, () if source.kind == "house" else scene.frame.houses[index][0].cells)


def _groups(left: Mapping[int, int]) -> list[tuple[tuple[int, ...], int]]:
    found: dict[int, list[int]] = {}
    for cell, mask in left.items():
        found.setdefault(mask, []).append(cell)
    return sorted(
        ((tuple(sorted(cells)), mask) for mask, cells in found.items()),
        key=lambda item: (item[1].bit_count(), item[0]),
    )


def _verdict(scene: Scene, cells: tuple[int, ...], mask: int, *, many: bool) -> str:
    left = digits_of(mask)
    if len(cells) > 1 and len(left) == len(cells) and scene.different(cells):
        return f"{'are' if many else 'is'} {grammar.listed(left)}"
    return says(mask, scene.full, many=many)


def _ref(scene: Scene, link: Link, cells: tuple[int, ...]) -> Ref:
    if link.source is not None and link.source.kind == "clue":
        return scene.names.within(scene.clue(link.source), cells, "look")
    return scene.names.cells(cells, "look")


def broken(scene: Scene, link: Link) -> Phrase:  # noqa: PLR0911 - a list of cases
    """Say what cannot be."""
    names = scene.names
    if link.clash is not None:
        a, b = link.clash
        source = scene.differ(a, b)
        two = names.called(link.clash, "these two", many=True)
        if source is not None and source.kind == "house":
            kind = names.region if source.name.startswith("region") else source.name
            return say(
                "{} would both be {} in one {}",
                two,
                link.digit,
                kind.split()[0] if kind != names.region else kind,
            )
        return say("{} would both be {}, and they see each other", two, link.digit)
    if link.house is not None:
        return say("{} has nowhere left for its {}", _far(scene, link.house), link.digit)
    if link.empty is not None:
        return say("nothing is left for {}", names.cells([link.empty]))
    if link.source is not None and link.source.kind == "clue":
        return _clue_breaks(scene, link, scene.clue(link.source), names)
    houses = [source for source in sorted(scene.sources) if source.kind == "house"]
    if houses:
        return say("{} can't be filled any more", names.house(houses[0]))
    return say("that cannot be filled any more")


def _clue_breaks(scene: Scene, link: Link, clue: ClueRule, names: Names) -> Phrase:
    assert link.source is not None
    whole = names.clue(link.source)
    primitive = link.primitive
    if isinstance(primitive, Linear) and link.known:
        said = _sum_breaks(scene, link, clue, primitive)
        if said:
            return said
    if isinstance(primitive, Pair) and link.known:
        a, b = link.known.get(primitive.a, scene.full), link.known.get(primitive.b, scene.full)
        if a.bit_count() == 1 and b.bit_count() == 1:
            x, y = a.bit_length(), b.bit_length()
            return say("{} would hold {} and {}", whole, x, y)
        for mask, cell, other in ((a, primitive.a, primitive.b), (b, primitive.b, primitive.a)):
            if mask.bit_count() == 1:
                return say("nothing fits {} beside the {}", names.cells([other]), mask.bit_length())
            del cell
    return say("{} {} no way left", whole, whole.verb("has", "have"))


def _sum_breaks(scene: Scene, link: Link, clue: ClueRule, linear: Linear) -> Phrase:  # noqa: PLR0911, PLR0912 - a list of cases
    """Say how a sum fails: what it or a cell would have to be, or how far its sides are apart."""
    names = scene.names
    plus = [c for c, w in zip(linear.cells, linear.coefficients, strict=True) if w == 1]
    minus = [c for c, w in zip(linear.cells, linear.coefficients, strict=True) if w == -1]
    if len(plus) + len(minus) != len(linear.cells):
        return ()
    known = link.known

    def low(cells: list[int]) -> int:
        return sum((known[c] & -known[c]).bit_length() for c in cells)

    def high(cells: list[int]) -> int:
        return sum(known[c].bit_length() for c in cells)

    assert link.source is not None
    whole = names.clue(link.source)
    free = [c for c in linear.cells if known[c] & (known[c] - 1)]
    if not free and not minus:
        return say("{} would make {}", whole, low(plus))
    if not minus:
        if high(plus) < linear.total:
            return say("{} makes {} at most", whole, high(plus))
        if low(plus) > linear.total:
            return say("{} makes {} at least", whole, low(plus))
        return _would(scene, clue, free, linear.total - low([c for c in plus if c not in free])) or say(
            "{} has no way to make {}", whole, linear.total
        )
    if linear.total:
        return ()
    a, b = names.within(clue, plus), names.within(clue, minus)
    if not free:
        if len(plus) > 1:
            return say("{} would make {} and {} {}", a, low(plus), b, low(minus))
        return say("{} would make {}, not {}", b, low(minus), low(plus))
    if low(plus) > high(minus):
        return say("{} {} at least {} and {} {} at most", a, _makes(a, plus), low(plus), b, high(minus))
    if low(minus) > high(plus):
        return say("{} {} at least {} and {} {} at most", b, _makes(b, minus), low(minus), a, high(plus))
    own = [c for c in free if c in plus]
    if not own or len(own) == len(free):
        mine, other = (plus, minus) if own else (minus, plus)
        said = _would(scene, clue, free, low(other) - low([c for c in mine if c not in free]))
        if said:
            return said
    one_a, one_b = [c for c in free if c in plus], [c for c in free if c in minus]
    if len(one_a) == len(one_b) == 1:
        gap = low([c for c in minus if c not in free]) - low([c for c in plus if c not in free])
        first, second = (one_a, one_b) if gap >= 0 else (one_b, one_a)
        x, y = names.within(clue, first), names.within(clue, second)
        if not gap:
            return say("{} and {} would have to be equal", x, y)
        return say("{} would have to be {} more than {}", x, abs(gap), y)
    return say("{} and {} can't be made equal", a, b)


def _would(scene: Scene, clue: ClueRule, free: list[int], need: int) -> Phrase:
    """Say what the free cells would have to make or to be."""
    if set(free) >= set(clue.scope):
        return ()
    ref = scene.names.within(clue, free)
    if len(free) == 1:
        return say("{} would have to be {}", ref, need) if need > 0 else ()
    if need <= 0:
        return ()
    ways = makings(len(free), need, scene.n, scene.different(free))
    if len(ways) == 1:
        return say("{} would have to be {}", ref, grammar.listed(ways[0]))
    if len(ways) == 2 and len(free) == 2:
        return say("{} would have to be {}", ref, grammar.listed([grammar.listed(way) for way in ways], "or"))
    return say("{} would have to make {}", ref, need)


def _makes(ref: Ref, cells: list[int]) -> str:
    return ref.verb("is", "are") if len(cells) == 1 else ref.verb("makes", "make")


def empty_end(phrase: Phrase) -> bool:
    """Say whether an end names no digit and no sum: it would only repeat that the clue fails."""
    return any(
        isinstance(piece, str) and ("no way left" in piece or "made equal" in piece) for piece in phrase
    )
