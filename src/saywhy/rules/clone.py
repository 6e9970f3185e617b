"""
Clone.

Meaning:
    The groups of one clue have the same shape and hold the same digits in the same places.
Drawn as:
    A hatched surface on each group; a letter tells sets of clones apart.
Example:
    Two L shapes of three cells; a 5 in the corner of one is a 5 in the corner of the other.
Often confused with:
    Equal-sum cages, which share a total only; a palindrome, which mirrors one line.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import eq
from typing import ClassVar

from saywhy.primitives import Primitive, relation
from saywhy.rule import GroupsRule, Part, Phrases, RuleError
from saywhy.shapes import Area, Shape, Texture


@dataclass(frozen=True)
class Clone(GroupsRule):
    """Groups of one shape that hold the same digits; the cells of each group in reading order."""

    name: ClassVar[str] = "clone"
    title: ClassVar[str] = "Clone"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "clone"
groups = ['r1c1 r1c2 r2c1', 'r4c5 r4c6 r5c5']

[[clue]]
rule = "clone"
groups = ["r3c2 r3c3", "r6c3 r6c4"]
"""

    def __post_init__(self) -> None:
        object.__setattr__(self, "groups", tuple(tuple(sorted(group)) for group in self.groups))
        for number, group in enumerate(self.groups[1:], 2):
            if self._shape(group) != self._shape(self.groups[0]):
                what = f"group {number} has not the shape of group 1"
                raise RuleError("groups", what, "Name the same shape, moved but neither turned nor mirrored")
        if len(set(self.groups)) < len(self.groups):
            raise RuleError("groups", "two groups are the same cells", "Name each group once")

    def _shape(self, group: tuple[int, ...]) -> list[tuple[int, int]]:
        places = [self.grid.place(cell) for cell in group]
        row, column = places[0]
        return [(r - row, c - column) for r, c in places]

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether all groups, in reading order, hold the same digits."""
        held = self.held(digits)
        return None if held is None else len(set(held)) == 1

    def compile(self) -> list[Primitive]:
        """Each cell equals the one in its place in the next group."""
        n = self.grid.size
        first, *others = self.groups
        return [relation(a, b, n, eq) for group in others for a, b in zip(first, group, strict=True)]

    def draw(self) -> list[Shape]:
        """A hatched surface on each group."""
        fill = Texture.HATCHED
        return [Area(group, outline=None, fill=fill, ink=2, label=self.tag) for group in self.groups]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        tag = f" {self.tag}" if self.tag else ""
        return Phrases(
            noun=f"clones{tag}",
            parts=tuple(Part("clone cell", "clone", group) for group in self.groups),
            law=f"the clones{tag} hold the same digits in the same places",
            spoken="Hatched shapes are clones: the same digits in the same places.",
            written=(
                "Hatched areas of the same shape (and the same letter, if any) hold the same digits in "
                "the same places."
            ),
        )
