"""
The post of a harbour town's puzzle evening, made up: files of which it is known what they are.

    python -m tests.inbox.scenario FOLDER --files 2000 --seed 1

writes the files, and beside the folder ``FOLDER-known.json`` with what is known of each. What is known comes
from how a file is made, never from the engine that is tried: puzzles with one solution are confirmed by a
general-purpose solver, those with several hold a rectangle of two digits that can change places, those with
none contradict a puzzle with one solution or themselves.
"""

from __future__ import annotations

import argparse
import json
import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any, Literal

from saywhy import engine
from saywhy.files import write
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.second_opinion.answers import verdict as second_verdict
from tests.inbox.hostile import HOSTILE
from tests.sameness.disguise import disguised, line_order

Kind = Literal["valid", "again", "several", "none", "hostile", "endless"]
#: Of a hundred files, how many are of each kind.
SHARES: dict[Kind, int] = {"valid": 40, "again": 20, "several": 14, "none": 12, "hostile": 12, "endless": 2}
SETTERS = ("bowline", "quayside-jo", "oarlock", "lobsterpot", "foghorn-ida", "little-rudder", "ballast")
#: What may be said of each; of those without end also the truth, should a search come upon it in time.
VERDICTS: dict[Kind, tuple[str, ...]] = {
    "valid": ("unique",),
    "again": ("unique",),
    "several": ("many",),
    "none": ("none",),
    "hostile": ("unreadable",),
    "endless": ("undecided", "none"),
}


@dataclass(frozen=True)
class Sent:
    """
    A file that was sent.

    Attributes:
        kind: What it is.
        data: What it holds.
        first: For one sent again, the number of the file that it is the same as.
    """

    kind: Kind
    data: bytes
    first: int | None = None


def post(files: int, seed: int) -> Iterator[Sent]:
    """Give so many files, the kinds mixed; the first is valid, so that others can be it again."""
    rng = random.Random(seed)
    kinds: list[Kind] = [kind for kind, share in SHARES.items() for _ in range(max(1, share * files // 100))]
    kinds += ["valid"] * (files - len(kinds))
    rng.shuffle(kinds)
    kinds = kinds[:files]
    kinds.insert(0, kinds.pop(kinds.index("valid")))
    valid: list[tuple[int, Puzzle]] = []
    for number, kind in enumerate(kinds):
        if kind == "hostile":
            yield Sent(kind, HOSTILE[number % len(HOSTILE)])
            continue
        first = None
        if kind == "again":
            first, puzzle = rng.choice(valid)
            puzzle = disguised(puzzle, rng.randrange(10**9))
        elif kind == "valid":
            puzzle = with_one_solution(rng)
            valid.append((number, puzzle))
        elif kind == "several":
            puzzle = with_several(rng)
        elif kind == "none":
            puzzle = with_none(rng, valid[rng.randrange(len(valid))][1])
        else:
            puzzle = without_end(rng)
        named = replace(puzzle, title=f"Post {number}", setter=rng.choice(SETTERS))
        yield Sent(kind, write(named).encode(), first)


def full_grid(size: int, rng: random.Random) -> tuple[int, ...]:
    """Give a full grid: rows of one order of digits, shifted, then rows, columns and digits exchanged."""
    box = Grid.standard(size).box
    assert box is not None
    height, width = box
    plain = [(width * (r % height) + r // height + c) % size + 1 for r in range(size) for c in range(size)]
    rows, columns = line_order(size, height, rng), line_order(size, width, rng)
    names = rng.sample(range(1, size + 1), size)
    return tuple(names[plain[row * size + column] - 1] for row in rows for column in columns)


def with_one_solution(rng: random.Random) -> Puzzle:
    """
    Give a puzzle with one solution, and with clues of a few rules or none; the solver confirms it.

    Without clues enough givens are kept that no two are the same by chance, as two of nine givens may be.
    """
    size = rng.choice((6, 6, 6, 9))
    while True:
        digits = full_grid(size, rng)
        clues = () if size == 9 or rng.random() < 0.3 else true_clues(Grid.standard(size), digits, rng)
        keep = 0 if clues else 40 if size == 9 else 13
        puzzle = dug(Puzzle(Grid.standard(size), digits, clues=clues), rng, keep)
        if second_verdict(puzzle, 60) == "unique":
            return puzzle


def dug(puzzle: Puzzle, rng: random.Random, keep: int) -> Puzzle:
    """Take givens out of a full grid for as long as there is one solution, down to so many."""
    for cell in rng.sample(puzzle.grid.cells, len(puzzle.givens)):
        if sum(map(bool, puzzle.givens)) <= keep:
            break
        givens = (*puzzle.givens[:cell], 0, *puzzle.givens[cell + 1 :])
        fewer = replace(puzzle, givens=givens)
        if engine.prove(fewer).verdict == "unique":
            puzzle = fewer
    return puzzle


def true_clues(grid: Grid, digits: tuple[int, ...], rng: random.Random) -> tuple[Clue, ...]:
    """Give a few clues that hold on a full grid."""
    found: list[Clue] = []
    for _ in range(rng.randint(2, 5)):
        line = walk(grid, rng, rng.randint(2, 4))
        held = [digits[cell] for cell in line]
        if all(a < b for a, b in pairwise(held)):
            found.append(Clue("thermometer", tuple(line)))
        elif all(abs(a - b) > 2 for a, b in pairwise(held)):
            found.append(Clue("whisper", tuple(line), value=3))
        elif len(set(held)) == len(held):
            found.append(Clue("killer-cage", tuple(line), value=sum(held)))
    return tuple(found)


def walk(grid: Grid, rng: random.Random, steps: int) -> list[int]:
    """Give cells, each beside the one before."""
    line = [rng.choice(grid.cells)]
    while len(line) < steps:
        near = [cell for cell in grid.orthogonal(line[-1]) if cell not in line]
        if not near:
            return line
        line.append(rng.choice(near))
    return line


def with_several(rng: random.Random) -> Puzzle:
    """Give a puzzle in which two digits of a rectangle can change places: both fillings keep every rule."""
    size = rng.choice((4, 6, 6, 8))  # boxes of two rows: shifting twice is shifting by a whole row
    grid = Grid.standard(size)
    assert grid.box is not None
    height, width = grid.box
    while True:
        digits = full_grid(size, rng)
        band, stacks = rng.randrange(size // height), rng.sample(range(size // width), 2)
        rows = rng.sample(range(band * height, (band + 1) * height), 2)
        columns = [stack * width + rng.randrange(width) for stack in stacks]
        corners = [[row * size + column for column in columns] for row in rows]
        (a, b), (c, d) = corners
        if digits[a] == digits[d] and digits[b] == digits[c]:
            break
    empty = {a, b, c, d} | set(rng.sample(range(size * size), size * size // 4))
    return Puzzle(grid, tuple(0 if cell in empty else digit for cell, digit in enumerate(digits)))


def with_none(rng: random.Random, puzzle: Puzzle) -> Puzzle:
    """Give a puzzle with one solution a given that is not its digit, or the same digit twice in a row."""
    size = puzzle.grid.size
    givens = list(puzzle.givens)
    if rng.random() < 0.5:
        row = rng.randrange(size) * size
        one, other = rng.sample(range(row, row + size), 2)
        givens[one] = givens[other] = rng.randint(1, size)
        return replace(puzzle, givens=tuple(givens))
    from saywhy.second_opinion.answers import solve

    [solution] = solve(puzzle, seconds=60)
    empty = rng.choice([cell for cell, digit in enumerate(givens) if not digit])
    givens[empty] = solution[empty] % size + 1
    return replace(puzzle, givens=tuple(givens))


def without_end(rng: random.Random) -> Puzzle:
    """
    Give a 16 by 16 puzzle in cages over all cells whose totals make one more than the grid holds.

    So it has no solution, which no look at a few cages shows, and to try all fillings takes for ever.
    """
    grid = Grid.standard(16)
    digits = full_grid(16, rng)
    left, cages = set(grid.cells), list[list[int]]()
    for cell in rng.sample(grid.cells, 256):
        if cell not in left:
            continue
        cage = [cell]
        left.discard(cell)
        while len(cage) < 5:
            used = {digits[held] for held in cage}
            near = [c for held in cage for c in grid.orthogonal(held) if c in left and digits[c] not in used]
            if not near:
                break
            cage.append(rng.choice(near))
            left.discard(cage[-1])
        cages.append(cage)
    longest = max(cages, key=len)
    clues = [
        Clue("killer-cage", tuple(cage), value=sum(digits[cell] for cell in cage) + (cage is longest))
        for cage in cages
    ]
    return Puzzle(grid, (0,) * 256, clues=tuple(clues))


def deliver(folder: Path, files: int, seed: int) -> dict[str, dict[str, Any]]:
    """Write the post into a folder, some of it into folders within, and give what is known of each file."""
    known: dict[str, dict[str, Any]] = {}
    names: list[str] = []
    for number, sent in enumerate(post(files, seed)):
        name = f"week-{number % 4}/{number:05}.toml" if number % 3 == 0 else f"{number:05}.toml"
        names.append(name)
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(sent.data)
        same = None if sent.first is None else names[sent.first]
        known[name] = {"kind": sent.kind, "verdicts": VERDICTS[sent.kind], "same": same}
    return known


def main() -> None:
    """Write a folder of post."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--files", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    known = deliver(asked.folder, asked.files, asked.seed)
    beside = asked.folder.with_name(f"{asked.folder.name}-known.json")
    beside.write_text(json.dumps(known, indent=1), encoding="utf-8")


if __name__ == "__main__":
    main()
