"""
Processor time of reviewing a recording of 120 moves, on each example that is large enough.

``python -m benchmarks.review [PUZZLE]...`` has a solver follow the path with notes until 120 moves are made.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path
from time import process_time

from msgspec.structs import replace

from saywhy.files import read
from saywhy.reasoning.position import Position
from saywhy.recording.acts import AnyAct, Options, Place
from saywhy.recording.review import review
from tests.recording.simulated import Simulated, Solver

EXAMPLES = Path(__file__).parents[1] / "examples"
MOVES = 120


def acts(solver: Solver) -> list[AnyAct]:
    """Give 120 moves: a note taker's, and where these are too few, options that the board shows at sight."""
    chance = random.Random(solver.puzzle.title)
    grid, n = solver.puzzle.grid, solver.puzzle.grid.size
    made: list[AnyAct] = [act for act in solver.note_taker().acts if isinstance(act, Place | Options)]
    while len(made) < MOVES:
        at = chance.randrange(len(made))
        position = Position.opening(solver.walk.frame)
        for act in made[:at]:
            if isinstance(act, Place):
                position.place(grid.cell(act.cell), act.digit)
        cell = chance.choice([cell for cell in grid.cells if not position.placed[cell]])
        left = [d for d in range(1, n + 1) if position.domain(cell) >> (d - 1) & 1]
        made.insert(at, Options(t=0, cell=grid.name(cell), digits=left))
    return [replace(act, t=4.0 * (k + 1)) for k, act in enumerate(made[:MOVES])]


def main(names: list[str]) -> int:
    """Print the time of each example, or of the puzzles named; 1 where one took more than 3 s."""
    slowest = 0.0
    for path in map(Path, names) if names else sorted(EXAMPLES.glob("*.toml")):
        solver = Solver(read(path)[0])
        if solver.puzzle.grid.size < 9:
            continue
        recording = solver.recording(Simulated("120 moves", acts(solver)))
        began = process_time()
        found = review(solver.puzzle, recording)
        spent = process_time() - began
        slowest = max(slowest, spent)
        print(f"{path.stem}: {len(found.moves)} moves, {spent:.2f} s", flush=True)
    print(f"the slowest took {slowest:.2f} s of processor time")
    return int(slowest > 3.0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
