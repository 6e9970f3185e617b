"""
The rules, found by discovery: every module of this package holds exactly one and is named like it.

Adding a rule is adding one file here; nothing else is touched.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections import Counter
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from saywhy.grid import Grid
from saywhy.puzzle import Clue, Puzzle
from saywhy.rule import ClueRule, GridRule, GroupsRule, PairRule, Rule, RuleError, check_clue


@cache
def all_rules() -> dict[str, type[Rule]]:
    """Give every rule by its name in files, in alphabetical order."""
    found = (_held(module) for module in _modules().values())
    return dict(sorted((rule.name, rule) for rule in found if rule is not None))


def find(name: str) -> type[Rule] | None:
    """
    Give one rule by its name in files; None where there is none.

    Only the file of this rule is imported: to import them all takes longer than most proofs.
    """
    module = _modules().get(name)
    return None if module is None else _held(module)


@cache
def _modules() -> dict[str, str]:
    """Give the module of each rule by the rule's name."""
    return {info.name.replace("_", "-"): info.name for info in pkgutil.iter_modules(__path__)}


@cache
def _held(name: str) -> type[Rule] | None:
    """Give the rule that a module holds."""
    module = importlib.import_module(f"{__name__}.{name}")
    for held in vars(module).values():
        if (
            isinstance(held, type)
            and issubclass(held, Rule)
            and held.__module__ == module.__name__
            and not getattr(held, "__abstractmethods__", None)
        ):
            return held
    return None


def grid_rules() -> dict[str, type[GridRule]]:
    """Give the grid-wide rules by name."""
    return {name: rule for name, rule in all_rules().items() if issubclass(rule, GridRule)}


def clue_rules() -> dict[str, type[ClueRule]]:
    """Give the clue rules by name."""
    return {name: rule for name, rule in all_rules().items() if issubclass(rule, ClueRule)}


def pair_rules() -> dict[str, type[PairRule]]:
    """Give the rules of which a puzzle can say that all are given, by name."""
    return {name: rule for name, rule in all_rules().items() if issubclass(rule, PairRule)}


@dataclass(frozen=True)
class Placed:
    """
    The rules of one puzzle, placed on its grid.

    Attributes:
        grid_wide: By name, in file order; ``all-given`` last where the puzzle says so.
        clues: One for each clue, in file order.
    """

    grid_wide: dict[str, Rule]
    clues: tuple[ClueRule, ...]


@lru_cache(maxsize=64)
def placed(puzzle: Puzzle) -> Placed:
    """
    Give the rules of a puzzle, placed on its grid.

    Raises:
        RuleError: A clue or grid-wide rule is not allowed here; the first one (``files`` reports them all).
    """
    wide: dict[str, Rule] = {name: _grid_rule(name).read(puzzle.grid) for name in puzzle.rules}
    if puzzle.all_given:
        from saywhy.rules.all_given import AllGiven

        wide["all-given"] = AllGiven.of(puzzle)
    return Placed(wide, _tagged([place(clue, puzzle.grid) for clue in puzzle.clues]))


def place(clue: Clue, grid: Grid) -> ClueRule:
    """
    Give one clue as its rule, placed on the grid.

    Raises:
        RuleError: The clue is not allowed; the first thing found wrong.
    """
    rule = find(clue.rule)
    if rule is None or not issubclass(rule, ClueRule):
        raise _unknown(clue.rule)
    for wrong in check_clue(rule, clue, grid):
        raise wrong
    return rule.read(clue, grid)


def _grid_rule(name: str) -> type[GridRule]:
    rule = find(name)
    if rule is None or not issubclass(rule, GridRule):
        raise _unknown(name)
    return rule


def _unknown(name: str) -> RuleError:
    return RuleError("rule", f"there is no rule {name[:40]!r} for this", "Name a rule of the rules page")


def _tagged(clues: list[ClueRule]) -> tuple[ClueRule, ...]:
    """Give rules on groups a letter each where two of one kind stand on the board."""
    many = Counter(clue.name for clue in clues if isinstance(clue, GroupsRule))
    seen: Counter[str] = Counter()
    found: list[ClueRule] = []
    for clue in clues:
        if isinstance(clue, GroupsRule) and many[clue.name] > 1:
            number = seen[clue.name]
            seen[clue.name] += 1
            letter = chr(ord("A") + number % 26) + str(number // 26 + 1 if number >= 26 else "")
            found.append(replace(clue, tag=letter))
        else:
            found.append(clue)
    return tuple(found)
