"""
Making a look's reason as small as can be.

From a look that shows something, premises are dropped as long as what it shows still follows: first
primitives, then written marks, then what is seen, then digits standing; a deletion filter (Chinneck &
Dravnieks 1991), each question answered by the native core within a budget of nodes. A question that is not
answered in the budget keeps its premise, so a reason may be larger than need be, never too small.
"""

from __future__ import annotations

from dataclasses import dataclass

from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.frame import Held, bits
from saywhy.reasoning.looks import Look
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Reason

NODES = 4000


@dataclass(frozen=True)
class Small:
    """
    A small reason.

    Attributes:
        helds: The primitives that remain.
        domains: The marks relied on: all digits where nothing is known of a cell.
        reason: The same as sources and facts.
    """

    helds: tuple[Held, ...]
    domains: list[int]
    reason: Reason


def small_reason(position: Position, look: Look, target: int | None, denied: int, kept: int = 0) -> Small:
    """
    Give a small reason why a cell holds none of these digits.

    Args:
        position: The position in which the look shows it.
        look: The look.
        target: The cell; None where the look has no joint filling at all.
        denied: Mask of digits that no joint filling has in the target.
        kept: The one digit left, as a mask, where the step places it: then all others must be ruled out,
            by the look as far as it goes and by marks on the target beyond that.
    """
    frame, model = position.frame, position.frame.model
    domains = position.domains()
    if target is not None:
        domains[target] = denied

    def follows(helds: list[Held]) -> bool:
        return model.refutes([held.id for held in helds], domains, NODES) is True

    helds = list(look.helds)
    for held in sorted(look.helds, key=_weight, reverse=True):
        fewer = [other for other in helds if other is not held]
        if fewer and (target is None or any(target in o.cells for o in fewer)) and follows(fewer):
            helds = fewer
    cells = sorted({cell for held in helds for cell in held.cells} - {target})
    for cell in range(len(domains)):
        if cell not in cells and cell != target:
            domains[cell] = frame.full

    def relax(cell: int, mask: int) -> bool:
        """Allow these digits in the cell if what is shown still follows."""
        before = domains[cell]
        if before | mask == before:
            return True
        domains[cell] = before | mask
        if follows(helds):
            return True
        domains[cell] = before
        return False

    marked = {cell: _marked(position, cell) for cell in cells}
    for cell in cells:
        relax(cell, marked[cell])
    for cell in cells:
        if not position.placed[cell]:
            relax(cell, frame.full)
    for cell in cells:
        if position.placed[cell]:
            relax(cell, frame.full)
    for by_marks in (True, False):
        for cell in cells:
            if not position.placed[cell]:
                loose = frame.full & ~domains[cell] & (marked[cell] if by_marks else frame.full)
                for place in bits(loose):
                    relax(cell, 1 << place)
    if target is not None and kept:
        if not relax(target, frame.full & ~kept):
            for place in bits(frame.full & ~kept & ~denied):
                relax(target, 1 << place)
        domains[target] |= kept
        cells.append(target)
    evidence = Evidence(position, {source for held in helds for source in held.sources})
    for cell in cells:
        missing = frame.full & ~domains[cell]
        if missing and position.placed[cell]:
            evidence.rely(cell)
        elif missing:
            evidence.need(cell, missing)
    return Small(tuple(helds), domains, evidence.reason())


def _marked(position: Position, cell: int) -> int:
    """Give the digits gone from a cell by written marks alone."""
    frame = position.frame
    if position.placed[cell]:
        return 0
    gone = frame.full & ~(position.marks >> (cell * frame.n)) & frame.full
    for other, _ in frame.related[cell]:
        digit = position.placed[other]
        if digit and gone:
            gone &= ~(frame.kills[other * frame.n + digit - 1] >> (cell * frame.n) & frame.full)
    return gone


def _weight(held: Held) -> tuple[int, int]:
    """Rank primitives for dropping: houses before rules before clues, the broad before the narrow."""
    order = {"house": 2, "rule": 1, "clue": 0}
    return max(order[source.kind] for source in held.sources), len(held.cells)
