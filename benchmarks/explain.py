"""
Whole paths timed, and one step beside general explanation tools on the same state.

``python -m benchmarks.explain [FOLDER]``: CPU time from a puzzle read to its path in words, proof included,
for every puzzle file of the folder; without one for the shipped examples and classics of a seeded generator.

Beside it CPMpy's explanation tools (``cpmpy.tools.explain``) explain one more digit from the same givens:

- ``ocus``: the smallest reason of all next digits (Bogaerts, Gamba, Guns, Artif. Intell. 300, 2021; from
  memory), one unit for each constraint and each fact;
- ``mus``: a deletion filter on our own first digit.

A fact is one known cell, a constraint one house, grid-wide rule or clue. Ours is counted over all steps that
the first digit rests on, so that marks written on the way are paid for.
"""

from __future__ import annotations

import argparse
import random
import statistics
from collections.abc import Iterator, Sequence
from dataclasses import replace
from importlib.util import find_spec
from multiprocessing import get_context
from pathlib import Path as File
from time import process_time
from typing import Any

from saywhy import examples
from saywhy.engine import prove
from saywhy.engine.constraints import Source, constraints
from saywhy.files import read
from saywhy.grid import Grid
from saywhy.primitives import AllDifferent, Linear, Pair, digits_of
from saywhy.puzzle import Puzzle
from saywhy.reasoning.answer import rests_on
from saywhy.reasoning.explain import Path, explain

#: Wall seconds that one call of a general tool gets.
PATIENCE_S = 90.0
#: Inner steps of a what-if that a listener follows with ease.
EASY = 3
#: Classics where no folder is named.
CLASSICS = 12


def random_classic(seed: int, size: int = 9) -> Puzzle:
    """Give a classic with one solution: a random grid, givens taken away while it stays the only one."""
    chance = random.Random(seed)
    base = Puzzle(Grid.standard(size), (0,) * size * size)
    solution = prove(base, seed=seed + 1).solution
    assert solution is not None
    names = chance.sample(range(1, size + 1), size)
    givens = [names[digit - 1] for digit in solution]
    for cell in chance.sample(base.grid.cells, len(givens)):
        kept, givens[cell] = givens[cell], 0
        if prove(replace(base, givens=tuple(givens))).verdict != "unique":
            givens[cell] = kept
    return replace(base, givens=tuple(givens))


def puzzles(folder: str | None) -> Iterator[tuple[str, str, Puzzle]]:
    """Give (family, name, puzzle); a family is a file's name up to its last dash."""
    if folder is None:
        for name in examples.names():
            yield "shipped", name, next(iter(read(examples.path(name))))
        for seed in range(CLASSICS):
            yield "classic", f"classic-{seed}", random_classic(seed)
        return
    for file in sorted(File(folder).glob("*.toml")):
        yield file.stem.rpartition("-")[0] or file.stem, file.stem, next(iter(read(file)))


def timed(found: Sequence[tuple[str, str, Puzzle]]) -> list[tuple[str, float, Path]]:
    """Explain each puzzle and give its family, CPU seconds and path."""
    times = []
    for family, _, puzzle in found:
        start = process_time()
        path = explain(puzzle)
        times.append((family, process_time() - start, path))
    return times


def _deepest(path: Path) -> int:
    return path.effort.deepest if path.effort else 0


def _short(path: Path) -> bool:
    """Say whether a path is whole, with no trial and no what-if of more than three inner steps."""
    return path.complete and all(
        told.step.idea != "trial" and told.step.inner_steps <= EASY for told in path.steps
    )


def table(times: Sequence[tuple[str, float, Path]]) -> None:
    """
    Print what was timed, by family.

    Counted are paths that are whole, that have a what-if, and that need none deeper than three inner steps.
    """
    heads = f"{'median s':>10}{'p95 s':>8}{'worst s':>9}{'whole':>7}{'what-if':>9}{'to 3':>6}{'deepest':>9}"
    print(f"{'family':<14}{'n':>4}{heads}")
    for family in [*sorted({family for family, _, _ in times}), ""]:
        rows = [(spent, path) for name, spent, path in times if not family or name == family]
        spent = sorted(seconds for seconds, _ in rows)
        p95 = spent[min(len(spent) - 1, int(0.95 * len(spent)))]
        what_ifs = sum(any(told.step.story for told in path.steps) for _, path in rows)
        whole = sum(path.complete for _, path in rows)
        short = sum(_short(path) for _, path in rows)
        deepest = max(_deepest(path) for _, path in rows)
        figures = f"{statistics.median(spent):>10.3f}{p95:>8.3f}{spent[-1]:>9.3f}"
        print(f"{family or 'all':<14}{len(rows):>4}{figures}{whole:>7}{what_ifs:>9}{short:>6}{deepest:>9}")


def first_digit(path: Path) -> tuple[int, int, int, int]:
    """Give cell and digit of a path's first digit, and the constraints and facts that it rests on in all."""
    told = next(told for told in path.steps if told.step.places)
    cell, digit = next(iter(told.step.places.items()))
    chain = rests_on(path, cell)
    uses = sum(len(step.step.reason.sources) for step in chain)
    return cell, digit, uses, sum(len(step.step.reason.facts) for step in chain)


def can_model(puzzle: Puzzle) -> bool:
    """Say whether every primitive has a plain counterpart in the general library."""
    return all(isinstance(c.primitive, AllDifferent | Linear | Pair) for c in constraints(puzzle))


def _general(puzzle: Puzzle, tool: str, first: tuple[int, int]) -> tuple[float, int, int]:
    """Explain one more digit with CPMpy: CPU seconds, constraints, facts."""
    import cpmpy as cp  # type: ignore[import-untyped]
    from cpmpy.tools.explain import mus, ocus  # type: ignore[import-untyped]

    n = puzzle.grid.size
    x = cp.intvar(1, n, shape=n * n, name="x")
    grouped: dict[Source, list[Any]] = {}
    for held in constraints(puzzle):
        match held.primitive:
            case AllDifferent(cells):
                said = cp.AllDifferent([x[c] for c in cells])
            case Linear(weights, cells, total):
                said = cp.sum([w * x[c] for w, c in zip(weights, cells, strict=True)]) == total
            case Pair(a, b, pairs):
                allowed = [[d, e] for d in range(1, n + 1) for e in digits_of(pairs[d - 1])]
                said = cp.Table([x[a], x[b]], allowed)
            case other:
                raise TypeError(f"no counterpart of {type(other).__name__}")
        grouped.setdefault(held.source, []).append(said)
    rules = [cp.all(said) if len(said) > 1 else said[0] for said in grouped.values()]
    facts = [x[cell] == digit for cell, digit in enumerate(puzzle.givens) if digit]
    start = process_time()
    if tool == "mus":
        cell, digit = first
        found = mus([*facts, *rules], hard=[x[cell] != digit])
        size = len(found)
    else:
        solution = prove(puzzle).solution
        assert solution is not None
        denied = [x[cell] != solution[cell] for cell, given in enumerate(puzzle.givens) if not given]
        found = ocus([*rules, *facts, *denied], meta_constraint=cp.sum(denied) == 1)
        size = len(found) - 1
    known = {str(fact) for fact in facts}
    told = sum(str(one) in known for one in found)
    return process_time() - start, size - told, told


def _child(channel: Any, puzzle: Puzzle, tool: str, first: tuple[int, int]) -> None:
    channel.send(_general(puzzle, tool, first))


def general(
    puzzle: Puzzle, tool: str, first: tuple[int, int], patience: float
) -> tuple[float, int, int] | None:
    """Do the same in a process of its own, which is ended after so many wall seconds; None then."""
    context = get_context("spawn")
    here, there = context.Pipe(duplex=False)
    worker = context.Process(target=_child, args=(there, puzzle, tool, first))
    worker.start()
    there.close()
    try:
        return here.recv() if here.poll(patience) else None
    except EOFError:
        return None
    finally:
        worker.terminate()
        worker.join()


def beside(
    found: Sequence[tuple[str, str, Puzzle]],
    times: Sequence[tuple[str, float, Path]],
    most: int,
    patience: float,
) -> None:
    """Print our first digit beside the general tools' on the same givens, for a few puzzles."""
    heads = f"{'CPU s':>9}{'constraints':>13}{'facts':>7}{'size':>6}{'ours/theirs':>13}"
    print(f"\n{'first digit of':<18}{'tool':<9}{heads}")
    chosen = [
        (row, time) for row, time in zip(found, times, strict=True) if can_model(row[2]) and time[2].steps
    ]
    ratios = []
    for (_, name, puzzle), (_, spent, path) in chosen[:: max(1, len(chosen) // most)][:most]:
        cell, digit, uses, facts = first_digit(path)
        ours = uses + facts
        print(f"{name:<18}{'ours*':<9}{spent:>9.3f}{uses:>13}{facts:>7}{ours:>6}")
        for tool in ("ocus", "mus"):
            answer = general(puzzle, tool, (cell, digit), patience)
            if answer is None:
                print(f"{'':<18}{tool:<9}{f'> {patience:.0f} wall':>9}")
                continue
            seconds, constraints_, known = answer
            size = constraints_ + known
            if tool == "ocus":
                ratios.append(ours / size)
            print(
                f"{'':<18}{tool:<9}{seconds:>9.2f}{constraints_:>13}{known:>7}{size:>6}{ours / size:>13.2f}"
            )
    if ratios:
        print(f"ours/theirs, ocus, mean of the {len(ratios)} that ended: {statistics.mean(ratios):.2f}")
    print("* CPU time of the whole path; the general tools' of this one digit.")


def main(arguments: Sequence[str] = ()) -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description="Time whole paths, and one digit beside general tools.")
    parser.add_argument("folder", nargs="?", help="a folder of puzzle files")
    parser.add_argument("--beside", type=int, default=2, help="how many puzzles the general tools explain")
    parser.add_argument("--patience", type=float, default=PATIENCE_S, help="wall seconds that each gets")
    asked = parser.parse_args(list(arguments))
    found = list(puzzles(asked.folder))
    times = timed(found)
    table(times)
    if asked.beside and find_spec("cpmpy") is None:
        print("\nThe general tools were not asked: CPMpy is not installed.")
    elif asked.beside:
        beside(found, times, asked.beside, asked.patience)


if __name__ == "__main__":
    import sys

    main(sys.argv[1:])
