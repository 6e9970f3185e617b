"""What breaks at the end of a story, and why: "the line makes at least 12 and the circles 9 at most"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import reduce
from operator import or_

from saywhy.engine.constraints import Source
from saywhy.primitives import Linear, Pair, digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.failing import FailingSum, gone, one, would_be
from saywhy.reasoning.words.links import Link, far
from saywhy.reasoning.words.plan import Phrase, Ref, say, spoken
from saywhy.reasoning.words.scene import Scene
from saywhy.rule import ClueRule
from saywhy.thoughts import Said

_DIGIT = re.compile(r"\d")
#: How a clause says no more of a cell than that its digits do not fit.
_AGAIN = re.compile(r"would have to be|\bleft for\b|\blies between\b")
#: Digits named at most of a cell that has none left.
MANY = 4


def broken(scene: Scene, link: Link) -> Phrase:  # noqa: PLR0911 - a list of cases
    """Say what cannot be."""
    if link.clash is not None:
        return _clash(scene, link.clash, link.digit)
    if link.house is not None and not link.must:
        return _house(scene, link, link.house)
    if link.primitive == "set":
        return _set(scene, link)
    if link.empty is not None:
        return _empty(scene, link, link.empty)
    if link.source is not None and link.source.kind == "clue":
        return _clue(scene, link, link.source)
    if isinstance(link.primitive, Pair) and link.known and (said := _pair(scene, link, link.primitive)):
        return said
    houses = [source for source in sorted(scene.sources) if source.kind == "house"]
    return say("{} can't be filled any more", scene.names.house(houses[0]) if houses else "that")


def pointed(scene: Scene, clue: ClueRule, said: Said) -> Phrase:
    """Give what a rule says, its cells pointed at."""
    return tuple(piece if isinstance(piece, str) else scene.names.within(clue, piece) for piece in said)


def _again(why: Said, supposed: frozenset[int]) -> bool:
    """Say whether a reason is the conclusion over again: what the cell supposed would have to be."""
    for piece in why:
        if not isinstance(piece, str):
            return set(piece) <= supposed and any(isinstance(p, str) and _AGAIN.search(p) for p in why)
        if _DIGIT.search(piece):
            return False
    return False


def is_empty(phrase: Phrase) -> bool:
    """Say whether an end names no digit and no sum: it would only repeat that the clue fails."""
    said = spoken(phrase)
    return "no way left" in said or "some digit twice" in said


def _clash(scene: Scene, cells: tuple[int, int], digit: int) -> Phrase:
    source = scene.differ(*cells)
    two = scene.names.called(cells, "these two", many=True)
    if source is not None and source.kind != "rule":
        return say("{} would both be {} in {}", two, digit, one(scene, source))
    return say("{} would both be {}, and they see each other", two, digit)


def _house(scene: Scene, link: Link, index: int) -> Phrase:
    house = far(scene, index)
    if link.primitive == "hidden":
        digits = grammar.listed(digits_of(next(iter(link.known.values()))))
        count = len(link.known)
        few = f"only {grammar.count(count)} {grammar.s('cell', count)}"
        ref = scene.names.called(sorted(link.known), few)
        return say("{} has {} left for its {}", house, replace(ref, written=f"only {ref.written}"), digits)
    if link.empty is not None:
        return say("{} has one cell left for its {} and {}", house, *link.both)
    return say("{} has nowhere left for its {}", house, link.digit)


def _set(scene: Scene, link: Link) -> Phrase:
    """Cells that share too few digits, or that leave none to another cell."""
    cells = tuple(sorted(link.known))
    digits = grammar.listed(digits_of(next(iter(link.known.values()))))
    ref = scene.names.cells(cells)
    if link.empty is None:
        return say("{} would share only {}", ref, digits)
    return say("{} are {}, which leaves nothing for {}", ref, digits, scene.names.cells([link.empty]))


def _empty(scene: Scene, link: Link, cell: int) -> Phrase:
    this = scene.names.cells([cell])
    if link.both:
        return say("{} would be both {} and {}", this, *link.both)
    if link.seen == scene.full:
        return say("{} sees every digit", this)
    if link.seen:
        digits = digits_of(link.seen)
        if len(digits) >= MANY:
            return say("{} sees all the digits that it had left", this)
        every = "both" if len(digits) == 2 else f"all {grammar.count(len(digits))} of"
        return say("{} sees {} its digits, {}", this, every, grammar.listed(digits))
    had, gets = (digits_of(mask) for mask in link.between)
    if had and gets and len(had) + len(gets) <= MANY:
        return say("{} would be {} and also {}", this, grammar.digits(had), grammar.digits(gets))
    return say("nothing is left for {}", this)


def _clue(scene: Scene, link: Link, source: Source) -> Phrase:
    clue, primitive = scene.clue(source), link.primitive
    said: Phrase = ()
    if link.must:
        return _holding(scene, link, source)
    if isinstance(primitive, Linear) and link.known:
        said = FailingSum(scene, source, primitive, link.known, link.supposed).said()
    elif isinstance(primitive, Pair) and link.known:
        said = _pair(scene, link, primitive)
    elif set(clue.scope) <= set(link.known):
        left = {cell: link.known[cell] for cell in clue.scope}
        why = clue.fails(left) or clue.fails_apart(left, lambda a, b: scene.differ(a, b) is not None) or ()
        said = () if _again(why, link.supposed) else pointed(scene, clue, why)
    whole = scene.names.clue(source)
    return said or say("{} {} no way left", whole, whole.verb("has", "have"))


def _pair(scene: Scene, link: Link, pair: Pair) -> Phrase:  # noqa: PLR0911 - a list of cases
    """What one cell would have to be, beside what the other is; sooner one that nothing is supposed of."""
    known = link.known
    masks = known.get(pair.a, scene.full), known.get(pair.b, scene.full)
    differ = scene.differ(pair.a, pair.b) is not None
    beside = [row & ~(1 << e) if differ else row for e, row in enumerate(pair.table)]
    there = [beside[digit - 1] for digit in digits_of(masks[0])]
    back = [
        sum(1 << e for e in range(scene.n) if beside[e] >> (digit - 1) & 1) for digit in digits_of(masks[1])
    ]
    options = [
        (pair.b in link.supposed, masks[0].bit_count(), pair.b, there, masks[0]),
        (pair.a in link.supposed, masks[1].bit_count(), pair.a, back, masks[1]),
    ]
    for _, _count, other, partners, mask in sorted(options):
        wanted = digits_of(reduce(or_, partners, 0))
        if len(wanted) == 1 and not all(partners):
            continue  # Some digits do not want that one: they have no partner at all.
        if not wanted:
            if other not in link.supposed:
                return say("nothing fits beside it")
            return say("nothing fits beside {}", grammar.digits(digits_of(mask)))
        if other in link.supposed:
            continue  # That would be the conclusion over again.
        ref = (*_across(scene, link), _stands(scene, other))
        if len(wanted) == 1:
            return would_be(scene, ref, other, wanted[0], known)
        if len(wanted) <= MANY and not (len(wanted) == MANY and wanted[-1] - wanted[0] < MANY):
            why = gone(scene, other, reduce(or_, partners)) if len(wanted) < MANY else ()
            return say("{} would have to be {}{}", ref, grammar.digits(wanted), why)
        if wanted == list(range(wanted[0], wanted[-1] + 1)):
            return say("{} would have to be {}", ref, _range(wanted, scene.n))
    free = [cell for cell in (pair.a, pair.b) if cell not in link.supposed]
    if len(free) == 1 and known.get(free[0], scene.full).bit_count() > 1:
        return say("no digit left for {} fits beside it", scene.names.cells(free))
    return ()


def _across(scene: Scene, link: Link) -> Phrase:
    """Say where the two cells of a relation meet, where a mark stands between them."""
    alone = link.source is not None and len(scene.clue_sources) == 1
    across = scene.names.phrases(link.source).across if alone and link.source else ""
    return (f"{across} ",) if across.startswith("across") else ()


def _range(digits: Sequence[int], most: int) -> str:
    if digits[0] == 1:
        return f"{digits[-1]} at most"
    return f"{digits[0]} or more" if digits[-1] == most else f"{digits[0]} to {digits[-1]}"


def _stands(scene: Scene, cell: int) -> Ref:
    """Point at a cell, by its digit where it has one."""
    if cell not in scene.standing:
        return scene.names.cells([cell])
    digit = scene.standing[cell]
    return Ref(f"the {digit}", f"the {digit} in {scene.grid_name(cell)}", (cell,), "because")


def taken(scene: Scene, link: Link, source: Source, verb: str) -> Phrase:
    """Say which digits of a house a clue holds: "the cage takes the 2 and 9 of row 1"."""
    assert link.house is not None
    digits = grammar.listed(digits_of(link.must))
    return say("{} {} the {} of {}", scene.names.clue(source), verb, digits, far(scene, link.house))


def _holding(scene: Scene, link: Link, source: Source) -> Phrase:
    """A clue that cannot hold the digits of a house that it must."""
    head = taken(scene, link, source, "would take")
    tail: Phrase = ()
    if isinstance(link.primitive, Linear):
        house = scene.frame.houses[link.house or 0][0]
        failing = FailingSum(scene, source, link.primitive, link.known, link.supposed)
        tail = failing.holding(link.must, house.cells)
    elif isinstance(link.primitive, Pair) and link.must.bit_count() == 2:
        tail = say("which don't go together")
    return say("{}, {}", head, tail or say("and can't"))
