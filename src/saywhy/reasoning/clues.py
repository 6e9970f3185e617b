"""Looks at clues: what the native core finds, made into steps with small reasons."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial

from saywhy.reasoning.looks import Look, Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.small import NODES, Small, small_reason
from saywhy.reasoning.step import Find, Step

#: Cells beside its own of which a thought that places no digit may strike out other digits in one breath.
OTHERS = 1


class ClueFinder:
    """
    Finds what looks show, asking the native core again only where a look's cells have changed.

    A look's answer depends on the candidates of its cells alone; answers are kept by look until these
    change, so that a path asks each question once.
    """

    def __init__(self, looks: Looks) -> None:
        self.looks = looks
        self._answers: dict[Look, tuple[int, dict[int, int]]] = {}

    def shown(self, position: Position, look: Look) -> dict[int, int]:
        """Give what a look shows to be gone, as a mask for each cell."""
        here = position.candidates & look.scope
        known = self._answers.get(look)
        if known is not None and known[0] == here:
            return known[1]
        domains = position.domains()
        gone: dict[int, int] = {}
        if any(not position.placed[cell] for cell in look.cells):
            after, _ = position.frame.model.shows(look.ids, domains, NODES)
            gone = {c: domains[c] & ~after[c] for c in look.cells if domains[c] & ~after[c]}
        self._answers[look] = (here, gone)
        return gone

    def finds(self, position: Position, family: str) -> Iterator[Find]:
        """Yield what the looks of a family show in this position, cell by cell."""
        for look in self.looks.family(family):
            for cell, gone in self._beyond_houses(position, look).items():
                left = position.domain(cell) & ~gone
                build = partial(self.step, position, look, cell, gone)
                if left and not left & (left - 1):
                    yield Find({cell: left.bit_length()}, {}, build)
                else:
                    yield Find({}, {cell: gone}, build)

    def _beyond_houses(self, position: Position, look: Look) -> dict[int, int]:
        """Give what a look shows that none of its whole houses shows alone: that is for looks at houses."""
        gone = self.shown(position, look)
        whole = self.looks.whole_houses(look)
        if not gone or not whole:
            return gone
        alone: dict[int, int] = {}
        for house in whole:
            for cell, mask in self.shown(position, house).items():
                alone[cell] = alone.get(cell, 0) | mask
        return {cell: mask & ~alone.get(cell, 0) for cell, mask in gone.items() if mask & ~alone.get(cell, 0)}

    def step(self, position: Position, look: Look, cell: int, gone: int, wanted: Mapping[int, int]) -> Step:
        """
        Give the step of a look that strikes digits out of a cell, its reason small.

        Args:
            position: Where the look shows it.
            look: The look.
            cell: The cell.
            gone: Mask of the digits that the look strikes out.
            wanted: For each cell the digits that must go; those of this cell that went before are struck out
                here as well if the look shows that too, so that one thought is told once.
        """
        left = position.domain(cell) & ~gone
        if not left & (left - 1):
            small = small_reason(position, look, cell, gone, left)
        else:
            asked = wanted.get(cell, 0)
            denied = asked & (gone | ~position.domain(cell)) or gone
            if denied & ~gone:
                domains = position.domains()
                domains[cell] = denied
                if position.frame.model.refutes(look.ids, domains, NODES) is not True:
                    denied &= gone
            small = small_reason(position, look, cell, denied)
            left = position.frame.full & ~denied
        step = self._conclude(position, look, small, cell, left)
        # One thought with a few consequences can be said; the others get a step of their own if needed.
        others = [c for c in step.removes if c != cell and step.removes[c] & wanted.get(c, 0)]
        alike = [c for c in others if step.removes[c] == step.removes.get(cell)]
        unlike = [c for c in others if c not in alike]
        kept = {cell} if step.places else {cell, *alike, *unlike[:OTHERS]}
        return replace(step, removes={c: mask for c, mask in step.removes.items() if c in kept})

    def _conclude(self, position: Position, look: Look, small: Small, target: int, left: int) -> Step:
        """
        Draw from a small reason, which leaves the target these digits at most, all that follows from it.

        A digit that a cell's own marks rule out is no part of the conclusion.
        """
        frame = position.frame
        placing = not left & (left - 1)
        domains = list(small.domains)
        if not placing:
            domains[target] = frame.full
        after, _ = frame.model.shows([held.id for held in small.helds], domains, NODES)
        after[target] &= left
        places: dict[int, int] = {}
        removes: dict[int, int] = {}
        for cell in look.cells:
            gone = domains[cell] & ~after[cell]
            if position.placed[cell] or not gone:
                continue
            if not after[cell] & (after[cell] - 1) and (placing or cell != target):
                places[cell] = after[cell].bit_length()
            elif gone & position.domain(cell) or cell == target:
                removes[cell] = gone
        return Step(self.idea(small), small.reason, places, removes)

    @staticmethod
    def idea(small: Small) -> str:
        """Name the family that the small reason belongs to: often narrower than the look it came from."""
        clues = {s for held in small.helds for s in held.sources if s.kind == "clue"}
        whole = [h for h in small.helds if all(s.kind == "house" for s in h.sources)]
        if any(len(held.sources) > 1 for held in small.helds):
            return "derived sum"
        if len(clues) == 0:
            return "rule"
        if len(clues) == 1:
            (clue,) = clues
            inside = {c for h in small.helds if clue in h.sources for c in h.cells}
            outer = [h for h in whole if not set(h.cells) <= inside]
            return ("clue", "clue and house")[len(outer)] if len(outer) < 2 else "clue and two houses"
        return "two clues" if len(clues) == 2 else "three clues"
