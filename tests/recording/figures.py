"""
What the review finds of what simulated solvers did: planted, found, falsely raised.

``python -m tests.recording.figures`` goes through all puzzles and solvers and prints a table for the README.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from time import process_time

from saywhy.files import read
from saywhy.reasoning.step import PathStep, Told
from saywhy.recording.review import Review, review
from saywhy.recording.shown import Opening
from saywhy.second_opinion import certify
from tests.recording.simulated import Simulated, Solver

PUZZLES = Path(__file__).parent / "puzzles"


def simulated(path: Path) -> Iterator[tuple[Solver, Simulated]]:
    """Give the solves of one puzzle: two that are perfect, two of each of the others."""
    solver = Solver(read(path)[0])
    chance = random.Random(path.stem)
    yield solver, solver.follower()
    yield solver, solver.note_taker()
    for _ in range(2):
        yield solver, solver.guesser(chance)
        yield solver, solver.errs(chance)
        missed = solver.misses(chance)
        if missed is not None:
            yield solver, missed


def compare(solve: Simulated, found: Review) -> Counter[str]:
    """Hold a review against what was planted: planted, found and false of each sort."""
    counts: Counter[str] = Counter()
    guesses = {m.t for m in found.moves if m.verdict == "guessed" and not m.rests_on}
    wrong = {m.t: m.taken_s for m in found.moves if m.verdict == "wrong"}
    late = {item.move.cells[0]: (item.since, item.move.t) for item in found.late}
    undone = [m for m in found.moves if m.verdict == "undone"]
    counts["tainted"] += sum(bool(m.rests_on) for m in found.moves if m.verdict == "guessed")
    counts["guess planted"] += len(solve.guesses)
    counts["guess found"] += len(guesses & set(solve.guesses))
    counts["guess false"] += len(guesses - set(solve.guesses))
    counts["error planted"] += len(solve.wrong)
    counts["error found"] += len(wrong.items() & solve.wrong.items())
    counts["error false"] += len(wrong.items() - solve.wrong.items()) + len(undone)
    counts["late planted"] += len(solve.missed)
    counts["late found"] += len(late.items() & solve.missed.items())
    for cell, times in late.items() - solve.missed.items():
        opening = found.judged.openings[cell]
        counts["late true besides" if confirmed(found, opening) else "late false"] += 1
        del times
    return counts


def confirmed(found: Review, opening: Opening) -> bool:
    """Whether an open look holds by the independent solver, on what stood on the board then."""
    grid, step = found.puzzle.grid, opening.step
    assert step is not None
    stood = found.judged.played.boards[opening.act].digits if opening.act >= 0 else {}
    noted = found.judged.played.boards[opening.act].options if opening.act >= 0 else {}
    for cell, mask in step.reason.facts.items():
        digit = found.puzzle.givens[cell] or stood.get(cell, (0,))[0]
        if (1 << digit >> 1 if digit else noted.get(cell, -1)) & ~mask:
            return False
    told = PathStep(1, 1, step, Told("", "", "", ())).as_json(grid)
    return certify(found.puzzle, told).holds


def main(names: list[str]) -> int:
    """Print the figures, of all puzzles or those named; 1 where something was not found or falsely raised."""
    total: Counter[str] = Counter()
    number, slowest = 0, 0.0
    for path in sorted(PUZZLES.glob("*.toml")):
        if names and path.stem not in names:
            continue
        for solver, solve in simulated(path):
            began = process_time()
            found = review(solver.puzzle, solver.recording(solve))
            slowest = max(slowest, process_time() - began)
            counts = compare(solve, found)
            total += counts
            number += 1
            odd = {
                sort: (counts[f"{sort} planted"], counts[f"{sort} found"], counts[f"{sort} false"])
                for sort in ("guess", "error", "late")
                if counts[f"{sort} planted"] != counts[f"{sort} found"] or counts[f"{sort} false"]
            }
            if odd:
                print(
                    f"{path.stem}, {solve.kind}: (planted, found, false) {odd}", file=sys.stderr, flush=True
                )
    puzzles = len(list(PUZZLES.glob("*.toml")))
    print(f"{number} recordings over {puzzles} puzzles; the slowest took {slowest:.2f} s of processor time")
    print("| | planted | found | falsely raised |\n|---|---|---|---|")
    for sort in ("guess", "error", "late"):
        print(
            f"| {sort} | {total[f'{sort} planted']} | {total[f'{sort} found']} | {total[f'{sort} false']} |"
        )
    print(f"{total['late true besides']} more were late, as the independent solver confirms of each.")
    clean = all(
        total[f"{sort} planted"] == total[f"{sort} found"] and not total[f"{sort} false"]
        for sort in ("guess", "error", "late")
    )
    return 0 if clean else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
