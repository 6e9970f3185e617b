"""
What a wish comes down to: a count.

Every wish of a host says of some puzzles and some slots how often at least, and how often at most, one of
those puzzles stands in one of those slots. A demand is one such sentence, small enough to be told.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from saywhy.plan.series import Line, Series


@dataclass(frozen=True)
class Block:
    """Some candidates in some slots, each by number."""

    candidates: frozenset[int]
    slots: tuple[int, ...]


@dataclass(frozen=True)
class Demand:
    """
    How often candidates stand in slots.

    Attributes:
        blocks: What is counted.
        words: What is asked for, as a sentence without its full stop.
        least: Fewest.
        most: Most; None for any number.
    """

    blocks: tuple[Block, ...]
    words: str
    least: int = 0
    most: int | None = None

    def count(self, line: Line) -> int:
        """Count in a line."""
        return sum(line[slot] in block.candidates for block in self.blocks for slot in block.slots)

    def shortfall(self, line: Line) -> int:
        """Give by how many it is missed; 0 where it holds."""
        count = self.count(line)
        over = 0 if self.most is None else count - self.most
        return max(0, self.least - count, over)

    @property
    def slots(self) -> frozenset[int]:
        """All slots that it speaks of."""
        return frozenset(slot for block in self.blocks for slot in block.slots)


def spared(series: Series, blocks: Iterable[Block], words: str, most: int) -> Demand:
    """Give a demand of at most so many, or of what recorded and published episodes already come to."""
    held = tuple(blocks)
    fixed = sum(series.fixed.get(slot) in block.candidates for block in held for slot in block.slots)
    return Demand(held, words, 0, max(most, fixed))
