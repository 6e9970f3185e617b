"""A step: one conclusion with the fewest premises from which it follows, and the path of all steps."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from saywhy.engine.constraints import Source
from saywhy.grid import Grid
from saywhy.primitives import digits_of


@dataclass(frozen=True)
class Reason:
    """
    The certificate of a step: this, and nothing else, forces its conclusion.

    Attributes:
        sources: The houses, grid-wide rules and clues that it uses.
        facts: For each cell relied on, the mask of digits known to be left there (one bit: placed).
    """

    sources: frozenset[Source]
    facts: dict[int, int]

    def of_kind(self, kind: str) -> list[Source]:
        """Give the sources of one kind (``house``, ``rule``, ``clue``) in order."""
        return sorted(source for source in self.sources if source.kind == kind)


@dataclass(frozen=True)
class Step:
    """
    One step of a path.

    Attributes:
        idea: What sort of thought it is, in the trade's words or plain ones (see ``effort.IDEAS``).
        reason: Its certificate.
        places: Digits placed, by cell.
        removes: Masks of digits struck out, by cell; disjoint from places.
        house: For a house idea, the house's index in ``frame.houses``.
        digits: For a house idea, the mask of digits that the thought is about.
        focus: For a contradiction in one cell, that cell.
        suppose: For a what-if, the cell and the mask of digits tried.
        story: For a what-if, its inner steps; the last one ends in a contradiction.
        breaks: Whether its reason alone cannot hold: the end of a story.
        effort: What a listener must hold in mind (see ``effort``).
        parts: The steps that it joins to one thought, in order; empty where it is one step.
    """

    idea: str
    reason: Reason
    places: dict[int, int] = field(default_factory=dict)
    removes: dict[int, int] = field(default_factory=dict)
    house: int | None = None
    digits: int = 0
    focus: int | None = None
    suppose: tuple[int, int] | None = None
    story: tuple[Step, ...] = ()
    breaks: bool = False
    effort: float = 0.0
    parts: tuple[Step, ...] = ()

    @property
    def inner_steps(self) -> int:
        """How many steps its story has, those of stories inside it counted too."""
        return sum(1 + inner.inner_steps for inner in self.story)

    def struck(self, full: int) -> dict[int, int]:
        """Give all digits ruled out, by cell: those removed, and all but the placed one."""
        return {
            **self.removes,
            **{cell: full & ~(1 << (digit - 1)) for cell, digit in self.places.items()},
        }


#: All candidates: what a finder is asked about where no others are named.
EVERY = -1


@dataclass(frozen=True)
class Find:
    """
    Something open in a position, its certificate not yet drawn up.

    Attributes:
        places: Digits it places, by cell.
        removes: Masks of digits it strikes out, by cell.
        build: Gives the step that strikes out as much as is wanted, told as a mask for each cell. It may
            strike out more where that follows, and digits that were gone before where these follow too.
    """

    places: dict[int, int]
    removes: dict[int, int]
    build: Callable[[Mapping[int, int]], Step]


@dataclass(frozen=True)
class Lit:
    """A group of cells that a text points at; ``role`` is look, because or result."""

    group: str
    cells: tuple[int, ...]
    role: str


@dataclass(frozen=True)
class Told:
    """
    A step in words.

    Attributes:
        text: Spoken: points at lit groups, stands alone.
        written: The same plan with coordinates.
        brief: The conclusion and its thought in one short sentence.
        marks: The lit groups.
    """

    text: str
    written: str
    brief: str
    marks: tuple[Lit, ...]


@dataclass(frozen=True)
class PathStep:
    """A step at its place in a path: numbered from 1, with its beat (from 1) and its words."""

    n: int
    beat: int
    step: Step
    told: Told

    def as_json(self, grid: Grid) -> dict[str, Any]:
        """Give the step in the form that DESIGN's outside contract names."""
        return {"n": self.n, "beat": self.beat, **_step_json(self.step, grid), **_told_json(self.told, grid)}


def _told_json(told: Told, grid: Grid) -> dict[str, Any]:
    return {
        "text": told.text,
        "written": told.written,
        "brief": told.brief,
        "marks": [
            {"group": lit.group, "cells": grid.names(lit.cells), "role": lit.role} for lit in told.marks
        ],
    }


def _step_json(step: Step, grid: Grid) -> dict[str, Any]:
    found: dict[str, Any] = {
        "idea": step.idea,
        "uses": {
            "clues": [source.number for source in step.reason.of_kind("clue")],
            "houses": [source.name for source in step.reason.of_kind("house")],
            "rules": [source.name for source in step.reason.of_kind("rule")],
        },
        "facts": [
            {"cell": grid.name(cell), "digits": digits_of(mask)}
            for cell, mask in sorted(step.reason.facts.items())
        ],
        "places": [{"cell": grid.name(cell), "digit": digit} for cell, digit in sorted(step.places.items())],
        "removes": [
            {"cell": grid.name(cell), "digits": digits_of(mask)}
            for cell, mask in sorted(step.removes.items())
        ],
        "effort": round(step.effort, 2),
    }
    if step.suppose is not None:
        cell, mask = step.suppose
        found["suppose"] = {"cell": grid.name(cell), "digits": digits_of(mask)}
    if step.story:
        found["story"] = [
            {"n": number, **_step_json(inner, grid), "breaks": inner.breaks}
            for number, inner in enumerate(step.story, 1)
        ]
    return found
