"""
How many fillings single clues have, against values from outside the project.

Sources stand beside each check. "Independent enumeration" means values that were counted by a plain
programme which shares no code with this project.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations, permutations, product
from math import comb

import pytest

from saywhy.grid import Grid
from saywhy.primitives import Regular
from saywhy.puzzle import Clue
from saywhy.rule import Rule, RuleError
from saywhy.rules import place
from saywhy.rules.x_sum import possible
from tests.rules.naive import fillings, permutations_accepted

GRID = Grid.standard(9)


def _rule(name: str, cells: str, value: int | None = None) -> Rule:
    return place(Clue(name, GRID.path(cells), value=value), GRID)


def _words(rule: Rule) -> list[tuple[int, ...]]:
    """Give the fillings of a rule's cells that it allows, in the order of the cells."""
    return [
        tuple(digits[cell] for cell in rule.scope)
        for digits in fillings(rule.scope, rule.grid.size)
        if rule.holds(digits)
    ]


def _pairs(rule: Rule) -> str:
    """Give the allowed pairs, smaller digit first, as text."""
    return " ".join(sorted({f"{min(word)}{max(word)}" for word in _words(rule)}))


def test_dots_and_letters_have_the_pairs_that_every_solver_knows() -> None:
    """Source: common practice of the trade; independent enumeration."""
    assert len(_pairs(_rule("white-dot", "r1c1 r1c2")).split()) == 8
    assert _pairs(_rule("black-dot", "r1c1 r1c2")) == "12 24 36 48"
    assert (
        _pairs(_rule("x", "r1c1 r1c2")) == "19 28 37 46 55"
    )  # 55 falls to the row or column that they share
    assert _pairs(_rule("v", "r1c1 r1c2")) == "14 23"


@pytest.mark.parametrize("length", [2, 3, 4])
def test_a_thermometer_has_one_filling_for_each_set_of_digits(length: int) -> None:
    """Source: C(9, L) and, slow, C(8 + L, L); independent enumeration: 36 84 126 and 45 165 495."""
    assert len(_words(_rule("thermometer", f"r1c1-r1c{length}"))) == comb(9, length)
    assert len(_words(_rule("slow-thermometer", f"r1c1-r1c{length}"))) == comb(8 + length, length)


@pytest.mark.parametrize(("shaft", "repeats", "different"), [(2, 36, 32), (3, 84, 42), (4, 126, 0)])
def test_an_arrow_has_so_many_shafts(shaft: int, repeats: int, different: int) -> None:
    """
    Source: independent enumeration.

    The circle is the shaft's sum, at most 9. The second count is of shafts without a repeat.
    """
    words = _words(_rule("arrow", f"r1c1-r1c{shaft + 1}")) if shaft < 4 else _long_arrow()
    assert len(words) == repeats
    shafts = [word[1:] for word in words]
    distinct = [word for word in shafts if len(set(word)) == shaft]
    assert len(distinct) == different


def _long_arrow() -> list[tuple[int, ...]]:
    rule = _rule("arrow", "r1c1-r1c5")
    words = []
    for shaft in product(range(1, 10), repeat=4):
        if sum(shaft) <= 9:
            digits = [sum(shaft), *shaft, *(0 for _ in range(76))]
            assert rule.holds(digits)
            words.append(tuple(digits[:5]))
    return words


@pytest.mark.parametrize("length", [2, 3, 4])
def test_a_renban_of_l_cells_has_ten_less_l_sets(length: int) -> None:
    """Source: independent enumeration."""
    sets = {tuple(sorted(word)) for word in _words(_rule("renban", f"r1c1-r1c{length}"))}
    assert len(sets) == 10 - length


def test_a_whisper_has_twenty_ordered_pairs_and_never_a_five() -> None:
    """Source: independent enumeration; common practice of the trade."""
    words = _words(_rule("whisper", "r1c1 r1c2"))
    assert len(words) == 20
    assert 5 not in {digit for word in words for digit in word}


#: Number of sets by total, sizes 2 to 4. Source: partitions into distinct parts; independent enumeration.
CAGES = {
    2: "1 1 2 2 3 3 4 4 4 3 3 2 2 1 1",
    3: "1 1 2 3 4 5 7 7 8 8 8 7 7 5 4 3 2 1 1",
    4: "1 1 2 3 5 6 8 9 11 11 12 11 11 9 8 6 5 3 2 1 1",
}


@pytest.mark.parametrize("size", CAGES)
def test_cages_have_the_sets_of_the_tables_and_other_totals_are_refused(size: int) -> None:
    counts = Counter(sum(held) for held in combinations(range(1, 10), size))
    totals = range(size * (size + 1) // 2, size * (19 - size) // 2 + 1)
    assert [counts[total] for total in totals] == [int(number) for number in CAGES[size].split()]
    cells = f"r1c1-r1c{size}"
    for total in totals:
        rule = _rule("killer-cage", cells, total)
        allowed = 0
        for held in combinations(range(1, 10), size):
            digits = [*held, *(0 for _ in range(81 - size))]
            allowed += bool(rule.holds(digits))
        assert allowed == counts[total]
    for total in (totals[0] - 1, totals[-1] + 1):
        with pytest.raises(RuleError):
            _rule("killer-cage", cells, total)


def test_cages_of_known_totals_have_the_known_sets() -> None:
    """Source: exercism problem-specifications, killer-sudoku-helper (MIT)."""
    for total, size, expected in ((7, 3, "124"), (10, 2, "19 28 37 46"), (45, 9, "123456789"), (5, 1, "5")):
        rule = _rule("killer-cage", f"r1c1-r1c{size}", total)
        found = [
            "".join(map(str, held))
            for held in combinations(range(1, 10), size)
            if rule.holds([*held, *(0 for _ in range(81 - size))])
        ]
        assert " ".join(found) == expected


#: Orders of 1 to 9 by sandwich total. Source: independent enumeration.
SANDWICHES = {
    0: 80640, 2: 10080, 3: 10080, 4: 10080, 5: 12960, 6: 12960, 7: 15840, 8: 15840, 9: 10080, 10: 10080,
    11: 11520, 12: 10080, 13: 11520, 14: 9792, 15: 11232, 16: 8064, 17: 9216, 18: 8928, 19: 7488, 20: 8640,
    21: 7488, 22: 7488, 23: 6336, 24: 6624, 25: 5472, 26: 5472, 27: 5760, 28: 5760, 29: 4320, 30: 4320,
    31: 2880, 32: 2880, 33: 2880, 35: 10080,
}  # fmt: skip

#: Sets between 1 and 9 by total, 0, 2 to 33, 35. Source: independent enumeration.
FILLINGS = "1 1 1 1 2 2 3 3 4 4 5 5 6 6 7 6 7 7 6 7 6 6 5 5 4 4 3 3 2 2 1 1 1 1"


def _orders(name: str, value: int) -> int:
    [primitive] = _rule(name, "r1c1-r1c9", value).compile()
    assert isinstance(primitive, Regular)
    return permutations_accepted(primitive.automaton, 9)


def test_sandwiches_have_the_orders_of_the_tables() -> None:
    assert {total: _orders("sandwich", total) for total in SANDWICHES} == SANDWICHES
    assert sum(SANDWICHES.values()) == 362880


def test_sandwiches_have_the_sets_of_the_tables() -> None:
    counts: Counter[int] = Counter()
    for size in range(8):
        for held in combinations(range(2, 9), size):
            rest = [digit for digit in range(2, 9) if digit not in held]
            row = [1, *held, 9, *rest]
            total = sum(held)
            assert _rule("sandwich", "r1c1-r1c9", total).holds([*row, *(0 for _ in range(72))])
            counts[total] += 1
    assert [counts[total] for total in sorted(counts)] == [int(number) for number in FILLINGS.split()]
    assert sorted(counts) == sorted(SANDWICHES)


def test_skyscrapers_have_the_orders_of_the_stirling_numbers() -> None:
    """Source: unsigned Stirling numbers of the first kind, OEIS A132393."""
    expected = [40320, 109584, 118124, 67284, 22449, 4536, 546, 36, 1]
    assert [_orders("skyscraper", count) for count in range(1, 10)] == expected


def test_x_sums_and_numbered_rooms_share_out_all_orders() -> None:
    """
    Source: each order of 1 to 9 has exactly one X-sum and one numbered room (pigeonhole, no table).

    The room is 1 where X is 1, and otherwise any digit but X.
    """
    assert sum(_orders("x-sum", total) for total in possible(9)) == 362880
    rooms = [_orders("numbered-room", value) for value in range(1, 10)]
    assert sum(rooms) == 362880
    assert rooms == [40320 + 8 * 5040] + [7 * 5040] * 8


@pytest.mark.parametrize("size", [4, 5, 6, 7])
def test_the_totals_that_an_x_sum_allows_are_those_of_some_order(size: int) -> None:
    """Source: enumeration of all orders in this test."""
    totals = {sum(order[: order[0]]) for order in permutations(range(1, size + 1))}
    assert possible(size) == totals
