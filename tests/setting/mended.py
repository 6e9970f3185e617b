"""
Fifty puzzles broken in a known way, and how many of them repair mends with the smallest change.

``python -m tests.setting.mended [SEED]`` breaks and mends them, tries each single change by plain search too
and asks an independent solver about each proposal; ``--quick`` leaves the plain search out.
"""

from __future__ import annotations

import sys
from collections import Counter
from time import process_time

from saywhy.second_opinion import verdict
from saywhy.setting.repair import Repair, repair
from tests.setting.broken import Broken, broken, said, single_mendings

#: Kinds of changes that the plain search has too.
PLAIN = {
    "add-given",
    "change-given",
    "drop-given",
    "swap-givens",
    "change-value",
    "swap-values",
}


def undone(held: Broken, found: Repair) -> bool:
    """Say whether the very puzzle that was broken is among what was found."""
    return said(held.whole) in {said(mending.puzzle) for mending in found.mendings}


def agrees(held: Broken, found: Repair) -> bool:
    """Say whether plain search over every single change finds the same mendings."""
    mine = {
        said(mending.puzzle)
        for mending in found.mendings
        if len(mending.changes) == 1 and mending.changes[0].kind in PLAIN
    }
    return mine == single_mendings(held.puzzle)


def main(quick: bool, seed: int) -> None:
    """Mend all and print the figures."""
    counts: Counter[str] = Counter()
    spent = 0.0
    for number, held in enumerate(broken(50, seed), 1):
        begun = process_time()
        found = repair(held.puzzle, effort=False, seconds=300)
        spent += process_time() - begun
        counts["broken"] += 1
        counts[held.way] += 1
        counts["mended by one change, proved the fewest"] += found.size == 1 and found.proved
        counts["the very change undone"] += undone(held, found)
        confirmed = all(verdict(mending.puzzle, 120) == "unique" for mending in found.proposals)
        counts["proposals confirmed by CP-SAT"] += bool(found.proposals) and confirmed
        same = quick or agrees(held, found)
        counts["same mendings by plain search"] += same and not quick
        fine = found.size == 1 and undone(held, found) and confirmed and same
        ways = sum(len(mending.changes) == found.size for mending in found.mendings)
        line = (
            f"{number:>2} {held.name:<24} {held.way:<14} {found.verdict:<5} {found.size} change, {ways} ways"
        )
        print(f"{line}{'' if fine else '  NOT AS EXPECTED'}", flush=True)
    for name, many in counts.items():
        print(f"{many:>3}  {name}")
    print(f"{spent:.0f} s of processor time for the repairs")


if __name__ == "__main__":
    seeds = [int(word) for word in sys.argv[1:] if word.isdigit()]
    main("--quick" in sys.argv, seeds[0] if seeds else 1)
