"""
Equal-sum cages.

Meaning:
    The groups of one clue all have the same sum, and no digit repeats inside a group.
Drawn as:
    A dotted outline around each group with an equals sign in its corner; a letter tells sets apart.
Example:
    Two cells with 4 and 9 and three cells with 1, 5 and 7: both make 13.
Often confused with:
    Killer cages, whose totals are printed; clones, which hold the same digits.
Source:
    Common practice of the trade.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from saywhy.grid import House
from saywhy.primitives import AllDifferent, Primitive, balance
from saywhy.ranges import check_length, distinct_range
from saywhy.rule import GroupsRule, Part, Phrases, RuleError
from saywhy.shapes import Area, Shape, Texture


@dataclass(frozen=True)
class EqualSumCages(GroupsRule):
    """Groups without repeats that all make the same."""

    name: ClassVar[str] = "equal-sum-cages"
    title: ClassVar[str] = "Equal-sum cages"
    specimen: ClassVar[str] = """
size = 6

[[clue]]
rule = "equal-sum-cages"
groups = ['r1c1 r1c2', 'r3c4 r3c5 r4c5', 'r6c2']
"""

    def __post_init__(self) -> None:
        owner: dict[int, int] = {}
        for number, group in enumerate(self.groups, 1):
            check_length(f"group {number}", len(group), self.grid.size, "its digits do not repeat")
            for cell in group:
                if cell in owner:
                    what = f"{self.grid.name(cell)} is in groups {owner[cell]} and {number}"
                    raise RuleError("groups", what, "Name each cell in one group only")
                owner[cell] = number
        ranges = [distinct_range(len(group), self.grid.size) for group in self.groups]
        least, most = max(low for low, _ in ranges), min(high for _, high in ranges)
        if least > most:
            what = f"one group makes at least {least} and another at most {most}"
            raise RuleError("groups", what, "Change the groups, so that all can make the same")

    def holds(self, digits: Sequence[int]) -> bool | None:
        """Say whether no group repeats a digit and all make the same."""
        held = self.held(digits)
        if held is None:
            return None
        return all(len(set(group)) == len(group) for group in held) and len({sum(g) for g in held}) == 1

    def compile(self) -> list[Primitive]:
        """All different in each group, and each group against the shortest."""
        shortest = min(self.groups, key=len)
        different: list[Primitive] = [AllDifferent(group) for group in self.groups if len(group) > 1]
        return different + [balance(group, shortest) for group in self.groups if group != shortest]

    def draw(self) -> list[Shape]:
        """A dotted outline around each group."""
        return [Area(group, Texture.DOTTED, ink=1, label=f"={self.tag}") for group in self.groups]

    @property
    def phrases(self) -> Phrases:
        """The words for it."""
        tag = f" {self.tag}" if self.tag else ""
        return Phrases(
            noun=f"equal-sum cages{tag}",
            parts=tuple(Part("cage cell", "cage", group) for group in self.groups),
            law=f"the cages{tag} all make the same",
            spoken="Cages with an equals sign all make the same total, without repeats inside a cage.",
            written=(
                "All cages marked with an equals sign (and the same letter, if any) have the same sum. No "
                "digit repeats in such a cage."
            ),
        )

    def houses(self) -> list[House]:
        """Each group as large as a row."""
        whole = [tuple(sorted(group)) for group in self.groups if len(group) == self.grid.size]
        return [House("cage", number, group) for number, group in enumerate(sorted(whole), 1)]
