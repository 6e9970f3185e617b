"""Two of a group do not follow one another too soon: what that asks for, and how it is told where they do."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.plan.series import Line, Series, days_words, span_words
from saywhy.plan.wishes.wish import TOLD


def runs(slots: Sequence[int], others: int, *, firm: bool) -> list[tuple[int, ...]]:
    """
    Give the runs of slots that are to have at most one of a group.

    Where that is kept only as well as may be, runs that begin before the first slot or end after the last
    count too: else two close together would weigh less at the ends than in the midst. And two in succession
    count once more, so that two that are a little too close are preferred to them.

    Args:
        slots: The slots of a stretch, in order.
        others: How many episodes of others lie between two of the group, at least.
        firm: Whether no two may be closer.

    Returns:
        Runs of two slots or more, the longest as long as the group's rest and one more.
    """
    length, count = others + 1, len(slots)
    if not others or count < 2:
        return []
    starts = range(max(1, count - length + 1)) if firm else range(2 - length, count - 1)
    found = [tuple(slots[max(0, start) : start + length]) for start in starts]
    if not firm and length > 2:
        found += [tuple(slots[start : start + 2]) for start in range(count - 1)]
    return found


def too_close(
    series: Series, line: Line, slots: Sequence[int], group: frozenset[int], others: int
) -> list[str]:
    """Give the days on which a group comes too soon, those that are close together as one list in words."""
    found, held = list[str](), list[int]()
    for slot in [*(slot for slot in slots if line[slot] in group), None]:
        if held and (slot is None or slot - held[-1] > others or {slot, held[-1]} <= series.fixed.keys()):
            if len(held) > 1:
                days = [series.slots[one].day for one in held]
                short = len(days) <= TOLD
                found.append(days_words(days) if short else f"{len(days)} days from {span_words(days)}")
            held = []
        if slot is not None:
            held.append(slot)
    return found


def in_short(words: str, cases: Sequence[str]) -> list[str]:
    """Say in one sentence, without its full stop, where something is not kept; nothing where it is."""
    more = [f"{len(cases) - TOLD} more such"] if len(cases) > TOLD else []
    return [f"{words}: {'; '.join([*cases[:TOLD], *more])}"] if cases else []
