"""
Making a look's reason as small as can be.

From a look that shows something, premises are dropped as long as what it shows still follows: first
primitives, then written marks, then what is seen, then digits standing (native/looks.h has the method). A
question that is not answered in its budget of nodes keeps its premise, so a reason may be larger than need
be, never too small.
"""

from __future__ import annotations

from dataclasses import dataclass

from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.frame import Held
from saywhy.reasoning.looks import Look
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Reason

#: Nodes of search for a single question, and for all questions about one step.
NODES, TOTAL = 4000, 200_000


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


def small_reason(  # noqa: PLR0913 - one question, said in full
    position: Position,
    look: Look,
    target: int | None,
    denied: int,
    kept: int = 0,
    *,
    nodes: int = NODES,
    total: int = TOTAL,
) -> Small:
    """
    Give a small reason why a cell holds none of these digits.

    Args:
        position: The position in which the look shows it.
        look: The look.
        target: The cell; None where the look has no joint filling at all.
        denied: Mask of digits that no joint filling has in the target.
        kept: The one digit left, as a mask, where the step places it: then all others must be ruled out,
            by the look as far as it goes and by marks on the target beyond that.
        nodes: Nodes of search for each single question.
        total: Nodes of search for all of them.
    """
    frame = position.frame
    marked = [0] * len(position.placed)
    for cell in look.cells:
        marked[cell] = _marked(position, cell)
    ids, domains = frame.model.shrink(
        [held.id for held in sorted(look.helds, key=_weight, reverse=True)],
        position.domains(),
        -1 if target is None else target,
        denied,
        kept,
        marked,
        position.placed,
        nodes,
        total,
    )
    helds = tuple(frame.held[number] for number in ids)
    evidence = Evidence(position, {source for held in helds for source in held.sources})
    for cell in look.cells:
        missing = frame.full & ~domains[cell]
        if not missing or (cell == target and not kept):
            continue
        if position.placed[cell]:
            evidence.rely(cell)
        else:
            evidence.need(cell, missing)
    return Small(helds, domains, evidence.reason())


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
