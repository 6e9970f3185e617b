"""
Random mixes of rules on which the engine and the second opinion must agree.

``python -m tests.second_opinion.mixes FIRST COUNT`` goes through many seeds; a disagreement is shrunk and
kept under ``tests/regressions``, where a test looks at it ever after.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from time import monotonic
from typing import Any

from saywhy.engine import Budget, Conflict, candidates, conflict, count, prove
from saywhy.files import write
from saywhy.grid import Grid
from saywhy.primitives import digits_of
from saywhy.puzzle import Clue, Puzzle
from saywhy.reasoning.explain import explain
from saywhy.rule import RuleError
from saywhy.rules import clue_rules, placed
from saywhy.second_opinion import build, certify_path, enumerate_fillings, search
from tests.rules.random_clues import crooked
from tests.second_opinion.makers import true_clue

Filling = tuple[int, ...]

REGRESSIONS = Path(__file__).parent.parent / "regressions"

#: Sizes, the usual ones more often.
SIZES = (4, 4, 4, 5, 5, 6, 6, 6, 6, 7, 8, 9, 9, 9, 9, 10, 12, 16)

WIDE = (
    "diagonals",
    "falling-diagonal",
    "rising-diagonal",
    "anti-knight",
    "anti-king",
    "non-consecutive",
    "disjoint-groups",
)

#: So many solutions are compared one by one.
FEW = 12

#: Time for either side; what is not decided by then is no disagreement.
SECONDS = 10.0


def random_mix(seed: int) -> tuple[Puzzle, Filling | None]:
    """
    Give a random puzzle.

    Returns:
        The puzzle; and the solution that all of its clues were made from, None where one was changed since.
    """
    chance = random.Random(seed)
    size = chance.choice(SIZES)
    grid = chance.choice([crooked(size), Grid(size, None)] if size in (5, 7) else _grids(size))
    wide = [rule for rule in WIDE if rule != "disjoint-groups" or grid.box is not None]
    rules = tuple(chance.sample(wide, chance.choice([0, 0, 0, 1, 1, 2])))
    base = Puzzle(grid, (0,) * size * size, rules)
    if size == 9 and chance.random() < 0.1:
        base = replace(base, clues=(Clue("magic-square", _middle(grid)),))
    solution = prove(base, Budget(seconds=SECONDS, nodes=20_000), seed=seed + 1).solution
    if solution is None:  # these rules leave no grid, or are slow to find one
        base = Puzzle(grid, (0,) * size * size)
        solution = prove(base, seed=seed + 1).solution
        assert solution is not None
    chosen = chance.choices(sorted(clue_rules()), k=chance.randint(0, 2 * size))
    made = [true_clue(rule, grid, solution, chance) for rule in chosen]
    puzzle = replace(base, clues=(*base.clues, *(clue for clue in made if clue is not None)))
    if chance.random() < 0.2:
        puzzle = _all_given(puzzle, solution, chance)
    puzzle = _with_givens(puzzle, solution, chance)
    if puzzle.clues and chance.random() < 0.25:
        return _spoiled(puzzle, chance), None
    return puzzle, solution


def _grids(size: int) -> list[Grid]:
    return [Grid.standard(size), Grid.standard(size), Grid.standard(size), crooked(size), Grid(size, None)]


def _middle(grid: Grid) -> tuple[int, ...]:
    start = grid.size // 2 - 1
    return tuple(
        row * grid.size + column for row in range(start, start + 3) for column in range(start, start + 3)
    )


def _all_given(puzzle: Puzzle, solution: tuple[int, ...], chance: random.Random) -> Puzzle:
    """Say that all marks of some kinds are given, and give them all."""
    kinds = chance.choice(
        [("white-dot",), ("black-dot",), ("white-dot", "black-dot"), ("x",), ("v",), ("x", "v")]
    )
    marked = {
        frozenset(clue.cells): {c.rule for c in puzzle.clues if set(c.cells) == set(clue.cells)}
        for clue in puzzle.clues
    }
    stands = {
        "white-dot": lambda a, b: abs(a - b) == 1,
        "black-dot": lambda a, b: max(a, b) == 2 * min(a, b),
        "x": lambda a, b: a + b == 10,
        "v": lambda a, b: a + b == 5,
    }
    added = []
    for a, b in puzzle.grid.neighbour_pairs:
        there = marked.get(frozenset((a, b)), set())
        true = [kind for kind in kinds if stands[kind](solution[a], solution[b])]
        if len(true) == 2 and there & set(true):
            continue
        if len(true) == 2:
            true = [chance.choice(true)]
        added += [Clue(kind, (a, b)) for kind in true if kind not in there]
    return replace(puzzle, all_given=kinds, clues=(*puzzle.clues, *added))


def _with_givens(puzzle: Puzzle, solution: tuple[int, ...], chance: random.Random) -> Puzzle:
    """Give as few digits as leave one solution, give or take one; by the engine, which only chooses here."""
    givens = list(solution)
    for cell in chance.sample(puzzle.grid.cells, len(givens)):
        kept, givens[cell] = givens[cell], 0
        if prove(replace(puzzle, givens=tuple(givens)), Budget(nodes=2_000)).verdict != "unique":
            if chance.random() < 0.5:
                givens[cell] = kept
            break
    return replace(puzzle, givens=tuple(givens))


def _spoiled(puzzle: Puzzle, chance: random.Random) -> Puzzle:
    """Change the value of a clue or turn it round or move it; what comes of it is anyone's guess."""
    place = chance.randrange(len(puzzle.clues))
    clue = puzzle.clues[place]
    shift = chance.choice([1, -1, puzzle.grid.size, -puzzle.grid.size])
    changed = [
        replace(clue, cells=clue.cells[::-1]),
        replace(clue, cells=tuple(cell + shift for cell in clue.cells)),
        *([] if clue.value is None else [replace(clue, value=clue.value + chance.choice([-2, -1, 1, 2]))]),
    ]
    for other in chance.sample(changed, len(changed)):
        spoiled = replace(puzzle, clues=(*puzzle.clues[:place], other, *puzzle.clues[place + 1 :]))
        if all(0 <= cell < len(puzzle.givens) for cell in other.cells):
            try:
                placed(spoiled)
            except RuleError:
                continue
            return spoiled
    return puzzle


def disagreement(puzzle: Puzzle, solution: Filling | None = None) -> str | None:
    """
    Say where the engine, the rules' definitions and the second opinion part company; None where they agree.

    Args:
        puzzle: The puzzle.
        solution: A filling that is known to be a solution, if there is one.
    """
    ours = prove(puzzle, Budget(seconds=SECONDS))
    theirs = search(puzzle, FEW, SECONDS)
    if ours.verdict == "undecided" or not theirs.finished:
        return None
    said = {0: "none", 1: "unique"}.get(len(theirs.solutions), "many")
    if ours.verdict != said:
        return f"the engine says {ours.verdict}, the second opinion {said}"
    counting = count(puzzle, FEW, Budget(seconds=SECONDS))
    counted = counting.solutions
    if counted < FEW and not counting.exact:
        return None
    if counted != len(theirs.solutions):
        return f"the engine counts {counted} solutions, the second opinion {len(theirs.solutions)}"
    known = {filling for filling in (solution, ours.solution, ours.other, *theirs.solutions) if filling}
    return (
        _refused(puzzle, known)
        or (_wrong_conflict(puzzle) if said == "none" else None)
        or (_wrong_candidates(puzzle, theirs.solutions) if 0 < counted < FEW else None)
    )


def _refused(puzzle: Puzzle, known: set[Filling]) -> str | None:
    """Say which of these solutions is refused by a rule's definition or by the second opinion."""
    rules = placed(puzzle)
    for filling in known:
        for rule in (*rules.grid_wide.values(), *rules.clues):
            if not rule.holds(filling):
                return f"{rule.name} does not hold on {filling}"
        model = build(puzzle, givens=True, domains={cell: (digit,) for cell, digit in enumerate(filling)})
        if not enumerate_fillings(model, puzzle.grid.cells, 1).solutions:
            return f"the second opinion refuses {filling}"
    return None


def _wrong_candidates(puzzle: Puzzle, solutions: Sequence[Filling]) -> str | None:
    """Say whether the engine's candidates are not the digits of these, which are all solutions."""
    left = [set(digits) for digits in zip(*solutions, strict=True)]
    found = candidates(puzzle, budget=Budget(seconds=SECONDS))
    if found.complete and [set(digits_of(mask)) for mask in found.domains] != left:
        return "the engine's candidates are not the digits of the solutions"
    return None


def _wrong_conflict(puzzle: Puzzle) -> str | None:
    """Say what is wrong with the engine's reason why there is no solution."""
    found = conflict(puzzle, Budget(seconds=2.0))
    if found is None:
        return None
    if _holds_together(puzzle, found):
        return f"the second opinion fulfils all of {found}"
    fewer = [
        *(replace(found, clues=_less(found.clues, one)) for one in found.clues),
        *(replace(found, houses=_less(found.houses, one)) for one in found.houses),
        *(replace(found, givens=_less(found.givens, one)) for one in found.givens),
        *(replace(found, rules=_less(found.rules, one)) for one in found.rules),
    ]
    for other in fewer if found.minimal else ():
        if not _holds_together(puzzle, other):
            return f"{other} is enough for {found}"
    return None


def _less(held: tuple[Any, ...], one: object) -> tuple[Any, ...]:
    return tuple(other for other in held if other != one)


def _holds_together(puzzle: Puzzle, part: Conflict) -> bool:
    domains = {cell: (puzzle.givens[cell],) for cell in part.givens}
    model = build(puzzle, houses=part.houses, rules=part.rules, clues=part.clues, domains=domains)
    model.board.all(domains)
    return bool(enumerate_fillings(model, (), 1).solutions)


def shrunk(puzzle: Puzzle, wrong: Callable[[Puzzle], bool], seconds: float = 120.0) -> Puzzle:
    """Give a puzzle that is still wrong, but, time allowing, would not be with one part less."""
    until = monotonic() + seconds
    while True:
        for smaller in _smaller(puzzle):
            if monotonic() > until:
                return puzzle
            if wrong(smaller):
                puzzle = smaller
                break
        else:
            return puzzle


def _smaller(puzzle: Puzzle) -> Iterator[Puzzle]:
    for place in range(len(puzzle.clues)):
        yield replace(puzzle, clues=(*puzzle.clues[:place], *puzzle.clues[place + 1 :]))
    for rule in puzzle.rules:
        yield replace(puzzle, rules=tuple(other for other in puzzle.rules if other != rule))
    for kind in puzzle.all_given:
        yield replace(puzzle, all_given=tuple(other for other in puzzle.all_given if other != kind))
    for cell, digit in enumerate(puzzle.givens):
        if digit:
            yield replace(puzzle, givens=(*puzzle.givens[:cell], 0, *puzzle.givens[cell + 1 :]))
    for place, clue in enumerate(puzzle.clues):
        for fewer in (clue.cells[1:], clue.cells[:-1]):
            other = replace(clue, cells=fewer)
            yield replace(puzzle, clues=(*puzzle.clues[:place], other, *puzzle.clues[place + 1 :]))


def still_wrong(puzzle: Puzzle) -> bool:
    """Say whether a puzzle is allowed and something is wrong with it."""
    try:
        if disagreement(puzzle) is not None:
            return True
        return prove(puzzle, Budget(seconds=SECONDS)).verdict == "unique" and unsound(puzzle) is not None
    except RuleError:
        return False


def keep(seed: int, puzzle: Puzzle, what: str) -> Path:
    """Shrink a disagreement and write it among the regressions; give the file."""
    small = shrunk(puzzle, still_wrong) if still_wrong(puzzle) else puzzle
    REGRESSIONS.mkdir(exist_ok=True)
    path = REGRESSIONS / f"mix-{seed}.toml"
    path.write_text(write(replace(small, title=f"Mix {seed}: {what}"[:100])), encoding="utf-8")
    return path


def unsound(puzzle: Puzzle) -> str | None:
    """Say what is wrong with the path of a puzzle with one solution; None if no step of it is refuted."""
    try:
        path = explain(puzzle, seconds=SECONDS).as_json("mix")
    except Exception as error:  # whatever it is, it is a defect of the path
        return f"no path: {type(error).__name__}: {error}"
    report = certify_path(puzzle, path)
    if report.undecided:
        print(f"not decided in time: steps {report.undecided} of\n{write(puzzle)}", flush=True)
    return "; ".join(report.faults) or None


def main(first: int, number: int) -> None:
    """Go through seeds, and print every disagreement and unsound path, and at last what was met."""
    met: Counter[str] = Counter()
    for seed in range(first, first + number):
        try:
            puzzle, solution = random_mix(seed)
            what = disagreement(puzzle, solution)
        except RuleError as error:
            print(f"seed {seed}: a true clue is refused: {error}", flush=True)
            met["refused"] += 1
            continue
        answer = prove(puzzle, Budget(seconds=SECONDS)).verdict
        if what is None and answer == "unique":
            what = unsound(puzzle)
        met.update(("puzzles", f"size {puzzle.grid.size}", answer))
        met.update({clue.rule for clue in puzzle.clues} | set(puzzle.rules))
        met.update(f"all {kind}" for kind in puzzle.all_given)
        if what is not None:
            met["wrong"] += 1
            print(f"seed {seed}: {what}", flush=True)
            print(f"kept in {keep(seed, puzzle, what)}", flush=True)
    print(dict(sorted(met.items())))


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
