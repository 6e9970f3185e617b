"""
Kill writers of a shelf 200 times, and print what was found.

Usage: python -m tests.shelf.kills [--times N] [--seed N]
"""

from __future__ import annotations

import argparse
import random
import tempfile
import time
from pathlib import Path

from tests.shelf.killing import kill_again_and_again


def main() -> None:
    """Kill, and print what was found."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=200)
    parser.add_argument("--seed", type=int, default=None)
    given = parser.parse_args()
    seed = random.SystemRandom().randrange(10**6) if given.seed is None else given.seed
    with tempfile.TemporaryDirectory() as folder:
        begun = time.perf_counter()
        report = kill_again_and_again(Path(folder), given.times, seed)
    print(
        f"seed {seed}, {time.perf_counter() - begun:.0f} s: {report.kills} kills, {report.deeds} deeds done"
    )
    print(f"{report.before_the_first} kills before a writer's first deed was acknowledged,")
    print(f"{report.on_their_way} deeds found whole that were on their way when the kill came")
    print(f"wrong: {report.wrong or 'nothing'}")
    raise SystemExit(bool(report.wrong))


if __name__ == "__main__":
    main()
