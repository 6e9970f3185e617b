"""Each rule's definition and its compiled form say the same of every filling."""

from __future__ import annotations

import random
from itertools import combinations, product

import pytest

from saywhy.engine import count
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.rule import Rule
from saywhy.rules import all_rules, placed
from tests.rules.naive import cells_of, fillings, satisfied
from tests.rules.samples import empty, samples

#: A rule's cells can be filled in at most this many ways to be tried in all of them.
FEW = 70_000

RULES: list[tuple[str, Rule]] = [
    (name, rule)
    for name, puzzle in samples()
    for rule in (*placed(puzzle).grid_wide.values(), *placed(puzzle).clues)
]
SMALL = [rule for _, rule in RULES if rule.grid.size ** len(rule.scope) <= FEW]


def _id(rule: Rule) -> str:
    return f"{rule.name}-{rule.grid.size}-{len(rule.scope)}"


def _compiled(rule: Rule, digits: list[int]) -> bool:
    return all(satisfied(primitive, digits) for primitive in rule.compile())


def test_every_rule_is_tried_on_all_fillings_or_is_one_of_the_whole_grid() -> None:
    tried = {rule.name for rule in SMALL}
    large = {name for name, rule in all_rules().items() if name not in tried}
    assert large == {
        "all-given",
        "anti-king",
        "anti-knight",
        "disjoint-groups",
        "magic-square",
        "non-consecutive",
    }


@pytest.mark.parametrize("rule", SMALL, ids=_id)
def test_a_clue_holds_where_its_primitives_do_on_every_filling(rule: Rule) -> None:
    primitives = rule.compile()
    held = 0
    for digits in fillings(rule.scope, rule.grid.size):
        verdict = rule.holds(digits)
        assert verdict is all(satisfied(primitive, digits) for primitive in primitives), digits
        held += bool(verdict)
    assert 0 < held < rule.grid.size ** len(rule.scope) or _says_nothing(rule)


def _says_nothing(rule: Rule) -> bool:
    """A cage of one cell without a total holds always."""
    return rule.name == "killer-cage" and not rule.compile()


@pytest.mark.parametrize("rule", [rule for _, rule in RULES if rule not in SMALL], ids=_id)
def test_a_rule_of_many_cells_holds_where_its_primitives_do_on_random_and_on_nearly_right_fillings(
    rule: Rule,
) -> None:
    draw = random.Random(2)
    verdicts = set()
    for right in _right(rule):
        for changes in (0, 0, 1, 1, 2, 3, len(right)):
            digits = list(right)
            for cell in draw.sample(rule.scope, min(changes, len(rule.scope))):
                digits[cell] = draw.choice(rule.grid.digits)
            verdict = rule.holds(digits)
            assert verdict is _compiled(rule, digits), digits
            verdicts.add(verdict)
    assert verdicts == {True, False}


def _right(rule: Rule) -> list[list[int]]:
    """Give some fillings of the whole grid that the rule allows, houses left out where that is easy."""
    from saywhy.second_opinion import solve

    for name, puzzle in samples():
        rules = placed(puzzle)
        if name == rule.name and rule in (*rules.grid_wide.values(), *rules.clues):
            return [list(found) for found in solve(puzzle, limit=20)]
    raise AssertionError(rule)


@pytest.mark.parametrize("size", [4, 5])
def test_a_grid_wide_rule_of_pairs_breaks_exactly_where_two_cells_break_it(size: int) -> None:
    """
    All fillings of every two cells, the rest empty.

    With that and the whole fillings above, rules that are nothing but pairs are tried completely.
    """
    grid = Grid.standard(size) if size != 5 else Grid(5, None)
    names = ["anti-king", "anti-knight", "non-consecutive"]
    wide: list[Rule] = [*placed(empty(grid, rules=tuple(names))).grid_wide.values()]
    wide += placed(empty(grid, all_given=("white-dot", "black-dot", "x", "v"))).grid_wide.values()
    for rule in wide:
        relations = {frozenset(cells_of(primitive)): primitive for primitive in rule.compile()}
        assert len(relations) == len(rule.compile())
        for a, b in combinations(grid.cells, 2):
            primitive = relations.get(frozenset({a, b}))
            for digits in fillings((a, b), size):
                fine = primitive is None or satisfied(primitive, digits)
                assert rule.holds(digits) is (None if fine else False)


@pytest.mark.parametrize("rule", [rule for _, rule in RULES], ids=_id)
def test_a_rule_is_undecided_while_a_cell_is_empty_or_else_rightly_false(rule: Rule) -> None:
    draw = random.Random(1)
    n = rule.grid.size
    assert rule.holds([0] * (n * n)) is None
    for _ in range(40):
        digits = [draw.choice(rule.grid.digits) for _ in range(n * n)]
        open_cells = draw.sample(rule.scope, draw.randint(1, min(2, len(rule.scope))))
        for cell in open_cells:
            digits[cell] = 0
        verdict = rule.holds(digits)
        assert verdict is not True
        if verdict is False:
            for word in product(rule.grid.digits, repeat=len(open_cells)):
                for cell, digit in zip(open_cells, word, strict=True):
                    digits[cell] = digit
                assert rule.holds(digits) is False


@pytest.mark.parametrize("rule", SMALL, ids=_id)
def test_digits_outside_its_scope_are_nothing_to_a_rule(rule: Rule) -> None:
    draw = random.Random(5)
    outside = set(rule.grid.cells) - set(rule.scope)
    for _ in range(30):
        digits = [draw.choice(rule.grid.digits) for _ in rule.grid.cells]
        bare = [0 if cell in outside else digit for cell, digit in enumerate(digits)]
        assert rule.holds(digits) is rule.holds(bare) is not None


@pytest.mark.parametrize(
    ("name", "puzzle"), samples(), ids=lambda value: value if isinstance(value, str) else ""
)
def test_every_sample_can_be_filled(name: str, puzzle: Puzzle) -> None:
    assert count(puzzle, limit=1).solutions == 1


@pytest.mark.parametrize("rule", [rule for _, rule in RULES], ids=_id)
def test_primitives_name_only_cells_of_the_scope_and_are_well_formed(rule: Rule) -> None:
    from saywhy.primitives import Linear, Pair, Regular

    n = rule.grid.size
    assert len(set(rule.scope)) == len(rule.scope)
    for primitive in rule.compile():
        cells = cells_of(primitive)
        assert set(cells) <= set(rule.scope)
        assert len(set(cells)) == len(cells) > 0
        if isinstance(primitive, Linear):
            assert 0 not in primitive.coefficients
            assert len(primitive.coefficients) == len(cells)
        if isinstance(primitive, Pair):
            assert len(primitive.table) == n
            assert all(0 <= row < 1 << n for row in primitive.table)
        if isinstance(primitive, Regular):
            moves = primitive.automaton.moves
            assert all(len(row) == n and all(-1 <= to < len(moves) for to in row) for row in moves)
