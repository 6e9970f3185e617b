"""Denials: the digits that a step rules out, supposed in few groups, each followed to its end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from saywhy.primitives import digits_of
from saywhy.reasoning.words import ends
from saywhy.reasoning.words.chains import Follower, told
from saywhy.reasoning.words.clauses import clause
from saywhy.reasoning.words.moves import Drawn
from saywhy.reasoning.words.scene import Scene

#: Most links of one story within an ordinary step; suppositions that a step is told by; and before alike ones
#: are taken together.
LINKS, GROUPS, MANY = 5, 3, 6


@dataclass(frozen=True)
class Denial:
    """
    One supposition that fails.

    Attributes:
        cells: In one of these cells, whichever.
        digits: One of these digits, as a mask.
        links: What follows, the contradiction last.
    """

    cells: tuple[int, ...]
    digits: int
    links: tuple[Drawn, ...]


def by_digit(scene: Scene, follower: Follower) -> list[Denial]:
    """One story for each digit ruled out, where there are one to three: "with a 4 in either of these"."""
    step = scene.step
    if step.places or not step.removes:
        return []
    digits: dict[int, list[int]] = {}
    for cell, removed in step.removes.items():
        for digit in digits_of(removed & scene.domain(cell)):
            digits.setdefault(digit, []).append(cell)
    if not 1 <= len(digits) <= GROUPS:
        return []
    found = []
    for digit, cells in digits.items():
        denial = _denied(follower, tuple(sorted(cells)), 1 << (digit - 1))
        if denial is None:
            return []
        found.append(denial)
    return found


def by_cell(scene: Scene, follower: Follower) -> list[Denial]:
    """The digits ruled out of a cell at once, or in two or three groups: "with this cell below 5"."""
    start = follower.start()
    found: list[Denial] = []
    left = dict(scene.results)
    together: dict[int, list[int]] = {}
    for cell, mask in left.items():
        gone = start[cell] & ~mask
        if gone and not gone & (gone - 1):
            together.setdefault(gone, []).append(cell)
    for gone, cells in together.items():
        denial = _denied(follower, tuple(cells), gone, start) if len(cells) > 1 else None
        if denial is not None:
            found.append(denial)
            for cell in cells:
                start[cell] &= ~gone
    order = [
        cell for cell in sorted(left, key=lambda c: (left[c].bit_count(), c)) if start[cell] & ~left[cell]
    ]
    if len(order) + len(found) > MANY:
        return []
    for cell in order:
        more = _groups(follower, cell, start[cell] & ~left[cell], left[cell], start)
        if more is None:
            return []
        found += more
        start[cell] &= left[cell]
    return found if len(found) <= MANY else []


def _denied(
    follower: Follower, cells: tuple[int, ...], digits: int, start: Sequence[int] | None = None
) -> Denial | None:
    chain = follower.follow(cells, digits, start)
    if chain is None or len(told(chain)) > LINKS:
        return None
    if len(cells) > 1 and any(not d.link.left.get(cell, digits) & digits for d in chain for cell in cells):
        return None  # One of the cells has no such digit anyway: that would be its whole reason.
    return Denial(cells, digits, tuple(chain))


def _groups(follower: Follower, cell: int, gone: int, left: int, start: Sequence[int]) -> list[Denial] | None:
    """Suppose all of the digits at once; failing that, as few groups of them as there can be."""
    whole = _denied(follower, (cell,), gone, start)
    if whole is not None and not is_empty(follower.scene, whole):
        return [whole]
    if any(not follower.fails(cell, digit, start) for digit in digits_of(gone)):
        return None
    low = gone & ((left & -left) - 1)
    high = gone & ~((1 << left.bit_length()) - 1)
    found: list[Denial] = []
    for part in (low, high):
        denied = _denied(follower, (cell,), part, start) if part else None
        if denied is not None:
            found.append(denied)
            gone &= ~part
    if not gone:
        return found
    for digit in digits_of(gone):
        bit = 1 << (digit - 1)
        for place, before in enumerate(found):
            if before.digits & (low | high) and before.digits.bit_count() > 1:
                continue
            both = _denied(follower, (cell,), before.digits | bit, start)
            if both is not None and len(told(both.links)) <= len(told(before.links)):
                found[place] = both
                break
        else:
            alone = _denied(follower, (cell,), bit, start)
            if alone is None or len(found) == GROUPS:
                return None
            found.append(alone)
    return found


def is_empty(scene: Scene, denial: Denial) -> bool:
    """Say whether its end names no digit and no sum."""
    return ends.is_empty(clause(scene, denial.links[-1].link))
