"""
A certificate made lean: premises that the others have made needless are dropped.

A look's own reason is small when it is found (``small``). Where it is drawn up anew, with more digits on the
board, some of what it called on may be needed no longer.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import replace

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent
from saywhy.reasoning.frame import Frame, Held, bits
from saywhy.reasoning.small import NODES
from saywhy.reasoning.step import Reason, Step

#: The idea of a look at so many clues alone.
ALONE = {1: "clue", 2: "two clues", 3: "three clues"}


def called_on(frame: Frame, step: Step, sources: Collection[Source]) -> list[Held]:
    """
    Give the primitives of some sources that a step looks at.

    Clues are whole; beside them a house says no more than that its cells among those in question differ,
    unless the step is about the house.

    Args:
        frame: The puzzle made ready.
        step: The step.
        sources: Its sources, or some of them.
    """
    clues = [held for s in sorted(sources) if s.kind == "clue" for held in frame.of(s)]
    cells = {cell for held in clues for cell in held.cells} | {*step.places, *step.removes}
    found = list(clues)
    whole = not clues or "house" in step.idea or "derived" in step.idea
    for source in sorted(sources):
        if source.kind == "clue":
            continue
        for held in frame.of(source):
            if not clues:
                found.append(held)
                continue
            shared = tuple(cell for cell in held.cells if cell in cells)
            if len(shared) < 2:
                continue
            if whole or len(shared) == len(held.cells):
                found.append(held)
            elif isinstance(held.primitive, AllDifferent):
                found.append(frame.derive(AllDifferent(shared), held.sources))
    return found


def lean(frame: Frame, step: Step) -> Step:
    """
    Drop premises of a step at clues for as long as its conclusion follows.

    First facts, recalled ones before digits that stand; then single digits of a mark; then houses and rules;
    then clues. A question that is not answered within its nodes keeps its premise.
    """
    full = frame.full
    facts, sources = dict(step.reason.facts), set(step.reason.sources)
    struck = step.struck(full)
    asked_about = {cell for held in called_on(frame, step, sources) for cell in held.cells} | struck.keys()
    #: What standing digits strike out at sight: by which, along what, where, and which digits.
    strikes = [
        (cell, held.sources, other, frame.struck(held, cell, mask.bit_length()))
        for cell, mask in facts.items()
        if not mask & (mask - 1)
        for other in asked_about
        for held in frame.relations.get((cell, other), ())
        if held.sources <= sources
    ]

    def holds(facts: Mapping[int, int], sources: AbstractSet[Source]) -> bool:
        ids = [held.id for held in called_on(frame, step, sources)]
        domains = [full] * len(frame.grid.cells)
        for cell, mask in facts.items():
            domains[cell] = mask
        for cell, along, other, gone in strikes:
            if cell in facts and along <= sources:
                domains[other] &= ~gone
        for cell, mask in struck.items():
            asked = [*domains]
            asked[cell] &= mask
            if asked[cell] and frame.model.refutes(ids, asked, NODES) is not True:
                return False
        return True

    if not holds(facts, sources):
        return step
    for cell in sorted(facts, key=lambda cell: (not facts[cell] & (facts[cell] - 1), cell)):
        less = {other: mask for other, mask in facts.items() if other != cell}
        if holds(less, sources):
            facts = less
    for cell, mask in list(facts.items()):
        for place in bits(full & ~mask) if mask & (mask - 1) else ():
            less = {**facts, cell: facts[cell] | 1 << place}
            if holds(less, sources):
                facts = less
    for source in sorted(sources, key=lambda source: (source.kind == "clue", source)):
        if len(sources) > 1 and holds(facts, sources - {source}):
            sources.discard(source)
    clues = sum(source.kind == "clue" for source in sources)
    alone = not any(source.kind == "house" for source in sources) and step.idea != "derived sum"
    idea = ALONE.get(clues, step.idea) if alone else step.idea
    return replace(step, idea=idea, reason=Reason(frozenset(sources), facts))
