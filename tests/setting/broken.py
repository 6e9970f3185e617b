"""Puzzles broken in a known way, and every single change of a puzzle tried by plain search."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from saywhy.engine import Budget, prove
from saywhy.examples import names, path
from saywhy.files import read
from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.rule import RuleError
from saywhy.rules import place
from tests.second_opinion.makers import true_clue

WAYS = ("given removed", "value changed", "two swapped")
#: Rules with numbers and how many clues a grid of size 6 gets; a 9 by 9 gets twice as many.
NUMBERED = {
    "killer-cage": 7,
    "sandwich": 6,
    "little-killer": 6,
    "pair-sum": 8,
    "skyscraper": 8,
    "x-sum": 6,
    "edge-sum": 7,
    "sum-line": 5,
    "quadruple": 6,
    "numbered-room": 7,
}
#: Rules without numbers.
DRAWN = {"thermometer": 5, "arrow": 4, "double-arrow": 4, "whisper": 3, "renban": 4, "white-dot": 9}


@dataclass(frozen=True)
class Broken:
    """
    A puzzle that was broken.

    Attributes:
        name: Where it comes from.
        way: How it was broken.
        whole: The puzzle before, with one solution.
        puzzle: The puzzle after, with none or several.
    """

    name: str
    way: str
    whole: Puzzle
    puzzle: Puzzle


def generated(rule: str, size: int, seed: int) -> Puzzle:
    """Draw a solution, clues that are true of it, and givens as long as some are to spare."""
    chance = random.Random(f"{rule} {size} {seed}")
    grid = Grid.standard(size)
    solution = prove(Puzzle(grid, (0,) * size * size), seed=chance.randrange(1, 1 << 30)).solution
    assert solution is not None
    many = (NUMBERED | DRAWN)[rule] * (2 if size == 9 else 1)
    drawn = (true_clue(rule, grid, solution, chance) for _ in range(many))
    clues = {(clue.cells, clue.groups): clue for clue in drawn if clue is not None}
    puzzle = Puzzle(grid, solution, clues=tuple(clues.values()), title=f"{rule} {seed}")
    for cell in chance.sample(range(size * size), size * size):
        givens = tuple(0 if k == cell else digit for k, digit in enumerate(puzzle.givens))
        fewer = replace(puzzle, givens=givens)
        if prove(fewer, Budget(nodes=3_000)).verdict == "unique":
            puzzle = fewer
    return puzzle


def sources(seed: int) -> Iterator[tuple[str, Puzzle]]:
    """Give the examples that are shipped and generated puzzles of many rules."""
    yield from ((name, read(path(name))[0]) for name in names())
    for number, rule in enumerate((*NUMBERED, *DRAWN)):
        size = (6, 9)[(number + seed + 1) % 2]
        yield f"{rule} {size}x{size}", generated(rule, size, number + 100 * (seed - 1))


def broken(wanted: int = 50, seed: int = 1) -> list[Broken]:
    """Break puzzles, the three ways in turn as far as they go, until there are so many."""
    found: list[Broken] = []
    seen: set[Puzzle] = set()
    held = list(sources(seed))
    for turn in range(wanted):
        for name, puzzle in held:
            chance = random.Random(f"{seed} {turn} {name}")
            way = WAYS[(turn + len(found)) % 3]
            made = _break(puzzle, way, chance)
            if made is not None and made not in seen:
                seen.add(made)
                found.append(Broken(name, way, puzzle, made))
            if len(found) == wanted:
                return found
    return found


def _break(puzzle: Puzzle, way: str, chance: random.Random) -> Puzzle | None:
    makers = {"given removed": _fewer, "value changed": _changed, "two swapped": _swapped}
    made = list(makers[way](puzzle))
    chance.shuffle(made)
    return next((held for held in made if prove(held).verdict in ("none", "many")), None)


def _fewer(puzzle: Puzzle) -> Iterator[Puzzle]:
    for cell, digit in enumerate(puzzle.givens):
        if digit:
            yield _given(puzzle, cell, 0)


def _changed(puzzle: Puzzle) -> Iterator[Puzzle]:
    """One number of a clue, wrong by little or much."""
    for index, clue in enumerate(puzzle.clues):
        if clue.value is not None:
            for off in (-3, -2, -1, 1, 2, 3):
                yield from _allowed(puzzle, {index: replace(clue, value=clue.value + off)})
        for at in range(len(clue.digits)):
            for digit in puzzle.grid.digits:
                digits = tuple(digit if k == at else held for k, held in enumerate(clue.digits))
                if sorted(digits) != sorted(clue.digits):
                    yield from _allowed(puzzle, {index: replace(clue, digits=digits)})


def _swapped(puzzle: Puzzle) -> Iterator[Puzzle]:
    for (i, one), (j, two) in combinations(enumerate(puzzle.clues), 2):
        if one.rule == two.rule and (one.value, one.digits) != (two.value, two.digits):
            there = {
                i: replace(one, value=two.value, digits=two.digits),
                j: replace(two, value=one.value, digits=one.digits),
            }
            yield from _allowed(puzzle, there)


def _given(puzzle: Puzzle, cell: int, digit: int) -> Puzzle:
    return replace(puzzle, givens=tuple(digit if k == cell else d for k, d in enumerate(puzzle.givens)))


def _allowed(puzzle: Puzzle, changed: dict[int, Clue]) -> Iterator[Puzzle]:
    clues = tuple(changed.get(index, clue) for index, clue in enumerate(puzzle.clues))
    made = replace(puzzle, clues=clues)
    try:
        for clue in made.clues:
            place(clue, made.grid)
    except RuleError:
        return
    yield made


def neighbours(puzzle: Puzzle) -> Iterator[Puzzle]:
    """
    Give every puzzle that differs by one given, by one number, or by two givens or numbers exchanged.

    Written without the repertoire of repair, to be held against it.
    """
    held = [cell for cell, digit in enumerate(puzzle.givens) if digit]
    for cell in range(len(puzzle.givens)):
        for digit in range(puzzle.grid.size + 1):
            if digit != puzzle.givens[cell]:
                yield _given(puzzle, cell, digit)
    for a, b in combinations(held, 2):
        if puzzle.givens[a] != puzzle.givens[b]:
            yield _given(_given(puzzle, a, puzzle.givens[b]), b, puzzle.givens[a])
    for index, clue in enumerate(puzzle.clues):
        if clue.value is not None:
            for value in range(150):
                if value != clue.value:
                    yield from _allowed(puzzle, {index: replace(clue, value=value)})
    yield from _changed_digits(puzzle)
    for (i, one), (j, two) in combinations(enumerate(puzzle.clues), 2):
        same = one.rule == two.rule
        if one.value != two.value and (same or None not in (one.value, two.value)):
            there = {i: replace(one, value=two.value), j: replace(two, value=one.value)}
            yield from _allowed(puzzle, there)
        elif one.digits and two.digits and sorted(one.digits) != sorted(two.digits):
            there = {i: replace(one, digits=two.digits), j: replace(two, digits=one.digits)}
            yield from _allowed(puzzle, there)


def _changed_digits(puzzle: Puzzle) -> Iterator[Puzzle]:
    for made in _changed(puzzle):
        if all(one.value == two.value for one, two in zip(made.clues, puzzle.clues, strict=True)):
            yield made


def said(puzzle: Puzzle) -> tuple[object, ...]:
    """Give what a puzzle says, the order of the digits on a corner left out."""
    clues = [replace(clue, digits=tuple(sorted(clue.digits))) for clue in puzzle.clues]
    return puzzle.givens, tuple(clues)


def single_mendings(puzzle: Puzzle) -> set[tuple[object, ...]]:
    """Give every puzzle one change away that has exactly one solution, each proved from the beginning."""
    return {said(made) for made in neighbours(puzzle) if prove(made).verdict == "unique"}
