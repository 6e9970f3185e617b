"""
What-ifs: suppose a digit, follow simple looks, meet a contradiction; told as a story.

The native core follows each supposition through single primitives and gives the turns on which its
contradiction rests (native/looks.h). Here the shortest stories are drawn up as steps with certificates.
Where no supposition fails so, one may stand inside another, at the point where the outer one comes to rest.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from saywhy.engine import _native
from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent
from saywhy.reasoning.clues import ClueFinder
from saywhy.reasoning.effort import IDEAS, weighed
from saywhy.reasoning.evidence import Evidence
from saywhy.reasoning.houses import locked_digit, only_digit, only_place
from saywhy.reasoning.looks import Look
from saywhy.reasoning.position import Position
from saywhy.reasoning.small import small_reason
from saywhy.reasoning.step import Find, Reason, Step


@dataclass(frozen=True)
class Sort:
    """
    A sort of what-ifs that are weighed against each other.

    Attributes:
        longest: The most steps that its story may have.
        widest: The most digits that the cell may have where one is supposed. Striking one out of many
            seldom leads anywhere: without such a limit a path has three times as many what-ifs.
        depth: Suppositions standing inside each other within the story.
        weighed: How many that fail are weighed.
    """

    longest: int
    widest: int
    depth: int = 0
    weighed: int = 1000


#: The sorts of what-ifs in ascending order of effort: what a listener follows with ease comes first.
SORTS = (Sort(longest=3, widest=5), Sort(longest=8, widest=4), Sort(longest=10, widest=3, depth=1, weighed=6))

PLACE, ALONE, LINE, EMPTY, HOMELESS, BROKEN, NESTED, LOCKED = range(8)
#: A turn as the core gives it: kind, primitive, cell, digits, what it strikes out, turns inside it.
Turn = tuple[int, int, int, int, list[tuple[int, int]], list[Any]]


class Stories:
    """Finds what-ifs for one frame."""

    def __init__(self, finder: ClueFinder) -> None:
        self.frame = finder.looks.frame
        self.finder = finder
        self._looks: dict[int, Look] = {}
        self._house = {
            held.id: index
            for index, (house, source) in enumerate(self.frame.houses)
            for held in self.frame.of(source)
            if isinstance(held.primitive, AllDifferent) and set(held.cells) == set(house.cells)
        }
        self.follower = _native.Follower(self.frame.model.native, len(self.frame.stated), sorted(self._house))

    def finds(self, position: Position, sort: Sort) -> Iterator[Find]:
        """Yield the what-if of a sort that strikes out most for its length."""
        story = self.follower.cheapest(
            position.domains(), sort.depth, sort.weighed, sort.longest, sort.widest
        )
        if story is not None:
            cell, digit, turns = story
            yield Find({}, {cell: digit}, partial(self._wanted_story, position, cell, digit, turns))

    def again(self, position: Position, step: Step) -> Step | None:
        """Tell a what-if anew from a position in which more may be known; None where nothing fails there."""
        assert step.suppose is not None
        cell, digit = step.suppose
        depth = int(any(inner.story for inner in step.story))
        turns = self.follower.follow(position.domains(), cell, digit, depth)
        return None if turns is None else self._story(position, cell, digit, turns)

    def _wanted_story(
        self, position: Position, cell: int, digit: int, turns: Sequence[Turn], _wanted: Mapping[int, int]
    ) -> Step:
        return self._story(position, cell, digit, turns)

    def _look(self, primitive: int) -> Look:
        if primitive not in self._looks:
            held = self.frame.held[primitive]
            looks = self.finder.looks
            self._looks[primitive] = looks.make("clue", [held, *looks.distinctness(held.cells)])
        return self._looks[primitive]

    def _story(self, position: Position, cell: int, digit: int, turns: Sequence[Turn]) -> Step:
        frame = self.frame
        here = position.copy()
        here.place(cell, digit.bit_length())
        told: list[Step] = []
        for place, turn in enumerate(turns):
            for step in self._steps(here, turn, turns[place + 1 :]):
                told.append(weighed(frame, step))
                if step.breaks:
                    return close(position, cell, digit, told)
                here.apply(step)
                # What placed digits strike out at sight may end a story before the core's last turn.
                if here.broken:
                    told.append(weighed(frame, self._empty(here)))
                    return close(position, cell, digit, told)
        return close(position, cell, digit, told)

    def _steps(self, here: Position, turn: Turn, later: Sequence[Turn]) -> list[Step]:
        """Give the steps of one turn; none where what it shows is seen on the board by now."""
        kind, primitive, cell, digits, removed, inner = turn
        if kind == LINE:
            return self._line(here, primitive, removed, later)
        if kind == LOCKED:
            return self._locked(here, turn)
        if kind == NESTED:
            return self._nested(here, cell, digits, inner)
        if kind not in (PLACE, ALONE):
            return [self._end(here, turn)]
        if here.placed[cell]:
            return []
        return [
            only_digit(here, cell, digits.bit_length())
            if kind == PLACE
            else only_place(here, self._house[primitive], cell, digits.bit_length(), last=False)
        ]

    def _locked(self, here: Position, turn: Turn) -> list[Step]:
        """Give what a digit strikes out wherever it stands; by now it may have one place left, or none."""
        _, primitive, _, digits, removed, _ = turn
        index = self._house[primitive]
        places = [cell for cell in here.frame.houses[index][0].cells if here.domain(cell) & digits]
        if not places:
            return [self._homeless(here, index, digits)]
        if len(places) == 1:
            (cell,) = places
            placed = here.placed[cell]
            return [] if placed else [only_place(here, index, cell, digits.bit_length(), last=False)]
        gone = sum(mask << (where * self.frame.n) for where, mask in removed) & here.candidates
        return [find.build({}) for find in locked_digit(here, index, digits.bit_length(), gone)]

    def _nested(self, here: Position, cell: int, digit: int, inner: Sequence[Turn]) -> list[Step]:
        if not digit & here.domain(cell):
            return []
        story = self._story(here, cell, digit, inner)
        return [weighed(self.frame, story)]

    def _line(
        self, here: Position, primitive: int, removed: list[tuple[int, int]], later: Sequence[Turn]
    ) -> list[Step]:
        """Give what one primitive strikes out as one step, digits placed where they matter later."""
        look = self._look(primitive)
        places: dict[int, int] = {}
        removes: dict[int, int] = {}
        sources: set[Source] = set()
        facts: dict[int, int] = {}
        ideas = []
        for cell, mask in removed:
            gone = mask & here.domain(cell)
            left = here.domain(cell) & ~mask
            if not gone:
                continue
            stands = left.bit_count() == 1 and any(turn[0] == PLACE and turn[2] == cell for turn in later)
            small = small_reason(here, look, cell, gone, left if stands else 0)
            sources |= small.reason.sources
            for where, known in small.reason.facts.items():
                facts[where] = facts.get(where, known) & known
            ideas.append(self.finder.idea(small))
            if stands:
                places[cell] = left.bit_length()
            else:
                removes[cell] = gone
        if not ideas:
            return []
        idea = max(ideas, key=IDEAS.__getitem__)
        return [Step(idea, Reason(frozenset(sources), facts), places, removes)]

    @staticmethod
    def _empty(here: Position) -> Step:
        """Give the contradiction of a cell that has nothing left."""
        where = here.domains().index(0)
        evidence = Evidence(here)
        evidence.need(where, here.frame.full)
        return Step("only digit", evidence.reason(), breaks=True, focus=where)

    @staticmethod
    def _homeless(here: Position, index: int, digit: int) -> Step:
        """Give the contradiction of a digit (as a mask) that has no place left in a house."""
        house, source = here.frame.houses[index]
        evidence = Evidence(here, [source])
        for where in house.cells:
            evidence.need(where, digit)
        return Step("only place", evidence.reason(), breaks=True, house=index, digits=digit)

    def _end(self, here: Position, turn: Turn) -> Step:
        """Give the contradiction, in the simplest form that holds by now."""
        kind, primitive, cell, digits, _, _ = turn
        if here.broken:
            return self._empty(here)
        if kind == HOMELESS:
            return self._homeless(here, self._house[primitive], digits)
        assert kind == BROKEN, f"cell {cell} still has digits"
        small = small_reason(here, self._look(primitive), None, 0)
        return Step(self.finder.idea(small), small.reason, breaks=True)


def close(position: Position, cell: int, digit: int, told: Sequence[Step]) -> Step:
    """
    Give the what-if whose story this is, its certificate being what the inner steps use.

    Args:
        position: Where the solve stands, nothing supposed.
        cell: The cell.
        digit: The digit supposed, as a mask.
        told: The inner steps, the last of which breaks.
    """
    frame, full = position.frame, position.frame.full
    wanted: dict[int, int] = {}
    kept: list[Step] = []
    for step in reversed(told):
        struck = step.struck(full)
        if not step.breaks and not any(wanted.get(where, 0) & mask for where, mask in struck.items()):
            continue
        for where, mask in struck.items():
            wanted[where] = wanted.get(where, 0) & ~mask
        for where, mask in step.reason.facts.items():
            known = full & ~(position.marks >> (where * frame.n)) & full
            wanted[where] = wanted.get(where, 0) | full & ~mask & ~known
        kept.append(step)
    facts: dict[int, int] = {}
    for step in kept:
        for where, mask in step.reason.facts.items():
            base = full & ~mask & ~(position.marks >> (where * frame.n)) & full
            if base and where != cell:
                facts[where] = facts.get(where, full) & ~base
    return Step(
        "what-if",
        Reason(frozenset(source for step in kept for source in step.reason.sources), facts),
        removes={cell: digit},
        suppose=(cell, digit),
        story=tuple(reversed(kept)),
    )
