"""
Count grids one by one and compare with counts known from elsewhere: ``python -m benchmarks.counts``.

These take too long for the tests. Sources: both by independent enumeration; 28,200,960 also by Pettersen and
Jarvis (from memory).
"""

from __future__ import annotations

import sys
from time import process_time

from saywhy.engine import count
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle

KNOWN = (
    ("grids of 6 by 6", Grid.standard(6), (), 28_200_960),
    ("neighbours not consecutive, anti-knight", Grid.standard(9), ("non-consecutive", "anti-knight"), 48_552),
)


def main() -> None:
    """Count and print the CPU time of each."""
    wrong = False
    for name, grid, rules, known in KNOWN:
        begun = process_time()
        counted = count(Puzzle(grid, (0,) * (grid.size * grid.size), rules))
        wrong = wrong or counted.solutions != known
        spent = f"{process_time() - begun:.1f} s, {counted.nodes:,} nodes"
        print(f"{name}: {counted.solutions:,} of {known:,} in {spent}")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
