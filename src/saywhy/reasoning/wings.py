"""
Wings: a cell of two or three digits, each of which makes one of two others the same digit.

Whatever the middle cell is, one of the tips (or the middle itself) holds the shared digit, so no cell that
sees them all does. Of two digits the trade calls it an XY-wing, of three an XYZ-wing. What one cell strikes
out of another is asked of the rules at hand, so that knights and like rules carry wings as houses do.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from saywhy.engine.constraints import Source
from saywhy.reasoning.frame import bits
from saywhy.reasoning.houses import NO_REASON, removal, shared_sight
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import EVERY, Find, Step

#: The names by how many digits the middle cell has left.
WINGS = {2: "XY-wing", 3: "XYZ-wing"}


def wings(position: Position, about: int = EVERY) -> Iterator[Find]:
    """Yield what the wings of a position strike out."""
    frame, n = position.frame, position.frame.n
    domains = position.domains()
    narrow = [cell for cell, mask in enumerate(domains) if mask.bit_count() == 2]
    for middle, held in enumerate(domains):
        if held.bit_count() not in WINGS:
            continue
        #: By shared digit and by the digit of the middle that settles it: the tips.
        tips: dict[tuple[int, int], list[int]] = {}
        for tip in narrow:
            if tip == middle:
                continue
            for place in bits(domains[tip] & held):
                rest = domains[tip] & ~(1 << place)
                if frame.kills[middle * n + place] >> (tip * n + place) & 1:
                    tips.setdefault((rest.bit_length() - 1, place), []).append(tip)
        for (shared, first), (again, second) in combinations(sorted(tips), 2):
            if shared != again or held & ~(1 << first | 1 << second | 1 << shared):
                continue
            if (held >> shared & 1) != (held.bit_count() == 3):
                continue
            for a in tips[shared, first]:
                for b in tips[shared, second]:
                    if a != b:
                        yield from _at(position, middle, ((a, first), (b, second)), shared, about)


def _at(
    position: Position, middle: int, tips: tuple[tuple[int, int], tuple[int, int]], shared: int, about: int
) -> Iterator[Find]:
    frame, n = position.frame, position.frame.n
    held = position.domain(middle)
    cells = [tip for tip, _ in tips] + [middle] * (held.bit_count() == 3)
    gone = position.candidates
    for cell in cells:
        gone &= frame.kills[cell * n + shared]
    if not gone & about:
        return
    sources: list[Source] = []
    for tip, place in tips:
        along = [
            source
            for relation in frame.relations.get((middle, tip), [])
            if frame.struck(relation, middle, place + 1) >> place & 1
            for source in relation.sources
        ]
        sources.append(min(along))
    absent = {middle: frame.full & ~held, **{tip: frame.full & ~position.domain(tip) for tip, _ in tips}}
    for via, removed in shared_sight(position, cells, shared + 1, gone):
        struck = {cell: 1 << shared for cell, mask in removed.items() if mask >> shared & 1}
        if struck:
            name = WINGS[held.bit_count()]
            bare = Step(name, NO_REASON, removes=struck, focus=middle, digits=1 << shared)
            yield removal(position, absent, [*sources, *via], bare)
