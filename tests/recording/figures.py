"""
What the review finds of what simulated solvers did: planted, found, falsely raised.

``python -m tests.recording.figures --seed 7`` makes twelve fresh puzzles by that seed, goes through all
puzzles and solvers and prints a table for the README; without a seed it takes the puzzles on which the
review was shaped. ``--folder FOLDER`` names where puzzles lie.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from time import process_time

from saywhy.files import read
from saywhy.reasoning.step import PathStep, Told
from saywhy.recording.review import Review, review
from saywhy.recording.shown import Opening
from saywhy.second_opinion import certify
from tests.recording import make_puzzles
from tests.recording.simulated import Simulated, Solver

PUZZLES = Path(__file__).parent / "puzzles"
#: What is planted.
SORTS = ("guess", "error", "late", "rest")


def simulated(path: Path, each: int = 2) -> Iterator[tuple[Solver, Simulated]]:
    """Give the solves of one puzzle: two that are perfect, so many of each of the others."""
    solver = Solver(read(path)[0])
    chance = random.Random(path.stem)
    yield solver, solver.follower()
    yield solver, solver.note_taker()
    for _ in range(each):
        yield solver, solver.guesser(chance)
        yield solver, solver.errs(chance)
        missed = solver.misses(chance)
        if missed is not None:
            yield solver, missed
        yield solver, solver.rests(chance)


def compare(solve: Simulated, found: Review) -> Counter[str]:
    """Hold a review against what was planted: planted, found and false of each sort."""
    counts: Counter[str] = Counter()
    guesses = {m.t for m in found.moves if m.verdict == "guessed"}
    resting = {m.t for m in found.moves if m.verdict == "guessed" and m.rests_on}
    wrong = {m.t: m.taken_s for m in found.moves if m.verdict == "wrong"}
    late = {item.move.cells[0]: (item.since, item.move.t) for item in found.late}
    undone = [m for m in found.moves if m.verdict == "undone"]
    counts["tainted"] += len(resting)
    counts["guess planted"] += len(solve.guesses)
    counts["guess found"] += len(guesses & set(solve.guesses))
    counts["guess false"] += len(guesses - set(solve.guesses) - resting)
    counts["error planted"] += len(solve.wrong)
    counts["error found"] += len(wrong.items() & solve.wrong.items())
    counts["error false"] += len(wrong.items() - solve.wrong.items()) + len(undone)
    counts["late planted"] += len(solve.missed)
    counts["late found"] += len(late.items() & solve.missed.items())
    counts["rest planted"] += len(solve.rests)
    stalls = {(stall.start, stall.broken_by.t) for stall in found.stalls}
    counts["rest found"] += sum(
        any(abs(start - a) < 0.01 and end == b for a, b in stalls) for start, end in solve.rests.items()
    )
    # A rest told as a missed opening: nothing else was done since the digit opened.
    counts["rest false"] += sum(
        not any(since < act.t < end for act in solve.acts) for since, end in late.values()
    )
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


def main(arguments: list[str]) -> int:
    """Print the figures; 1 where something was not found or falsely raised."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--seed", type=int)
    asked.add_argument("--folder", type=Path, default=PUZZLES)
    asked.add_argument("--each", type=int, default=2, help="solves of each imperfect solver for a puzzle")
    asked.add_argument("names", nargs="*")
    given = asked.parse_args(arguments)
    if given.seed is None:
        return figures(given.folder, given.names, given.each)
    with tempfile.TemporaryDirectory() as folder:
        make_puzzles.main(given.seed, Path(folder))
        return figures(Path(folder), given.names, given.each)


def figures(folder: Path, names: list[str], each: int) -> int:
    """Go through the puzzles of a folder, all or those named."""
    total: Counter[str] = Counter()
    number, slowest = 0, 0.0
    paths = [path for path in sorted(folder.glob("*.toml")) if not names or path.stem in names]
    for path in paths:
        for solver, solve in simulated(path, each):
            began = process_time()
            found = review(solver.puzzle, solver.recording(solve))
            slowest = max(slowest, process_time() - began)
            counts = compare(solve, found)
            total += counts
            number += 1
            odd = {
                sort: (counts[f"{sort} planted"], counts[f"{sort} found"], counts[f"{sort} false"])
                for sort in SORTS
                if counts[f"{sort} planted"] != counts[f"{sort} found"] or counts[f"{sort} false"]
            }
            if odd:
                print(
                    f"{path.stem}, {solve.kind}: (planted, found, false) {odd}", file=sys.stderr, flush=True
                )
    print(
        f"{number} recordings over {len(paths)} puzzles; the slowest took {slowest:.2f} s of processor time"
    )
    print("| | planted | found | falsely raised |\n|---|---|---|---|")
    for sort in SORTS:
        print(
            f"| {sort} | {total[f'{sort} planted']} | {total[f'{sort} found']} | {total[f'{sort} false']} |"
        )
    print(f"{total['late true besides']} more were late, as the independent solver confirms of each.")
    clean = all(
        total[f"{sort} planted"] == total[f"{sort} found"] and not total[f"{sort} false"] for sort in SORTS
    )
    return 0 if clean else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
