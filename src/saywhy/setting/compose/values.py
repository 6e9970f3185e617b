"""Numbers and digits of clues read off a filled grid: whichever the rule's own definition says hold."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from random import Random

from saywhy.grid import Grid
from saywhy.puzzle import Clue
from saywhy.rule import ClueRule, RuleError
from saywhy.rules import place


def can_be_open(rule: type[ClueRule]) -> bool:
    """Say whether the number on a clue of this rule can be read off a grid."""
    return "value" in rule.needs or rule.less_without_value


def stand_in(rule: type[ClueRule]) -> Iterator[int]:
    """Give numbers of which one is allowed wherever the rule can stand at all."""
    return iter(range(1 if "value" in rule.needs else 3, 140))


def without_number(clue: Clue, rule: type[ClueRule]) -> Clue | None:
    """Give what a clue with an open number says of a grid in any case; None where that is nothing."""
    return replace(clue, value=None) if rule.less_without_value else None


def with_number(clue: Clue, grid: Grid, digits: Sequence[int], random: Random) -> Clue | None:
    """
    Give a clue with the number that a filled grid gives it.

    Returns:
        The clue; None where no number fits. Where several fit, one of them.
    """
    cells = clue.cells or tuple(cell for group in clue.groups for cell in group)
    values = _values(replace(clue, value=None, line=None), grid, tuple(digits[cell] for cell in cells))
    return replace(clue, value=random.choice(values)) if values else None


@lru_cache(maxsize=1 << 15)
def _values(clue: Clue, grid: Grid, held: tuple[int, ...]) -> tuple[int, ...]:
    cells = clue.cells or tuple(cell for group in clue.groups for cell in group)
    digits = [0] * len(grid.cells)
    for cell, digit in zip(cells, held, strict=True):
        digits[cell] = digit
    found = []
    for value in range(sum(held) + 1):
        try:
            rule = place(replace(clue, value=value), grid)
        except RuleError:
            continue
        if rule.holds(digits):
            found.append(value)
    return tuple(found)


def with_digits(clue: Clue, many: int, grid: Grid, digits: Sequence[int], random: Random) -> Clue | None:
    """
    Give a clue whose last digits are read off a filled grid.

    Args:
        clue: The clue; the digits before the last ``many`` are printed already.
        many: How many digits are read off.
        grid: The grid.
        digits: The filled grid.
        random: Chooses among the digits that are there.

    Returns:
        The clue; None where the printed digits are not there, or not enough others.
    """
    printed = list(clue.digits[: len(clue.digits) - many])
    there = [digits[cell] for cell in clue.cells]
    for digit in printed:
        if digit not in there:
            return None
        there.remove(digit)
    if len(there) < many:
        return None
    made = replace(clue, digits=tuple(sorted([*printed, *random.sample(there, many)])))
    try:
        return made if place(made, grid).holds(digits) else None
    except RuleError:
        return None
