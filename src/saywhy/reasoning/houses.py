"""
Looks at houses: last digits, only places, only digits, locked digits, subsets and fish.

Each finder yields steps that are open in a position, with their certificates. The trade's techniques are
looks that have a name; what they share is ``Evidence``.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from saywhy.engine.constraints import Source
from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.frame import bits
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step

SUBSETS = {2: "pair", 3: "triple", 4: "quadruple"}
FISH = {2: "X-wing", 3: "swordfish", 4: "jellyfish"}


def only_places(position: Position) -> Iterator[Step]:
    """Yield each digit that has one place left in a house, a house's last digit told as such."""
    frame, n = position.frame, position.frame.n
    for index, (house, source) in enumerate(frame.houses):
        empty = sum(not position.placed[cell] for cell in house.cells)
        for place in range(n):
            left = position.candidates & frame.house_columns[index][place]
            if left.bit_count() != 1:
                continue
            cell = (left.bit_length() - 1) // n
            if position.placed[cell]:
                continue
            evidence = Evidence(position, [source])
            if empty == 1:
                for other in house.cells:
                    if other != cell:
                        evidence.rely(other)
            else:
                for other in house.cells:
                    if other != cell:
                        evidence.need(other, 1 << place)
            idea = "last digit" if empty == 1 else "only place"
            yield Step(idea, evidence.reason(), {cell: place + 1}, house=index, digits=1 << place)


def only_digits(position: Position) -> Iterator[Step]:
    """Yield each empty cell that has one digit left."""
    frame = position.frame
    for cell, mask in enumerate(position.domains()):
        if position.placed[cell] or mask & (mask - 1) or not mask:
            continue
        evidence = Evidence(position)
        evidence.need(cell, frame.full & ~mask)
        yield Step("only digit", evidence.reason(), {cell: mask.bit_length()}, digits=mask)


def locked(position: Position) -> Iterator[Step]:
    """Yield what goes wherever a house's digit stands: every place of it strikes the same cells."""
    frame, n = position.frame, position.frame.n
    for index, (house, source) in enumerate(frame.houses):
        for place in range(n):
            left = position.candidates & frame.house_columns[index][place]
            if not 2 <= left.bit_count() <= n // 2 + 1:
                continue
            gone = position.candidates & ~frame.house_columns[index][place]
            places = list(bits(left))
            for candidate in places:
                gone &= frame.kills[candidate]
                if not gone:
                    break
            if not gone:
                continue
            cells = [candidate // n for candidate in places]
            for via, removed in _shared_sight(position, cells, place + 1, gone):
                evidence = Evidence(position, [source, *via])
                for cell in house.cells:
                    if cell not in cells:
                        evidence.need(cell, 1 << place)
                yield Step("locked digit", evidence.reason(), removes=removed, house=index, digits=1 << place)


def _shared_sight(
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
                    if frame.struck(held, cell, digit, target) >> place & 1
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


def subsets(position: Position, size: int) -> Iterator[Step]:
    """Yield the naked and hidden subsets of this size: k digits that fill k cells of a house."""
    frame = position.frame
    domains = position.domains()
    for index, (house, source) in enumerate(frame.houses):
        empty = [cell for cell in house.cells if not position.placed[cell]]
        if len(empty) <= size:
            continue
        small = [cell for cell in empty if domains[cell].bit_count() <= size]
        for cells in combinations(small, size):
            union = 0
            for cell in cells:
                union |= domains[cell]
            if union.bit_count() != size:
                continue
            removed = {c: domains[c] & union for c in empty if c not in cells and domains[c] & union}
            if removed:
                evidence = Evidence(position, [source])
                for cell in cells:
                    evidence.need(cell, frame.full & ~union)
                yield Step(SUBSETS[size], evidence.reason(), removes=removed, house=index, digits=union)
        yield from _hidden(position, size, index, empty, domains)


def _hidden(
    position: Position, size: int, index: int, empty: list[int], domains: list[int]
) -> Iterator[Step]:
    frame = position.frame
    house, source = frame.houses[index]
    if len(empty) < 2 * size:
        return
    spread = {}
    for place in range(frame.n):
        where = frozenset(cell for cell in empty if domains[cell] >> place & 1)
        if 2 <= len(where) <= size:
            spread[place] = where
    for chosen in combinations(spread, size):
        cells = frozenset().union(*(spread[place] for place in chosen))
        if len(cells) != size:
            continue
        union = sum(1 << place for place in chosen)
        removed = {cell: domains[cell] & ~union for cell in sorted(cells) if domains[cell] & ~union}
        if removed:
            evidence = Evidence(position, [source])
            for cell in house.cells:
                if cell not in cells:
                    evidence.need(cell, union)
            yield Step(
                f"hidden {SUBSETS[size]}", evidence.reason(), removes=removed, house=index, digits=union
            )


def fish(position: Position, size: int) -> Iterator[Step]:
    """Yield the fish of this size: a digit whose places in k houses lie in k other houses."""
    frame, n = position.frame, position.frame.n
    kinds = ("row", "column", "region")
    by_kind = {
        k: [i for i, (h, s) in enumerate(frame.houses) if h.kind == k and s.kind == "house"] for k in kinds
    }
    for place in range(n):
        left = {
            index: position.candidates & frame.house_columns[index][place]
            for indexes in by_kind.values()
            for index in indexes
        }
        for base_kind in kinds:
            bases = [i for i in by_kind[base_kind] if 2 <= left[i].bit_count() <= size]
            for cover_kind in kinds:
                if cover_kind == base_kind or "region" in (base_kind, cover_kind):
                    continue
                for chosen in combinations(bases, size):
                    held = 0
                    for index in chosen:
                        held |= left[index]
                    covers = [i for i in by_kind[cover_kind] if left[i] & held]
                    if len(covers) != size:
                        continue
                    covered = 0
                    for index in covers:
                        covered |= left[index]
                    removed = position.new(covered & ~held)
                    if not removed:
                        continue
                    evidence = Evidence(position, [frame.houses[i][1] for i in (*chosen, *covers)])
                    for index in chosen:
                        for cell in frame.houses[index][0].cells:
                            if not held >> (cell * n + place) & 1:
                                evidence.need(cell, 1 << place)
                    yield Step(
                        FISH[size], evidence.reason(), removes=removed, house=chosen[0], digits=1 << place
                    )
