"""
Derived sums: what one to three houses make in all, less the sums that lie in them.

Houses that share no cell hold all digits once each, so their cells make ``k n (n + 1) / 2``. Take away the
sum clues that lie inside, and those that reach out: a few cells inside (innies) less a few outside
(outies) make what is left. Common practice of the trade, there called the 45 rule on 9x9.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from saywhy.engine.constraints import Source
from saywhy.primitives import Linear, balance
from saywhy.reasoning.frame import Frame, Held

#: More cells than these left over, and the sum says too little to be worth telling.
CELLS = 4
#: At most this many clues that reach out are taken away together.
REACHING = 4


def derived_sums(frame: Frame) -> Iterator[Held]:
    """Yield the derived sums of a frame, few houses first."""
    sums = [
        held
        for held in frame.stated
        if isinstance(held.primitive, Linear)
        and all(weight == 1 for weight in held.primitive.coefficients)
        and all(source.kind == "clue" for source in held.sources)
    ]
    if not sums:
        return
    for houses in _groups(frame):
        cells = {cell for cells, _ in houses for cell in cells}
        touching = [held for held in sums if cells & set(held.cells)]
        inside = _disjoint(held for held in touching if set(held.cells) <= cells)
        reaching = [held for held in touching if not set(held.cells) <= cells]
        left = cells - {cell for held in inside for cell in held.cells}
        near = [held for held in reaching if set(held.cells) & cells <= left]
        total = len(houses) * frame.n * (frame.n + 1) // 2
        for size in range(min(REACHING, len(near)) + 1):
            for chosen in combinations(near, size):
                used = [cell for held in chosen for cell in held.cells]
                if len(set(used)) < len(used):
                    continue
                inner, outer = left - set(used), set(used) - cells
                taken = [*inside, *chosen]
                if not taken or not 1 <= len(inner) + len(outer) <= CELLS:
                    continue
                rest = total - sum(_total(held) for held in taken)
                sources = {source for _, source in houses} | {s for held in taken for s in held.sources}
                yield frame.derive(balance(sorted(inner), sorted(outer), rest), sources)


def _total(held: Held) -> int:
    assert isinstance(held.primitive, Linear)
    return held.primitive.total


def _disjoint(helds: Iterator[Held]) -> list[Held]:
    """Give sums that share no cell, in the order given."""
    kept: list[Held] = []
    used: set[int] = set()
    for held in helds:
        if not used & set(held.cells):
            kept.append(held)
            used |= set(held.cells)
    return kept


def _groups(frame: Frame) -> Iterator[list[tuple[tuple[int, ...], Source]]]:
    """Yield one to three houses of one kind that lie beside each other; whole bands come as regions."""
    for kind in ("region", "row", "column"):
        same = [(h.cells, source) for h, source in frame.houses if h.kind == kind and source.kind == "house"]
        for size in (1, 2, 3):
            for chosen in combinations(same, size):
                if size == 1 or _beside(frame, [cells for cells, _ in chosen]):
                    yield list(chosen)


def _beside(frame: Frame, houses: list[tuple[int, ...]]) -> bool:
    """Say whether the houses hang together, each touching the next by sides."""
    return all(
        any(other in after for cell in before for other in frame.grid.orthogonal(cell))
        for before, after in zip(houses, map(set, houses[1:]), strict=False)
    )
