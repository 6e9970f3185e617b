"""Looks at clues: what the native core finds, made into steps with small reasons."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial

from saywhy.engine import _native
from saywhy.reasoning.looks import Look, Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.small import NODES, Small, small_reason
from saywhy.reasoning.step import EVERY, Find, Step

#: Cells beside its own of which a thought that places no digit may strike out other digits in one breath.
OTHERS = 1

#: What a look shows: cells, ascending, with masks of the digits that go.
Answer = list[tuple[int, int]]


class ClueFinder:
    """
    Finds what looks show.

    The native core keeps each look's last answers and asks again only where its cells hold what is new to it.
    What a whole house among a look's primitives shows alone is left to the looks at houses.
    """

    def __init__(self, looks: Looks) -> None:
        self.looks = looks
        self._lookout = _native.Lookout(looks.frame.model.native, NODES)
        self._numbers: dict[Look, int] = {}
        self._families: dict[str, list[int]] = {}

    def finds(self, position: Position, family: str, about: int = EVERY) -> Iterator[Find]:
        """Yield what the looks of a family show of some candidates in this position, cell by cell."""
        frame = position.frame
        for look, shown in self.shown(position, family, about):
            for cell, gone in shown:
                if not frame.domain(about, cell) & gone:
                    continue
                left = position.domain(cell) & ~gone
                build = partial(self.step, position, look, cell, gone)
                if left and not left & (left - 1):
                    yield Find({cell: left.bit_length()}, {}, build)
                else:
                    yield Find({}, {cell: gone}, build)

    def shown(self, position: Position, family: str, about: int = EVERY) -> Iterator[tuple[Look, Answer]]:
        """Yield the looks of a family that show anything in this position, with what they show."""
        looks = self.looks.family(family)
        if about == EVERY:
            if family not in self._families:
                self._families[family] = [self._number(look) for look in looks]
            numbers = self._families[family]
        else:
            looks = [look for look in looks if look.scope & about]
            numbers = [self._number(look) for look in looks]
        for place, shown in self._lookout.shown(position.domains(), numbers):
            yield looks[place], shown

    def _number(self, look: Look) -> int:
        """Give the number under which the native core keeps a look."""
        if look not in self._numbers:
            apart = [self._number(house) for house in self.looks.whole_houses(look)]
            self._numbers[look] = self._lookout.add(look.ids, apart)
        return self._numbers[look]

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
        if left and not left & (left - 1):
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
            lone = after[cell] and not after[cell] & (after[cell] - 1)
            if lone and (placing or cell != target):
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
