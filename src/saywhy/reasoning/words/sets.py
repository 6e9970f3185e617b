"""
What follows from houses alone: sets of digits that fill sets of cells, told whatever look they came from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.houses import house_at, locked_at
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.results import conclusion, enough
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck

LARGEST = 4


@dataclass(frozen=True)
class Fill:
    """
    Some digits that fill some cells of a house.

    Attributes:
        house: Index in ``frame.houses``.
        cells: The cells, as many as the digits.
        digits: The mask of digits.
        hidden: Whether the digits have no other cells (else the cells have no other digits).
        before: What was known of the house's cells when it was seen.
    """

    house: int
    cells: tuple[int, ...]
    digits: int
    hidden: bool
    before: dict[int, int]


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step that rests on houses alone."""
    yield from _locked(scene)
    found = _fills(scene)
    if not found or len(found) > 3:
        return
    look: list[int] = []
    parts: list[list[Phrase]] = []
    told: set[int] = set()
    for fill in found:
        lead = _premises(scene, fill, told)
        told |= set(scene.frame.houses[fill.house][0].cells)
        silent = bool(lead) and all(isinstance(piece, Ref) and not piece.spoken for piece in lead)
        parts.append(
            [say("{}{}", _says(scene, fill), lead)]
            if silent
            else [p for p in (lead, _says(scene, fill)) if p]
        )
        look += fill.cells
    ends = conclusion(scene, scene.results)
    brief = say("{}.", ends)
    fill = found[-1]
    rest = _rest(scene, fill)
    outside = [cell for cell in scene.step.places if all(cell not in one.cells for one in found)]
    if outside:
        sees = Struck(scene, outside)
        lit = Ref("", "", sees.because, "because")
        ends = (
            say("with what it sees, {}{}", ends, lit)
            if len(outside) == 1
            else say("with what they see, {}{}", ends, lit)
        )
    if len(found) == 1:
        (part,) = parts
        tail = rest or ends
        body = say("{}, so {}", *part) if len(part) == 2 else part[0]
        yield Plan((body, say("so {}", tail)), brief)
        yield Plan((say("{}: {}", body, tail),), brief)
        yield Plan((*part, say("so {}", tail)), brief)
        return
    shown = {c for f in found for c in f.cells if len(f.cells) == 1}
    done = set(scene.results) <= shown
    said = [say("{}, so {}", *part) if len(part) == 2 else part[0] for part in parts]
    bare = [part[-1] for part in parts]
    tail = rest or ends
    if len(found) == 2:
        for first, second in ((said[0], said[1]), (bare[0], bare[1])):
            if done:
                yield Plan((first, say("then {}", second)), brief)
            else:
                yield Plan((first, say("then {}", second), say("so {}", tail)), brief)
                yield Plan((first, say("then {}, so {}", second, tail)), brief)
        return
    one, two, three = bare
    yield Plan(
        (one, say("then {}", two), say("that means {}{}", three, say(", so {}", tail) if not done else ())),
        brief,
    )


def _premises(scene: Scene, fill: Fill, told: set[int]) -> Phrase:
    cells = scene.frame.houses[fill.house][0].cells
    asked = [c for c in cells if c not in fill.cells] if fill.hidden else list(fill.cells)
    asked = [c for c in asked if c not in told]
    struck = Struck(scene, asked, fill.digits if fill.hidden else None)
    struck.seen = {
        source: found
        for source, found in struck.seen.items()
        if source != scene.frame.houses[fill.house][1] or not fill.hidden
    }
    parts = struck.clauses(fill.cells)
    numbers = sum(len(found) for found in struck.seen.values())
    lit = Ref("", "", struck.because, "because")
    if not fill.hidden and (numbers > 3 or struck.marked):
        # A pair is written on the board, or to be seen at a glance: its digits are enough.
        return (lit,) if struck.because else ()
    if numbers > 3:
        return (lit,) if struck.because else ()
    if struck.marked and fill.hidden:
        ref = scene.names.cells(struck.marked, "because")
        gone = digits_of(fill.digits)
        parts.append(
            say("{} {} none of {}", ref, ref.verb("has", "have"), grammar.listed(gone))
            if len(gone) > 2
            else say("{} {} no {}", ref, ref.verb("has", "have"), grammar.listed(gone, "or"))
        )
    return say("{}{}", join(parts), lit) if parts else ()


def _says(scene: Scene, fill: Fill) -> Phrase:
    house = house_at(scene, fill.house, fill.cells)
    digits = digits_of(fill.digits)
    named = grammar.listed(digits)
    these = scene.names.cells(fill.cells, "look")
    one = len(fill.cells) == 1
    if fill.hidden:
        if one:
            return say("{} of {} is in {}", f"the {named}", house, these)
        return say("in {} only {} can take {}", house, these, named)
    if one:
        return say("{} is {}", these, named)
    return say("{} are {}{}", these, named, ", whichever way round" if len(digits) == 2 else " between them")


def _rest(scene: Scene, fill: Fill) -> Phrase:
    """Say that the rest of the house has none of the digits, where that is the whole conclusion."""
    targets = tuple(sorted({**scene.step.removes, **scene.step.places}))
    house, source = scene.frame.houses[fill.house]
    digits = digits_of(fill.digits)
    if fill.hidden:
        if set(targets) <= set(fill.cells) and not scene.step.places:
            return say(
                "{} {} nothing else",
                scene.names.cells(targets, "result"),
                "holds" if len(targets) == 1 else "hold",
            )
        return ()
    if scene.step.places or set(targets) & set(fill.cells) or not set(targets) <= set(house.cells):
        return ()
    if any(mask & ~fill.digits for mask in scene.step.removes.values()):
        return ()
    del source
    name = house_at(scene, fill.house, fill.cells, "the")
    ref = Ref(f"the rest of {name.spoken}", f"the rest of {name.written}", targets, "result")
    if len(targets) == 1:
        ref = scene.names.cells(targets, "result")
    return say(
        "{} has {}",
        ref,
        f"no {digits[0]}" if len(digits) == 1 else "neither" if len(digits) == 2 else "none of those",
    )


def _locked(scene: Scene) -> Iterator[Plan]:
    step = scene.step
    gone = dict(step.removes)
    for cell, digit in step.places.items():
        gone[cell] = scene.domain(cell) & ~(1 << (digit - 1))
    union = 0
    for mask in gone.values():
        union |= mask
    if step.places or not union or union & (union - 1):
        return
    for index, (house, source) in enumerate(scene.frame.houses):
        if source not in scene.sources:
            continue
        places = tuple(c for c in house.cells if scene.domain(c) & union)
        if (
            len(places) > 1
            and not set(places) & set(gone)
            and all(scene.differ(p, t) is not None for p in places for t in gone)
        ):
            yield from locked_at(scene, index, union)
            return


def _fills(scene: Scene) -> list[Fill] | None:
    """Find fills, one after another, until the step's conclusion is shown; keep those it rests on."""
    frame = scene.frame
    indexes = [index for index, (_, source) in enumerate(frame.houses) if source in scene.sources]
    cells = sorted({cell for index in indexes for cell in frame.houses[index][0].cells})
    domains = {cell: scene.domain(cell) for cell in cells}
    found: list[tuple[Fill, set[int], set[int]]] = []
    for _ in range(6):
        if all(cell in domains for cell in scene.results) and enough(scene, domains):
            break
        best = None
        for size in range(1, LARGEST + 1):
            for index in indexes:
                best = _fill(scene, index, size, domains)
                if best is not None:
                    break
            if best is not None:
                break
        if best is None:
            return None
        house = frame.houses[best.house][0].cells
        changed = set()
        for cell in house:
            inside = cell in best.cells
            after = domains[cell] & best.digits if inside else domains[cell] & ~best.digits
            if after != domains[cell]:
                domains[cell] = after
                changed.add(cell)
        used = set(house) - set(best.cells) if best.hidden else set(best.cells)
        found.append((best, used, changed))
    if not all(cell in domains for cell in scene.results) or not enough(scene, domains):
        return None
    wanted = set(scene.results)
    kept = []
    for fill, used, changed in reversed(found):
        if changed & wanted:
            kept.append(fill)
            wanted |= used
    return kept[::-1]


def _fill(scene: Scene, index: int, size: int, domains: dict[int, int]) -> Fill | None:
    house = scene.frame.houses[index][0].cells
    empty = [cell for cell in house if cell not in scene.standing]
    small = [cell for cell in empty if domains[cell].bit_count() <= size]
    for cells in combinations(small, size):
        union = 0
        for cell in cells:
            union |= domains[cell]
        if union.bit_count() == size and any(domains[c] & union for c in empty if c not in cells):
            return Fill(index, cells, union, hidden=False, before=dict(domains))
    places = {}
    for place in range(scene.n):
        where = frozenset(cell for cell in house if domains[cell] >> place & 1)
        if 1 <= len(where) <= size:
            places[place] = where
    for chosen in combinations(places, size):
        cells = tuple(sorted(frozenset().union(*(places[place] for place in chosen))))
        if len(cells) != size:
            continue
        union = sum(1 << place for place in chosen)
        if any(domains[cell] & ~union for cell in cells):
            return Fill(index, cells, union, hidden=True, before=dict(domains))
    return None
