"""
A step seen as its certificate alone: what each premise is to the eye, and what follows from them.

Everything a sentence says is worked out from the scene, so that no sentence can claim more than the
certificate holds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent, digits_of
from saywhy.reasoning.frame import Frame, Held
from saywhy.reasoning.lean import called_on
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step
from saywhy.reasoning.words.names import Names
from saywhy.rule import ClueRule

NODES = 4000


@dataclass(slots=True)
class Sight:
    """A placed digit that strikes digits out of a cell along a house, rule or clue."""

    source: Source
    cell: int
    digit: int
    struck: int


class Scene:
    """
    One step and its certificate.

    Attributes:
        frame: The puzzle made ready.
        names: What its things are called.
        position: Where the solve stands before the step.
        step: The step.
        facts: For each cell relied on, the mask of digits left.
        standing: The facts that are digits on the board, by cell.
        marks: The facts that are written marks, by cell.
    """

    def __init__(self, frame: Frame, names: Names, position: Position, step: Step) -> None:
        self.frame, self.names, self.position, self.step = frame, names, position, step
        self.n, self.full = frame.n, frame.full
        self.facts: Mapping[int, int] = step.reason.facts
        self.standing = {
            cell: mask.bit_length() for cell, mask in self.facts.items() if not mask & (mask - 1) and mask
        }
        self.marks = {cell: mask for cell, mask in self.facts.items() if mask & (mask - 1)}
        self.sources = step.reason.sources
        self._sights: dict[int, list[Sight]] = {}
        self._domains: dict[int, int] = {}

    def grid_name(self, cell: int) -> str:
        """Give a cell's name in r1c1 notation."""
        return self.frame.grid.name(cell)

    # What is known of one cell

    def sights(self, cell: int) -> list[Sight]:
        """Give the standing digits of the certificate that strike out of a cell, and along what."""
        if cell not in self._sights:
            found = []
            for other, digit in self.standing.items():
                for held in self.frame.relations.get((other, cell), ()):
                    (source,) = held.sources
                    if source in self.sources:
                        found.append(Sight(source, other, digit, self.frame.struck(held, other, digit)))
            self._sights[cell] = found
        return self._sights[cell]

    def domain(self, cell: int) -> int:
        """Give the mask of digits that the certificate's facts leave a cell, before any thought."""
        if cell not in self._domains:
            mask = self.facts.get(cell, self.full)
            if cell not in self.standing:
                for sight in self.sights(cell):
                    mask &= ~sight.struck
            self._domains[cell] = mask
        return self._domains[cell]

    def digits(self, cell: int) -> list[int]:
        """Give the same as a list."""
        return digits_of(self.domain(cell))

    def marked(self, cell: int) -> int:
        """Give the digits gone from a cell by its written mark."""
        return self.full & ~self.marks.get(cell, self.full)

    # What differs

    @cached_property
    def _differ(self) -> dict[tuple[int, int], Source]:
        return {}

    def differ(self, a: int, b: int) -> Source | None:
        """Give a source of the certificate under which two cells differ, clues first; None if none."""
        key = (a, b) if a < b else (b, a)
        if key not in self._differ:
            found = None
            for held in self.frame.relations.get(key, ()):
                (source,) = held.sources
                if source in self.sources and isinstance(held.primitive, AllDifferent):
                    found = source
                    if source.kind == "clue":
                        break
            self._differ[key] = found  # type: ignore[assignment]
        return self._differ[key]

    def different(self, cells: Iterable[int]) -> bool:
        """Say whether the certificate makes all these cells differ."""
        held = list(cells)
        return all(self.differ(a, b) is not None for i, a in enumerate(held) for b in held[i + 1 :])

    # What follows

    @cached_property
    def results(self) -> dict[int, int]:
        """For each cell concluded on, placed ones first: the digits that the certificate leaves it."""
        found = {cell: 1 << (digit - 1) for cell, digit in self.step.places.items()}
        if self.step.removes:
            after = self._after()
            for cell, removed in self.step.removes.items():
                found[cell] = after[cell] & ~removed if after is not None else self.full & ~removed
        return found

    def _after(self) -> list[int] | None:
        """Give what the sources and facts of a clue step leave every cell; None where not worked out."""
        helds = self.helds
        if not helds:
            return None
        domains = [self.full] * len(self.frame.grid.cells)
        for cell in {cell for held in helds for cell in held.cells}:
            domains[cell] = self.domain(cell)
        after, _ = self.frame.model.shows([held.id for held in helds], domains, NODES)
        return list(after)

    @cached_property
    def helds(self) -> list[Held]:
        """
        The primitives of the certificate: clues whole, beside them the houses of the cells in question.

        Where the conclusion does not follow from these, houses that hang on by fewer cells are whole as well.
        """
        found = called_on(self.frame, self.step, self.sources)
        if not self.clue_sources or self._follows(found):
            return found
        wider = self._wider(found)
        if not self._follows(wider):
            return found
        for held in [held for held in wider if held not in found]:
            less = [other for other in wider if other is not held]
            if self._follows(less):
                wider = less
        return wider

    def _wider(self, found: Sequence[Held]) -> list[Held]:
        """Add the whole houses of the certificate that meet the cells in question, and what meets these."""
        wider = list(found)
        cells = {cell for held in wider for cell in held.cells} | self.step.places.keys()
        cells |= self.step.removes.keys()
        for source in sorted(self.sources):
            for held in self.frame.of(source) if source.kind == "house" else ():
                if held not in wider and not cells.isdisjoint(held.cells):
                    wider = [other for other in wider if other.sources != held.sources] + [held]
                    cells.update(held.cells)
        return wider

    def _follows(self, helds: Sequence[Held]) -> bool:
        """Say whether the conclusion follows from these primitives and the facts."""
        ids = [held.id for held in helds]
        domains = [self.full] * len(self.frame.grid.cells)
        for cell in {cell for held in helds for cell in held.cells}:
            domains[cell] = self.domain(cell)
        for cell, struck in self.step.struck(self.full).items():
            asked = [*domains]
            asked[cell] &= self.domain(cell) & struck
            if asked[cell] and self.frame.model.refutes(ids, asked, NODES) is not True:
                return False
        return True

    # The clues

    @cached_property
    def clue_sources(self) -> list[Source]:
        """The clues of the certificate that do more than let a digit be seen, in order."""
        return self.step.reason.of_kind("clue")

    def clue(self, source: Source) -> ClueRule:
        """Give a placed clue."""
        return self.frame.clues[source.number]
