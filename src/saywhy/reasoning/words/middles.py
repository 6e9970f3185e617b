"""A cell between two marks, or within a line: it needs two different partners, and few digits have them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from saywhy.primitives import AllDifferent, Linear, Pair, digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.pairs import Tie, either
from saywhy.reasoning.words.plan import Plan, Ref, it, join, say
from saywhy.reasoning.words.results import conclusion, enough
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck

#: Digits of the middle cell that are listed at most, and of these so many with their partners.
KEPT, SHOWN = 4, 2


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step at two marks that share a cell, where its other neighbours differ."""
    ties = _ties(scene)
    if ties is None:
        return
    one, other = ties
    middle = one.target
    if (
        not set(scene.results) <= {middle, one.known, other.known}
        or scene.differ(one.known, other.known) is None
    ):
        return
    ways: dict[int, list[tuple[int, int]]] = {}
    for digit in scene.digits(middle):
        sides = [digits_of(tie.partners(digit) & scene.domain(tie.known)) for tie in ties]
        found = [(a, b) for a in sides[0] for b in sides[1] if a != b]
        if found:
            ways[digit] = found
    shown = {middle: 0, one.known: 0, other.known: 0}
    for digit, found in ways.items():
        shown[middle] |= 1 << (digit - 1)
        for a, b in found:
            shown[one.known] |= 1 << (a - 1)
            shown[other.known] |= 1 << (b - 1)
    if not enough(scene, {cell: shown[cell] for cell in scene.results}):
        return
    yield from _told(scene, ties, ways)


def on_line(scene: Scene, ties: Sequence[Tie], where: str) -> Iterator[Plan]:
    """
    Give the plans of a step at one line that relates neighbours, where both neighbours of a cell differ.

    Args:
        scene: The scene.
        ties: The relations, both ways round.
        where: Where the partner of a cell stands.
    """
    beside: dict[int, list[Tie]] = {}
    for tie in ties:
        beside.setdefault(tie.target, []).append(tie)
    shown: dict[int, int] = {}
    middles: dict[int, list[int]] = {}
    for cell in scene.results:
        own = beside.get(cell, [])
        apart = len(own) == 2 and scene.differ(own[0].known, own[1].known) is not None
        shown[cell] = 0
        for digit in scene.digits(cell):
            sides = [digits_of(tie.partners(digit) & scene.domain(tie.known)) for tie in own]
            if not all(sides):
                continue
            if apart and len(sides[0]) == 1 and sides[0] == sides[1]:
                middles.setdefault(cell, []).append(digit)
                continue
            shown[cell] |= 1 << (digit - 1)
    if not middles or len(middles) > SHOWN or not enough(scene, shown):
        return
    lacking = {cell: [d for d in scene.digits(cell) if not shown[cell] >> (d - 1) & 1] for cell in middles}
    if len({tuple(digits) for digits in lacking.values()}) > 1:
        return
    (gone, *_) = lacking.values()
    cells = {c for cell in scene.results for tie in beside[cell] for c in (cell, tie.known)}
    lead = Struck(scene, sorted(cells)).opener(sorted(cells))
    these = scene.names.cells(sorted(middles), "result")
    lit = Ref("", "", tuple(sorted({tie.known for cell in middles for tie in beside[cell]})), "look")
    there = "beside it" if len(middles) == 1 else "beside them"
    needs = say(
        "{} {} two different partners {}{}, and {} {} them",
        these,
        these.verb("needs", "each need"),
        there if where == "next to it" else where,
        lit,
        grammar.listed(gone),
        "lacks" if len(gone) == 1 else "lack",
    )
    end = conclusion(scene, shown)
    look = tuple(sorted({tie.target for tie in ties}))
    brief = say("{}.", end)
    others = {
        cell: [d for d in scene.digits(cell) if not mask >> (d - 1) & 1]
        for cell, mask in shown.items()
        if cell not in middles
    }
    if not all(others.values()):
        return
    if others:
        parts = [say("{} in {}", either(digits), scene.names.cells([c])) for c, digits in others.items()]
        also = say("nor has {} a partner", join(parts, "or"))
        yield Plan((*lead, needs, say("{}, so {}", also, end)), brief, look)
        yield Plan((*lead, needs, say("{}, so all of those go", also)), brief, look)
        return
    seen = any(scene.step.removes.get(cell, 0) & ~scene.domain(cell) for cell in middles)
    if scene.step.removes.keys() == middles.keys() and not scene.step.places and not seen:
        none = "none of those" if len(gone) > 1 else f"no {gone[0]}"
        end = say("{} {} {}", it(these), these.verb("has", "have"), none)
    for tail in ([say("{}, so {}", needs, end)], [needs, say("so {}", end)]):
        yield Plan((*lead, *tail), brief, look)


def _told(scene: Scene, ties: tuple[Tie, Tie], ways: dict[int, list[tuple[int, int]]]) -> Iterator[Plan]:
    one, other = ties
    cells = (one.known, one.target, other.known)
    gone = [digit for digit in scene.digits(one.target) if digit not in ways]
    lead = Struck(scene, cells).opener(cells)
    this = scene.names.cells([one.target], "result" if one.target in scene.results else "look")
    lit = Ref("", "", (one.known, other.known), "look")
    kept = grammar.listed(list(ways))
    if len(ways) <= KEPT:
        few = say("and only {} {}", kept, "has them" if len(ways) == 1 else "have them")
    elif 1 <= len(gone) <= KEPT:
        few = say("and {} {} them", grammar.listed(gone), "lacks" if len(gone) == 1 else "lack")
    else:
        return
    needs = say("{} needs two different partners across {}{}, {}", this, _marks(scene), lit, few)
    end = conclusion(scene, scene.results)
    brief = say("{}.", end)
    look = tuple(sorted(cells))
    if set(scene.results) <= {one.target}:
        none = say("{} has {}", it(this), "none of those" if len(gone) > 1 else f"no {gone[0]}")
        known = not scene.step.removes.get(one.target, 0) & ~scene.domain(one.target)
        tail = [] if len(ways) <= KEPT else [say("so {}", none)] if known else [say("so {}", end)]
        if tail:
            yield Plan((*lead, say("{}, {}", needs, tail[0])), brief, look)
        yield Plan((*lead, needs, *tail), brief, look)
        return
    if len(ways) <= SHOWN:
        between = [
            say("{} between {}", digit, grammar.listed(sorted({d for way in found for d in way})))
            for digit, found in ways.items()
            if len({frozenset(way) for way in found}) == 1
        ]
        if len(between) == len(ways):
            yield Plan((*lead, needs, say("{}, so {}", join(between), end)), brief, look)
    yield Plan((*lead, needs, say("so {}", end)), brief, look, vague=0.3)


def _marks(scene: Scene) -> str:
    """Name the two marks of the middle cell: "its two dots", "its X and its V"."""
    nouns = [scene.names.phrases(source).noun.split(" with ")[0] for source in scene.clue_sources]
    if all(noun.endswith("dot") for noun in nouns):
        return "its two dots"
    return (
        f"its {nouns[0]} and its {nouns[1]}" if nouns[0] != nouns[1] else f"its two {grammar.s(nouns[0], 2)}"
    )


def _ties(scene: Scene) -> tuple[Tie, Tie] | None:
    """Give the relations of both clues read towards the cell that they share; None where they are others."""
    found: list[Tie] = []
    for source in scene.clue_sources:
        helds = [h for h in scene.frame.of(source) if not isinstance(h.primitive, AllDifferent)]
        tie = _tie(helds[0].primitive, scene.n) if len(helds) == 1 else None
        if tie is None:
            return None
        found.append(tie)
    if len(found) != 2:
        return None
    for one in (found[0], found[0].turned):
        for other in (found[1], found[1].turned):
            if one.target == other.target and one.known != other.known:
                return one, other
    return None


def _tie(primitive: object, size: int) -> Tie | None:
    """Give a relation of two cells, or a printed total of two cells as one."""
    if isinstance(primitive, Pair):
        return Tie(primitive.a, primitive.b, primitive.table)
    if isinstance(primitive, Linear) and tuple(primitive.coefficients) == (1, 1):
        total = primitive.total
        table = tuple(1 << (total - d - 1) if 1 <= total - d <= size else 0 for d in range(1, size + 1))
        one, other = primitive.cells
        return Tie(one, other, table)
    return None
