"""Options that were still being typed: a note is what stands once the host has gone on to something else."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.recording.acts import AnyAct, Options

#: The longest between two digits of one note, seconds: a host who says them aloud takes a breath.
BETWEEN_S = 5.0


def typed_on(acts: Sequence[AnyAct]) -> frozenset[int]:
    """
    Give the indexes of acts that wrote options which were written anew before anything else was done.

    The desk keeps each key press, so options 3 and 6 come as 3, then 3 and 6. The first claims nothing.

    Args:
        acts: Acts of a recording, in order.
    """
    found: set[int] = set()
    last: dict[str, tuple[int, float]] = {}
    for index, act in enumerate(acts):
        if not isinstance(act, Options):
            last.clear()
            continue
        before = last.get(act.cell)
        if before is not None and act.t - before[1] <= BETWEEN_S:
            found.add(before[0])
        last[act.cell] = index, act.t
    return frozenset(found)
