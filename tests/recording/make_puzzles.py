"""
Puzzles that simulated solvers solve: random, twelve of twelve different rules, all drawn by a seed.

``python -m tests.recording.make_puzzles --seed 7 FOLDER`` writes them; a solution is drawn first, clues that
are true of it next, and givens are taken away for as long as one solution is left and the path comes to its
end. The review was shaped on those in ``puzzles``; figures come from puzzles that it was not shaped on.
"""

from __future__ import annotations

import random
import sys
from dataclasses import replace
from pathlib import Path

from saywhy.engine import Budget, prove
from saywhy.files import write
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.path import Walker
from tests.second_opinion.makers import true_clue

#: Rules to draw from, and how many clues a 9x9 gets of each.
MANY: dict[str, int] = {
    "arrow": 7,
    "between-line": 8,
    "black-dot": 12,
    "clone": 4,
    "double-arrow": 6,
    "edge-sum": 10,
    "entropic-line": 8,
    "killer-cage": 14,
    "less-than": 24,
    "little-killer": 8,
    "lockout-line": 7,
    "modular-line": 8,
    "nabner": 8,
    "numbered-room": 10,
    "pair-sum": 14,
    "palindrome": 8,
    "parity-line": 8,
    "quadruple": 10,
    "region-sum-line": 7,
    "renban": 8,
    "sandwich": 8,
    "skyscraper": 10,
    "slow-thermometer": 8,
    "sum-line": 6,
    "thermometer": 8,
    "whisper": 6,
    "white-dot": 18,
    "x-sum": 8,
    "zipper-line": 7,
}
#: Grid-wide rules to draw from; most puzzles have none.
WIDE: tuple[tuple[str, ...], ...] = ((), (), (), ("anti-knight",), ("diagonals",), ("non-consecutive",))
#: So many puzzles, of which so many are small.
PUZZLES, SMALL = 12, 2
#: A puzzle that others may follow in less than this, seconds.
WALK_S = 3.0


def drawn(seed: int) -> list[tuple[str, int]]:
    """Give twelve rules and sizes, by a seed."""
    rules = random.Random(seed).sample(sorted(MANY), PUZZLES)
    return [
        (rule, 9 if number >= SMALL or rule == "entropic-line" else 6) for number, rule in enumerate(rules)
    ]


def make(rule: str, size: int, seed: int) -> Puzzle:
    """Give a puzzle of a rule."""
    chance = random.Random(f"{rule} {seed}")
    grid = Grid.standard(size)
    many = MANY[rule] if size == 9 else (MANY[rule] + 1) // 2
    solution = None
    while solution is None:
        wide = chance.choice(WIDE)
        empty = Puzzle(grid, (0,) * size * size, wide)
        solution = prove(empty, Budget(seconds=5), seed=chance.randrange(1, 10**6)).solution
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
        if Walker(Frame(fewer)).walk(WALK_S).complete:
            puzzle = fewer
    return puzzle


def main(seed: int, folder: Path) -> None:
    """Write all puzzles of a seed."""
    folder.mkdir(exist_ok=True, parents=True)
    for rule, size in drawn(seed):
        puzzle = make(rule, size, seed)
        (folder / f"{rule}.toml").write_text(write(puzzle), encoding="utf-8")
        print(rule, sum(map(bool, puzzle.givens)), "givens", puzzle.rules, flush=True)


if __name__ == "__main__":
    main(int(sys.argv[sys.argv.index("--seed") + 1]), Path(sys.argv[-1]))
