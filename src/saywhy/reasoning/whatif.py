"""
What-ifs: suppose a digit, follow simple looks, meet a contradiction; told as a story.

The native core says at once which suppositions fail under plain propagation; only those are worth a story.
A story keeps just the inner steps that its contradiction rests on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from saywhy.reasoning.clues import ClueFinder
from saywhy.reasoning.effort import effort
from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.houses import locked, only_digits, only_places
from saywhy.reasoning.position import Position
from saywhy.reasoning.small import NODES, small_reason
from saywhy.reasoning.step import Reason, Step

LONGEST = 60


def failing(position: Position) -> list[tuple[int, int]]:
    """
    List the suppositions that plain propagation refutes, as (cell, digit).

    Cells with few digits left come first.
    """
    frame = position.frame
    every = [held.id for held in frame.stated]
    domains = position.domains()
    found = []
    for cell in sorted(frame.grid.cells, key=lambda c: (domains[c].bit_count(), c)):
        before = domains[cell]
        if position.placed[cell]:
            continue
        for digit in range(1, frame.n + 1):
            if before >> (digit - 1) & 1:
                domains[cell] = 1 << (digit - 1)
                if frame.model.refutes(every, domains, 0) is True:
                    found.append((cell, digit))
        domains[cell] = before
    return found


def what_if(position: Position, finder: ClueFinder, cell: int, digit: int, limit: float) -> Step | None:
    """
    Give the what-if that rules a digit out of a cell, if simple looks lead to a contradiction.

    Args:
        position: Where the solve stands.
        finder: A finder of clue steps for the same frame; its memory is shared with the path's.
        cell: The cell.
        digit: The digit supposed.
        limit: The effort beyond which the story is given up.
    """
    here = position.copy()
    here.place(cell, digit)
    told: list[Step] = []
    spent = 0.0
    while len(told) < LONGEST:
        end = contradiction(here, finder)
        if end is not None:
            return _story(position, cell, digit, [*told, end])
        step = _next(here, finder, told[-1] if told else None, cell)
        if step is None:
            return None
        told.append(step)
        spent += step.effort
        if spent > 4 * limit:
            return None
        here.apply(step)
    return None


def _next(position: Position, finder: ClueFinder, last: Step | None, start: int) -> Step | None:
    """Give the easiest inner step, near the last one."""
    frame = position.frame
    near = next(iter({**last.places, **last.removes}), start) if last is not None else start
    finders: list[Callable[[], Iterator[Step]]] = [
        lambda: only_places(position),
        lambda: finder.steps(position, "rule"),
        lambda: finder.steps(position, "clue"),
        lambda: only_digits(position),
        lambda: locked(position),
    ]
    best: Step | None = None
    cost = float("inf")
    for find in finders:
        for step in find():
            weighed = replace(step, effort=effort(step, frame.clue_cells(step.reason)))
            there = next(iter({**step.places, **step.removes}))
            far = weighed.effort + 0.05 * frame.distance(near, there)
            if far < cost:
                best, cost = weighed, far
        if best is not None and cost < 3.0:
            break
    return best


def contradiction(position: Position, finder: ClueFinder) -> Step | None:
    """Give the simplest thing that cannot be in this position; None where nothing simple is seen."""
    frame, n = position.frame, position.frame.n
    for cell, mask in enumerate(position.domains()):
        if not mask:
            evidence = Evidence(position)
            evidence.need(cell, frame.full)
            return Step("only digit", evidence.reason(), breaks=True, focus=cell)
    for index, (house, source) in enumerate(frame.houses):
        for place in range(n):
            if not position.candidates & frame.house_columns[index][place]:
                evidence = Evidence(position, [source])
                for cell in house.cells:
                    evidence.need(cell, 1 << place)
                return Step("only place", evidence.reason(), breaks=True, house=index, digits=1 << place)
    domains = position.domains()
    for family in ("rule", "clue"):
        for look in finder.looks.family(family):
            gone = finder.shown(position, look)
            if any(gone.get(cell, 0) == domains[cell] for cell in look.cells):
                if frame.model.refutes(look.ids, domains, NODES) is not True:
                    continue
                small = small_reason(position, look, None, 0)
                return Step(finder.idea(small), small.reason, breaks=True)
    return None


def _story(position: Position, cell: int, digit: int, told: list[Step]) -> Step:
    """Keep the inner steps that the contradiction rests on, and draw the certificate of the whole."""
    frame, full = position.frame, position.frame.full
    kept: list[Step] = []
    wanted: dict[int, int] = {}

    def want(reason: Reason) -> None:
        for where, mask in reason.facts.items():
            wanted[where] = wanted.get(where, 0) | full & ~mask

    for step in reversed(told):
        struck = step.struck(full)
        if step.breaks or any(wanted.get(where, 0) & mask for where, mask in struck.items()):
            for where, mask in struck.items():
                wanted[where] = wanted.get(where, 0) & ~mask
            kept.append(step)
            want(step.reason)
    facts: dict[int, int] = {}
    for where, mask in wanted.items():
        if where == cell:
            continue
        if mask:
            facts[where] = full & ~mask
    sources = frozenset(source for step in kept for source in step.reason.sources)
    own = wanted.get(cell, 0) & ~(full & ~(1 << (digit - 1)))
    assert not own, "the supposed digit itself was struck out before the story began"
    return Step(
        "what-if",
        Reason(sources, facts),
        removes={cell: 1 << (digit - 1)},
        suppose=(cell, 1 << (digit - 1)),
        story=tuple(reversed(kept)),
    )
