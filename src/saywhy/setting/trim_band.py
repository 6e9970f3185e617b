"""Trimming within a band of effort: as much goes as the band allows."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

from saywhy.engine import prove
from saywhy.reasoning.profile import BANDS, Profile
from saywhy.setting.trim_parts import Part, Trimmed, Trimming, measured, pattern, without
from saywhy.setting.watch import StoppedError, Watch

#: Orders in which things are left out, one after another, until one ends in the band.
ORDERS = 4


def within(found: Trimmed, band: str, parts: Sequence[Part], watch: Watch, seed: int) -> Trimmed:
    """
    Leave out one thing after another for as long as the effort stays within a band.

    Why this way: what an order of leaving out comes to is not known before its paths are walked, so a few
    orders are gone through; in each, what would lead beyond the band stays.

    Args:
        found: What of the puzzle is not needed, its effort measured.
        band: The band.
        parts: What may go, each part as a whole.
        watch: The clock.
        seed: Changes the orders.
    """
    names = [name for _, name in BANDS]
    highest = names.index(band)
    if found.effort is None or names.index(found.effort.band) > highest:
        what = "has no path to the end" if found.effort is None else f"is {found.effort.band}"
        unmet = f"The puzzle itself {what}; leaving things out does not ease it."
        return replace(found, trimmings=(), proved=False, unmet=unmet)
    best: Trimming | None = None
    chance = random.Random(seed)
    for _ in range(ORDERS):
        givens = [part for part in parts if not part.clues]
        clues = [part for part in parts if part.clues]
        order = chance.sample(givens, len(givens)) + chance.sample(clues, len(clues))
        made = _trimmed(found, order, highest, watch)
        if made is not None and (best is None or _better(made, best, names)):
            best = made
        if watch.over or (best is not None and best.effort is not None and best.effort.band == band):
            break
    reached = found.effort if best is None else best.effort
    met = reached is not None and reached.band == band
    unmet = "" if met else f"No trimming that was tried ends in {band}; this comes nearest."
    return replace(found, trimmings=() if best is None else (best,), proved=False, unmet=unmet)


def _better(one: Trimming, other: Trimming, names: list[str]) -> bool:
    def key(trimming: Trimming) -> tuple[int, int]:
        return (names.index(trimming.effort.band) if trimming.effort else -1, trimming.size)

    return key(one) > key(other)


def _trimmed(found: Trimmed, order: Sequence[Part], highest: int, watch: Watch) -> Trimming | None:
    names = [name for _, name in BANDS]
    clues: tuple[int, ...] = ()
    givens: tuple[int, ...] = ()
    effort: Profile | None = None
    for number, part in enumerate(order):
        watch.say("Leaving out as much as the band allows", number, len(order))
        puzzle = without(found.puzzle, (*clues, *part.clues), (*givens, *part.givens))
        if prove(puzzle).verdict != "unique":
            continue
        try:
            path = measured(puzzle, watch)
        except StoppedError:
            break
        if path is not None and names.index(path.band) <= highest:
            clues, givens, effort = (*clues, *part.clues), (*givens, *part.givens), path
    if effort is None:
        return None
    puzzle = without(found.puzzle, clues, givens)
    return Trimming(tuple(sorted(clues)), tuple(sorted(givens)), puzzle, pattern(puzzle), effort)
