"""
The puzzles that simulated solvers solve: random, one for each of twelve rules.

``python -m tests.recording.make_puzzles`` writes them anew; a solution is drawn first, clues that are true
of it next, and givens are taken away for as long as one solution is left and the path comes to its end.
"""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

from saywhy.engine import Budget, prove
from saywhy.files import write
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.path import Walker
from tests.second_opinion.makers import true_clue

FOLDER = Path(__file__).parent / "puzzles"

#: Clue rule, how many, grid-wide rules, size.
PLANS: tuple[tuple[str, int, tuple[str, ...], int], ...] = (
    ("killer-cage", 14, (), 9),
    ("arrow", 7, (), 9),
    ("thermometer", 8, (), 9),
    ("white-dot", 18, (), 9),
    ("renban", 8, (), 9),
    ("whisper", 6, (), 9),
    ("sandwich", 8, (), 9),
    ("palindrome", 7, ("anti-knight",), 9),
    ("quadruple", 10, ("diagonals",), 9),
    ("between-line", 8, (), 9),
    ("region-sum-line", 7, (), 9),
    ("skyscraper", 8, (), 6),
)


def make(number: int) -> Puzzle:
    """Give one of the puzzles, by its place in ``PLANS``."""
    rule, many, wide, size = PLANS[number]
    chance = random.Random(1000 + number)
    grid = Grid.standard(size)
    empty = Puzzle(grid, (0,) * size * size, wide)
    solution = prove(empty, seed=chance.randrange(1, 10**6)).solution
    assert solution is not None
    clues = [true_clue(rule, grid, solution, chance) for _ in range(many)]
    kept = tuple(dict.fromkeys(clue for clue in clues if clue is not None))
    title = f"{rule.replace('-', ' ').capitalize()} evening"
    puzzle = replace(empty, givens=solution, clues=kept, title=title, setter="bollard")
    for cell in chance.sample(grid.cells, len(grid.cells)):
        givens = list(puzzle.givens)
        givens[cell] = 0
        fewer = replace(puzzle, givens=tuple(givens))
        if sum(map(bool, givens)) < 8 or prove(fewer, Budget(nodes=2000)).verdict != "unique":
            continue
        if Walker(Frame(fewer)).walk(3.0).complete:
            puzzle = fewer
    return puzzle


def main() -> None:
    """Write all puzzles."""
    FOLDER.mkdir(exist_ok=True)
    for number, (rule, *_) in enumerate(PLANS):
        (FOLDER / f"{rule}.toml").write_text(write(make(number)), encoding="utf-8")
        print(rule)


if __name__ == "__main__":
    main()
