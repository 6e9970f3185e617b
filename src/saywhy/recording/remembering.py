"""
Looks at clues that remember what they showed, in whatever position they were asked before.

A path goes one way, and the native core keeps each look's last answer. A review goes to and fro: from what
stands to what a chain would lead to, to what a doubtful digit would lead to, and back, move after move. So
each look keeps many answers here, by what its cells held.
"""

from __future__ import annotations

from collections.abc import Iterator

from saywhy.reasoning.clues import Answer, ClueFinder
from saywhy.reasoning.looks import Look, Looks
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import EVERY

#: So many answers a look keeps; then it begins anew.
KEPT = 64


class RememberingFinder(ClueFinder):
    """Finds what looks show, as ``ClueFinder`` does, with a memory of many positions."""

    def __init__(self, looks: Looks) -> None:
        super().__init__(looks)
        self._answers: dict[Look, dict[int, Answer]] = {}

    def shown(self, position: Position, family: str, about: int = EVERY) -> Iterator[tuple[Look, Answer]]:
        """Yield the looks of a family that show anything in this position, with what they show."""
        looks = (look for look in self.looks.family(family) if look.scope & about)
        keyed = [(look, position.candidates & look.scope) for look in looks]
        unknown = [(look, key) for look, key in keyed if key not in self._answers.setdefault(look, {})]
        if unknown:
            numbers = [self._number(look) for look, _ in unknown]
            told = dict(self._lookout.shown(position.domains(), numbers))
            for place, (look, key) in enumerate(unknown):
                if len(self._answers[look]) >= KEPT:
                    self._answers[look].clear()
                self._answers[look][key] = told.get(place, [])
        for look, key in keyed:
            if self._answers[look][key]:
                yield look, self._answers[look][key]
