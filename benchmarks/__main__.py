"""
Measure the engine beside OR-Tools CP-SAT and the SAT solvers of python-sat.

Usage: ``python -m benchmarks [--only NAME,NAME] [--each] [FILE or FOLDER ...]``; without files, the example
puzzles of this repository.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from benchmarks.contenders import CONTENDERS
from benchmarks.engine import measure, report
from saywhy.files import read


def main() -> None:
    """Measure and print the tables."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    parser.add_argument("paths", nargs="*", type=Path, default=[Path("examples")])
    parser.add_argument("--only", default=",".join(CONTENDERS), help="contenders, parted by commas")
    parser.add_argument("--each", action="store_true", help="a line for each puzzle as well")
    asked = parser.parse_args()
    contenders = [name for name in CONTENDERS if name in asked.only.split(",") or name == "engine"]
    files = [
        file for path in asked.paths for file in (sorted(path.glob("*.toml")) if path.is_dir() else [path])
    ]
    measured = []
    for file in files:
        for number, puzzle in enumerate(read(file), 1):
            name = file.stem if file.suffix == ".toml" else f"{file.stem} {number}"
            one = measure(name, puzzle, contenders)
            measured.append(one)
            if asked.each:
                times = "  ".join(f"{c} {1e3 * run.solve_s:.2f}" for c, run in one.runs.items())
                print(f"{name}: {times} ms", file=sys.stderr, flush=True)
    if not measured:
        sys.exit("no puzzles to measure")
    print(report(measured, contenders))


if __name__ == "__main__":
    main()
