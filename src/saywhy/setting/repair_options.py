"""All single changes that a setter could have meant: the repertoire of repair."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain, combinations, islice

from saywhy.puzzle import Clue, Puzzle
from saywhy.rule import ClueRule, Form, PairRule, RuleError
from saywhy.rules import find, place
from saywhy.setting.changes import Change
from saywhy.setting.watch import Watch

#: Forms of clues that are a mark and nothing else, of which one can be taken for another.
MARKS = (Form.PAIR, Form.CELL)
#: Forms that say something else when their cells are named the other way round.
TURNED = (Form.LINE, Form.OUTSIDE, Form.DIAGONAL, Form.PAIR)


#: Exchanges between clues that are listed; a puzzle of 200 numbered clues has fewer.
MOST_SWAPS = 20_000


def options(puzzle: Puzzle, *, drops: bool, watch: Watch | None = None) -> list[Change]:
    """
    List every single change, each once.

    Args:
        puzzle: The puzzle.
        drops: Whether to take things out as well: of use only where there is no solution.
        watch: The clock: files of strangers can hold very many clues.

    Raises:
        StoppedError: The time is over.
    """
    swaps = islice(_swaps(puzzle), MOST_SWAPS)
    found: dict[Change, None] = {}
    for change in chain(_givens(puzzle, drops=drops), _clues(puzzle, drops=drops), swaps, _marks(puzzle)):
        found[change] = None
        if watch is not None and len(found) % 64 == 0:
            watch.left()
    return list(found)


def _givens(puzzle: Puzzle, *, drops: bool) -> Iterator[Change]:
    held = [cell for cell, digit in enumerate(puzzle.givens) if digit]
    for cell, given in enumerate(puzzle.givens):
        for digit in puzzle.grid.digits:
            if digit != given:
                yield Change("change-given" if given else "add-given", givens=((cell, digit),))
    if drops:
        yield from (Change("drop-given", givens=((cell, 0),)) for cell in held)
    for one, other in combinations(held, 2):
        a, b = puzzle.givens[one], puzzle.givens[other]
        if a != b:
            yield Change("swap-givens", givens=((one, b), (other, a)))


def _clues(puzzle: Puzzle, *, drops: bool) -> Iterator[Change]:
    numbered = {clue.rule for clue in puzzle.clues if clue.value is not None}
    for index, clue in enumerate(puzzle.clues):
        rule = _rule(clue)
        if clue.value is not None or (clue.rule in numbered and "value" in rule.takes | rule.needs):
            kind: str = "give-value" if clue.value is None else "change-value"
            for value in _values(puzzle, clue):
                yield Change(kind, clues=((index, value),))  # type: ignore[arg-type]
        for place_ in range(len(clue.digits)):
            for digit in puzzle.grid.digits:
                digits = (*clue.digits[:place_], digit, *clue.digits[place_ + 1 :])
                yield from _altered(puzzle, "change-value", index, replace(clue, digits=digits))
        if rule.form in TURNED:
            yield from _altered(puzzle, "turn-clue", index, replace(clue, cells=clue.cells[::-1]))
        if rule.form in MARKS:
            for other in _kinds(puzzle):
                if other is not rule and other.form is rule.form:
                    yield from _altered(puzzle, "change-kind", index, Clue(other.name, clue.cells))
        if drops:
            yield Change("drop-clue", clues=((index, None),))
            if clue.value is not None and "value" in rule.takes - rule.needs:
                yield Change("drop-value", clues=((index, replace(clue, value=None)),))


def _swaps(puzzle: Puzzle) -> Iterator[Change]:
    """Two clues, each with what is printed on the other."""
    for (a, one), (b, two) in combinations(enumerate(puzzle.clues), 2):
        numbers = None not in (one.value, two.value) or one.rule == two.rule
        if one.value != two.value and numbers:
            first, second = replace(one, value=two.value), replace(two, value=one.value)
            yield from _swapped(puzzle, "swap-values", (a, first), (b, second))
        elif one.digits and two.digits and sorted(one.digits) != sorted(two.digits):
            first, second = replace(one, digits=two.digits), replace(two, digits=one.digits)
            yield from _swapped(puzzle, "swap-values", (a, first), (b, second))
        form = _rule(one).form
        if one.rule != two.rule and form in MARKS and form is _rule(two).form:
            first, second = replace(two, cells=one.cells), replace(one, cells=two.cells)
            yield from _swapped(puzzle, "swap-kinds", (a, first), (b, second))


def _swapped(puzzle: Puzzle, kind: str, *pair: tuple[int, Clue]) -> Iterator[Change]:
    if all(_allowed(puzzle, clue) for _, clue in pair):
        yield Change(kind, clues=pair)  # type: ignore[arg-type]


def _marks(puzzle: Puzzle) -> Iterator[Change]:
    """Further marks of kinds that are on the board."""
    there = {(clue.rule, frozenset(clue.cells)) for clue in puzzle.clues}
    for rule in _kinds(puzzle):
        if rule.needs:
            continue
        cells = [(cell,) for cell in puzzle.grid.cells]
        for where in cells if rule.form is Form.CELL else puzzle.grid.neighbour_pairs:
            if (rule.name, frozenset(where)) in there:
                continue
            ways = (where,) if issubclass(rule, PairRule) or len(where) == 1 else (where, where[::-1])
            for way in ways:
                clue = Clue(rule.name, way)
                if _allowed(puzzle, clue):
                    yield Change("add-clue", added=clue)


def _kinds(puzzle: Puzzle) -> list[type[ClueRule]]:
    """Give the kinds of marks on the board, in the order of their first clues."""
    names = dict.fromkeys(clue.rule for clue in puzzle.clues if clue.value is None)
    rules = [_named(name) for name in names]
    return [rule for rule in rules if rule.form in MARKS]


def _values(puzzle: Puzzle, clue: Clue) -> Iterator[Clue]:
    """Give a clue with each other number that its rule allows on it."""
    size = puzzle.grid.size
    most = max(size * (size + 1) // 2, size * max(1, len(clue.cells)))
    for value in range(most + 1):
        if value != clue.value and _allowed(puzzle, other := replace(clue, value=value)):
            yield other


def _altered(puzzle: Puzzle, kind: str, index: int, clue: Clue) -> Iterator[Change]:
    """Give the change to a clue where it is one that its rule allows and that says something else."""
    held = puzzle.clues[index]
    if clue != held and _allowed(puzzle, clue) and place(clue, puzzle.grid) != place(held, puzzle.grid):
        yield Change(kind, clues=((index, clue),))  # type: ignore[arg-type]


def _allowed(puzzle: Puzzle, clue: Clue) -> bool:
    try:
        place(clue, puzzle.grid)
    except RuleError:
        return False
    return True


def _rule(clue: Clue) -> type[ClueRule]:
    return _named(clue.rule)


def _named(name: str) -> type[ClueRule]:
    rule = find(name)
    assert rule is not None and issubclass(rule, ClueRule), "read puzzles name rules that are there"
    return rule
