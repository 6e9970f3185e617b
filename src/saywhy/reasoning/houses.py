"""
Looks at houses: last digits, only places, only digits, locked digits, subsets and fish.

Each finder yields what is open in a position; a find's certificate is drawn up only when asked for. The
trade's techniques are looks that have a name; what they share is ``Evidence``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial
from itertools import combinations

from saywhy.engine.constraints import Source
from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.frame import bits
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import EVERY, Find, Reason, Step

SUBSETS = {2: "pair", 3: "triple", 4: "quadruple"}
NO_REASON = Reason(frozenset(), {})
FISH = {2: "X-wing", 3: "swordfish", 4: "jellyfish"}


def only_places(position: Position, about: int = EVERY) -> Iterator[Find]:
    """Yield each digit that has one place left in a house, a house's last digit told as such."""
    frame, n = position.frame, position.frame.n
    for index, (house, _) in enumerate(frame.houses):
        empty = sum(not position.placed[cell] for cell in house.cells)
        for place in range(n):
            left = position.candidates & frame.house_columns[index][place]
            if left.bit_count() != 1:
                continue
            cell = (left.bit_length() - 1) // n
            if position.placed[cell] or not frame.domain(about, cell):
                continue
            last = empty == 1
            yield Find({cell: place + 1}, {}, partial(_only_place, position, (index, cell, place + 1), last))


def _only_place(
    position: Position, where: tuple[int, int, int], last: bool, _wanted: Mapping[int, int]
) -> Step:
    return only_place(position, *where, last=last)


def only_place(position: Position, index: int, cell: int, digit: int, *, last: bool) -> Step:
    """Give the step that places a house's digit in its one place, or its last digit."""
    house, source = position.frame.houses[index]
    evidence = Evidence(position, [source])
    bit = 1 << (digit - 1)
    for other in house.cells:
        if other != cell and last:
            evidence.rely(other)
        elif other != cell:
            evidence.need(other, bit)
    return Step(
        "last digit" if last else "only place", evidence.reason(), {cell: digit}, house=index, digits=bit
    )


def only_digits(position: Position, about: int = EVERY) -> Iterator[Find]:
    """Yield each empty cell that has one digit left."""
    frame = position.frame
    for cell, mask in enumerate(position.domains()):
        if position.placed[cell] or mask & (mask - 1) or not mask:
            continue
        if not frame.domain(about, cell):
            continue
        yield Find({cell: mask.bit_length()}, {}, partial(_only_digit, position, cell, mask.bit_length()))


def _only_digit(position: Position, cell: int, digit: int, _wanted: Mapping[int, int]) -> Step:
    return only_digit(position, cell, digit)


def only_digit(position: Position, cell: int, digit: int) -> Step:
    """Give the step that places the one digit left in a cell."""
    evidence = Evidence(position)
    bit = 1 << (digit - 1)
    evidence.need(cell, position.frame.full & ~bit)
    return Step("only digit", evidence.reason(), {cell: digit}, digits=bit)


def locked(position: Position, about: int = EVERY) -> Iterator[Find]:
    """Yield what goes wherever a house's digit stands: every place of it strikes the same cells."""
    frame, n = position.frame, position.frame.n
    for index in range(len(frame.houses)):
        for place in range(n):
            left = position.candidates & frame.house_columns[index][place]
            if not 2 <= left.bit_count() <= n // 2 + 1:
                continue
            gone = position.candidates & ~frame.house_columns[index][place] & frame.struck_by_each(left)
            if not gone & about:
                continue
            yield from locked_digit(position, index, place + 1, gone)


def locked_digit(position: Position, index: int, digit: int, gone: int) -> Iterator[Find]:
    """
    Yield what a house's digit strikes out wherever it stands, parted by the houses along which it does.

    Args:
        position: Where the house has a few places left for it.
        index: The house's index in ``frame.houses``.
        digit: The digit.
        gone: The candidates in question, as a set; each of these places strikes them out.
    """
    house, source = position.frame.houses[index]
    bit = 1 << (digit - 1)
    cells = [cell for cell in house.cells if position.domain(cell) & bit]
    absent = {cell: bit for cell in house.cells if cell not in cells}
    for via, removed in shared_sight(position, cells, digit, gone):
        bare = Step("locked digit", NO_REASON, removes=removed, house=index, digits=bit)
        yield removal(position, absent, [source, *via], bare)


def removal(position: Position, absent: dict[int, int], sources: list[Source], bare: Step) -> Find:
    """Give the find of a bare step (no certificate yet) that rests on digits being absent from cells."""

    def build(_wanted: Mapping[int, int]) -> Step:
        evidence = Evidence(position, sources)
        for cell, mask in absent.items():
            evidence.need(cell, mask)
        return replace(bare, reason=evidence.reason())

    return Find({}, bare.removes, build)


def shared_sight(
    position: Position, cells: list[int], digit: int, gone: int
) -> Iterator[tuple[list[Source], dict[int, int]]]:
    """Group what all these cells strike out by the sources along which they do, one house first."""
    frame = position.frame
    grouped: dict[tuple[Source, ...], dict[int, int]] = {}
    for target, mask in position.new(gone).items():
        for place in bits(mask):
            along: set[Source] = set()
            common = [
                {
                    next(iter(held.sources))
                    for held in frame.relations.get((cell, target), [])
                    if frame.struck(held, cell, digit) >> place & 1
                }
                for cell in cells
            ]
            shared = set.intersection(*common)
            if shared:
                along = {min(shared)}
            else:
                for ways in common:
                    if not ways & along:
                        along.add(min(ways))
            found = grouped.setdefault(tuple(sorted(along)), {})
            found[target] = found.get(target, 0) | 1 << place
    for via, removed in sorted(grouped.items(), key=lambda item: len(item[0])):
        yield list(via), removed


def subsets(position: Position, size: int, about: int = EVERY) -> Iterator[Find]:
    """Yield the naked and hidden subsets of this size: k digits that fill k cells of a house."""
    frame = position.frame
    domains = position.domains()
    for index, (house, _) in enumerate(frame.houses):
        # What a house holds decides alone, so a house that showed nothing is remembered.
        held = position.candidates & frame.house_scopes[index]
        if not held & about or frame.barren.get((index, size)) == held:
            continue
        empty = [cell for cell in house.cells if not position.placed[cell]]
        finds = [
            *_naked(position, size, index, empty, domains),
            *_hidden(position, size, index, empty, domains),
        ]
        if not finds:
            frame.barren[index, size] = held
        yield from finds


def _naked(position: Position, size: int, index: int, empty: list[int], domains: list[int]) -> Iterator[Find]:
    if len(empty) <= size:
        return
    source = position.frame.houses[index][1]
    small = [cell for cell in empty if domains[cell].bit_count() <= size]
    for cells in combinations(small, size):
        union = 0
        for cell in cells:
            union |= domains[cell]
        if union.bit_count() != size:
            continue
        removed = {c: domains[c] & union for c in empty if c not in cells and domains[c] & union}
        if removed:
            absent = dict.fromkeys(cells, position.frame.full & ~union)
            bare = Step(SUBSETS[size], NO_REASON, removes=removed, house=index, digits=union)
            yield removal(position, absent, [source], bare)


def _hidden(
    position: Position, size: int, index: int, empty: list[int], domains: list[int]
) -> Iterator[Find]:
    if len(empty) < 2 * size:
        return
    house, source = position.frame.houses[index]
    spread = {}
    for place in range(position.frame.n):
        where = sum(1 << at for at, cell in enumerate(empty) if domains[cell] >> place & 1)
        if 2 <= where.bit_count() <= size:
            spread[place] = where
    for chosen in combinations(spread, size):
        where = 0
        for place in chosen:
            where |= spread[place]
        if where.bit_count() != size:
            continue
        cells = [empty[at] for at in bits(where)]
        union = sum(1 << place for place in chosen)
        removed = {cell: domains[cell] & ~union for cell in cells if domains[cell] & ~union}
        if removed:
            absent = {cell: union for cell in house.cells if cell not in cells}
            idea = f"hidden {SUBSETS[size]}"
            bare = Step(idea, NO_REASON, removes=removed, house=index, digits=union)
            yield removal(position, absent, [source], bare)


def fish(position: Position, size: int, about: int = EVERY) -> Iterator[Find]:
    """Yield the fish of this size: a digit whose places in k rows lie in k columns, or the reverse."""
    frame, n = position.frame, position.frame.n
    lines = {
        kind: [
            i
            for i, (house, source) in enumerate(frame.houses)
            if house.kind == kind and source.kind == "house"
        ]
        for kind in ("row", "column")
    }
    for place in range(n):
        left = {
            index: position.candidates & frame.house_columns[index][place]
            for indexes in lines.values()
            for index in indexes
        }
        for base, cover in (("row", "column"), ("column", "row")):
            narrow = [index for index in lines[base] if 2 <= left[index].bit_count() <= size]
            for chosen in combinations(narrow, size):
                held = 0
                for index in chosen:
                    held |= left[index]
                covers = [index for index in lines[cover] if left[index] & held]
                if len(covers) != size:
                    continue
                covered = 0
                for index in covers:
                    covered |= left[index]
                removed = position.new(covered & ~held)
                if covered & ~held & about and removed:
                    sources = [frame.houses[index][1] for index in (*chosen, *covers)]
                    absent = {
                        cell: 1 << place
                        for index in chosen
                        for cell in frame.houses[index][0].cells
                        if not held >> (cell * n + place) & 1
                    }
                    bare = Step(FISH[size], NO_REASON, removes=removed, house=chosen[0], digits=1 << place)
                    yield removal(position, absent, sources, bare)
