"""
Trims every puzzle of a folder, and asks an independent solver whether each still has its one solution.

``python -m tests.setting.trimmed FOLDER [SECONDS]``
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import process_time

from saywhy.engine import prove
from saywhy.files import read
from saywhy.second_opinion import solve
from saywhy.setting.trim import Wish, trim

WISHES: tuple[Wish, ...] = ("fewest", "pretty", "all")
#: Trimmings of one wish that the independent solver is asked about.
MOST = 8


def main(folder: str, seconds: float) -> None:
    """Trim all and print the figures."""
    puzzles = trimmings = lost = proved = wished = 0
    spent = 0.0
    for file in sorted(Path(folder).glob("*.toml")):
        [puzzle] = read(file)
        solution = prove(puzzle).solution
        puzzles += 1
        told = []
        for wish in WISHES:
            begun = process_time()
            found = trim(puzzle, wish=wish, effort=False, seconds=seconds)
            spent += process_time() - begun
            wished += 1
            proved += found.proved
            told.append(f"{wish} {len(found.trimmings)}{'' if found.proved else '+'}")
            for trimming in found.trimmings[:MOST]:
                trimmings += 1
                fine = (
                    solve(trimming.puzzle, 2, 120) == [solution]
                    and prove(trimming.puzzle).solution == solution
                )
                lost += not fine
            if wish == "fewest" and found.trimmings:
                gone = found.trimmings[0]
                told[-1] = (
                    f"{len(gone.givens)} givens and {len(gone.clues)} clues less{'' if found.proved else '+'}"
                )
        print(f"{file.stem:<20} {', '.join(told)}", flush=True)
    print(f"{puzzles} puzzles, {trimmings} trimmings proved anew, {lost} of them without their one solution")
    print(f"{proved} of {wished} proved to be the least (or all); {spent:.0f} s of processor time")


if __name__ == "__main__":
    main(sys.argv[1], float(sys.argv[2]) if len(sys.argv) > 2 else 10.0)
