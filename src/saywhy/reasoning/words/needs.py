"""Of all that is known of some cells, what a thought needs: nothing else is said before it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from saywhy.primitives import digits_of
from saywhy.reasoning.words.plan import Phrase, join
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck

#: Digits struck out that are looked at one by one.
MOST = 24


def lead(
    scene: Scene, cells: Sequence[int], still: Callable[[Mapping[int, int]], bool], *, room: int = 2
) -> list[Phrase]:
    """
    Say what a thought starts from, in one sentence or two.

    Args:
        scene: The scene.
        cells: The cells that the thought is about.
        still: Whether the thought holds with these digits left, a mask for each cell.
        room: Sentences that there is room for.

    Returns:
        The sentences; none where nothing is relied on.
    """
    struck = Struck(scene, cells, own=False)
    if not struck:
        return []
    if not struck.short:
        lean = Struck(scene, cells, needed(scene, cells, still), own=False)
        two = [] if lean.short or room < 2 else lean.in_two()
        if two:
            return two
        struck = lean
    return [join(struck.told(cells))]


def needed(scene: Scene, cells: Sequence[int], still: Callable[[Mapping[int, int]], bool]) -> dict[int, int]:
    """Give for each cell the mask of digits that must be struck out for a thought to hold."""
    left = {cell: scene.domain(cell) for cell in cells if cell not in scene.standing}
    wanted = dict.fromkeys(left, scene.full)
    gone = {}
    for cell, mask in left.items():
        by_clue = 0
        for sight in scene.sights(cell):
            by_clue |= sight.struck if sight.source.kind == "clue" else 0
        gone[cell] = digits_of(scene.full & ~mask & ~by_clue)
    if sum(map(len, gone.values())) > MOST:
        return wanted
    for cell, digits in gone.items():
        for digit in digits:
            bit = 1 << (digit - 1)
            tried = {**left, cell: left[cell] | bit}
            if still(tried):
                left = tried
                wanted[cell] &= ~bit
    return wanted
