"""The end of a reason: what follows, for which cells."""

from __future__ import annotations

from collections.abc import Container, Mapping

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import Phrase, Ref, join, say
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import says


def groups(scene: Scene, left: Mapping[int, int]) -> list[tuple[tuple[int, ...], int]]:
    """
    Group the cells concluded on by the digits left to them, those with the fewest first.

    Args:
        scene: The scene.
        left: For each cell that the step concludes on, the digits that the thought leaves it.
    """
    found: dict[int, list[int]] = {}
    for cell in {**scene.step.places, **scene.step.removes}:
        found.setdefault(left[cell], []).append(cell)
    return sorted(
        ((tuple(sorted(cells)), mask) for mask, cells in found.items()),
        key=lambda item: (item[1].bit_count() != 1, item[1].bit_count(), item[0]),
    )


def enough(scene: Scene, left: Mapping[int, int], *, exact: bool = True) -> bool:
    """
    Say whether what a thought leaves is all that the step concludes, and no more than its certificate.

    Args:
        scene: The scene.
        left: For each cell concluded on, the digits that the thought leaves.
        exact: Whether more than the certificate is refused; not so for one case of several.
    """
    for cell, digit in scene.step.places.items():
        if left.get(cell) != 1 << (digit - 1):
            return False
    for cell, removed in scene.step.removes.items():
        mask = left.get(cell)
        if mask is None or mask & removed or (exact and scene.results[cell] & ~mask):
            return False
    return True


def conclusion(scene: Scene, left: Mapping[int, int], *, said: Container[int] = ()) -> Phrase:
    """
    Say what follows: "this cell is 7", "these two are 1 and 3", "6 or more here and 3 at most there".

    Args:
        scene: The scene.
        left: For each cell concluded on, the digits left.
        said: Cells of which that has been said already.
    """
    return join(phrase for _, phrase in concluded(scene, left, said=said))


def concluded(
    scene: Scene, left: Mapping[int, int], *, said: Container[int] = ()
) -> list[tuple[tuple[int, ...], Phrase]]:
    """Give the same part by part, with the cells of each; cells that lose the same digits are told as one."""
    found: dict[str, tuple[list[int], int]] = {}
    for every, mask in groups(scene, left):
        cells = tuple(cell for cell in every if cell not in said)
        if not cells:
            continue
        what = verdict(scene, cells, mask, many=True)
        key = what if what.startswith("have no ") else f"{what} {mask}"
        found.setdefault(key, ([], mask))[0].extend(cells)
    parts = []
    for together, mask in found.values():
        cells = tuple(sorted(together))
        ref = result_ref(scene, cells)
        parts.append((cells, say("{} {}", ref, verdict(scene, cells, mask, many=ref.many))))
    return parts


def result_ref(scene: Scene, cells: tuple[int, ...], which: str = "this") -> Ref:
    """Point at cells concluded on, by the names that their clue gives them where there is one clue."""
    if len(scene.clue_sources) == 1:
        return scene.names.within(scene.clue(scene.clue_sources[0]), cells, "result", which)
    return scene.names.cells(cells, "result", which=which)


def verdict(scene: Scene, cells: tuple[int, ...], mask: int, *, many: bool) -> str:
    """Give the verb and the digits: "is 7", "are 1 and 3", "is 6 or more", "has no 4"."""
    left = digits_of(mask)
    if len(cells) > 1 and len(left) == len(cells) and scene.different(cells):
        return f"{'are' if many else 'takes'} {grammar.listed(left)}"
    removed = 0
    for cell in cells:
        removed |= scene.step.removes.get(cell, 0)
    plain = says(mask, scene.full, many=many)
    gone = digits_of(removed)
    if removed and len(gone) <= 2 and (len(left) > 5 or grammar.number_count(plain) > 3):
        have = "have" if many else "has"
        return f"{have} no {grammar.listed(gone, 'or')}"
    return plain
