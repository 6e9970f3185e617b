"""
Looks at clues that remember what they showed, in whatever position they were asked before.

A path goes one way, and the native core keeps each look's last answer. A review goes to and fro: from what
stands to what a chain would lead to, to what a doubtful digit would lead to, and back, move after move. So
each look keeps many answers here, by what its cells held.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from saywhy.reasoning.clues import ClueFinder
from saywhy.reasoning.looks import Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Find

#: So many answers a look keeps; then it begins anew.
KEPT = 64

#: What a look showed: cells with masks of the digits that go.
Answer = list[tuple[int, int]]


class RememberingFinder(ClueFinder):
    """Finds what looks show, as ``ClueFinder`` does, with a memory of many positions."""

    def __init__(self, looks: Looks) -> None:
        super().__init__(looks)
        self._answers: dict[str, list[dict[int, Answer]]] = {}

    def finds(self, position: Position, family: str) -> Iterator[Find]:
        """Yield what the looks of a family show in this position, cell by cell."""
        looks = self.looks.family(family)
        if family not in self._answers:
            self._families[family] = [self._number(look) for look in looks]
            self._answers[family] = [{} for _ in looks]
        answers, numbers = self._answers[family], self._families[family]
        keys = [position.candidates & look.scope for look in looks]
        unknown = [place for place, key in enumerate(keys) if key not in answers[place]]
        if unknown:
            asked = [numbers[place] for place in unknown]
            shown = dict(self._lookout.shown(position.domains(), asked))
            for number, place in enumerate(unknown):
                if len(answers[place]) >= KEPT:
                    answers[place].clear()
                answers[place][keys[place]] = shown.get(number, [])
        for look, key, held in zip(looks, keys, answers, strict=True):
            for cell, gone in held[key]:
                left = position.domain(cell) & ~gone
                build = partial(self.step, position, look, cell, gone)
                if left and not left & (left - 1):
                    yield Find({cell: left.bit_length()}, {}, build)
                else:
                    yield Find({}, {cell: gone}, build)
