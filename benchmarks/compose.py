"""
Compose from every shipped sketch, and print time and effort reached.

``python -m benchmarks.compose [SECONDS] [SEED]``: two workers, SECONDS of wall time for each sketch (60).
Each find is solved anew by OR-Tools CP-SAT, which shares no code with ours.
"""

from __future__ import annotations

import sys
from resource import RUSAGE_CHILDREN, RUSAGE_SELF, getrusage

from saywhy.examples import folder
from saywhy.second_opinion import verdict
from saywhy.setting.compose import Sketch, compose, read_sketch

WORKERS = 2


def processor_s() -> float:
    """Give the processor time of this process and of the workers that have ended."""
    return sum(used.ru_utime + used.ru_stime for used in map(getrusage, (RUSAGE_SELF, RUSAGE_CHILDREN)))


def row(name: str, sketch: Sketch, seconds: float, seed: int) -> tuple[str, bool]:
    """Give one row of the table, and whether a puzzle was found."""
    begun = processor_s()
    for told in compose(sketch, seed=seed, seconds=seconds, workers=WORKERS):
        if told.found is not None and told.found.puzzle is not None and told.found.effort is not None:
            wall, found, effort = told.seconds, told.found.puzzle, told.found.effort
            break
    else:
        return f"| {name} | not found in {seconds:.0f} s: {dict(told.outcomes)} | | | | | |", False
    givens = sum(digit > 0 for digit in found.givens)
    used = processor_s() - begun
    agreed = verdict(found)
    measured = f"{wall:.1f} | {used:.1f} | {told.tried} | {givens}"
    text = f"| {name} | {measured} | {effort.band} ({effort.hardest:.1f}) | {agreed} |"
    return text, agreed == "unique"


def main() -> None:
    """Print the table."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    print("| sketch | wall s | processor s | attempts | givens | effort (hardest step) | CP-SAT says |")
    print("|---|---|---|---|---|---|---|")
    done = 0
    paths = sorted((folder() / "sketches").glob("*.toml"))
    for path in paths:
        text, found = row(path.stem, read_sketch(path), seconds, seed)
        print(text, flush=True)
        done += found
    print(f"\n{done} of {len(paths)} within {seconds:.0f} s each, {WORKERS} workers, seed {seed}")


if __name__ == "__main__":
    main()
