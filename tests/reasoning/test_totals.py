"""What cells make: totals, ways and the reasons for which an amount is not made, against every filling."""

from __future__ import annotations

import random
import re
from itertools import product

import pytest

from saywhy.outside import blames_of
from saywhy.primitives import digits_of, mask
from saywhy.thoughts import Said
from saywhy.totals import Apart, made, making, reach, unmade


def fillings(domains: list[int], apart: Apart) -> list[tuple[int, ...]]:
    """List every filling, one digit a cell."""
    return [
        way
        for way in product(*map(digits_of, domains))
        if all(way[place] != way[i] for place, earlier in enumerate(apart) for i in earlier)
    ]


def groups(number: int) -> list[tuple[list[int], Apart]]:
    """Give random cells with random digits left; all of them, some or none differ."""
    dice = random.Random(number)
    found = []
    for _ in range(number):
        count = dice.randint(2, 4)
        domains = [dice.getrandbits(9) & dice.getrandbits(9) | 1 << dice.randrange(9) for _ in range(count)]
        odds = dice.choice((0, 0.5, 1))
        apart = tuple(tuple(i for i in range(place) if dice.random() < odds) for place in range(count))
        found.append((domains, apart))
    return found


def text(said: Said) -> str:
    """Give a clause with its cells as numbers."""
    return "".join(piece if isinstance(piece, str) else str(piece) for piece in said)


def test_totals_are_those_of_all_fillings() -> None:
    for domains, apart in groups(200):
        assert set(made(domains, apart) or ()) == {sum(way) for way in fillings(domains, apart)}


def test_the_ways_to_make_an_amount_are_those_of_all_fillings() -> None:
    for domains, _ in groups(200):
        apart = tuple(tuple(range(place)) for place in range(len(domains)))
        every = {tuple(sorted(way)) for way in fillings(domains, apart)}
        for amount in range(3, 35):
            assert making(domains, amount) == sorted(way for way in every if sum(way) == amount)


def test_what_is_made_instead_is_said_of_no_amount_that_can_be_made_and_is_true() -> None:
    said = 0
    for domains, apart in groups(300):
        known = dict(enumerate(domains))
        totals = {sum(way) for way in fillings(domains, apart)}
        for amount in range(3, 35):
            clause = unmade(tuple(known), known, amount, 9, apart)
            if clause is None:
                continue
            assert amount not in totals
            words, said = text(clause), said + 1
            if found := re.fullmatch(r"make (?:(\d+) at most)?(?: or )?(?:at least (\d+))?", words):
                low, high = int(found[1] or -1), int(found[2] or 99)
                assert low < amount < high
                assert all(total <= low or total >= high for total in totals)
            elif found := re.fullmatch(r"make ([\d, or]+)", words):
                assert {int(number) for number in re.findall(r"\d+", found[1])} == totals
            elif found := re.fullmatch(r"make an (odd|even) number", words):
                assert {total % 2 for total in totals} == {int(found[1] == "odd")}
    assert said > 1000


@pytest.mark.parametrize(
    ("domains", "amount", "said"),
    [
        ([[2, 5], [3, 6]], 9, "make 5, 8 or 11"),
        ([[2, 5, 8], [3, 6, 9]], 19, "make 17 at most"),
        ([[1, 3, 5, 7], [3, 5, 7, 9]], 11, "make an even number"),
        ([[1, 2, 3, 7], [4, 9]], 8, "would need a 4 in (0,) to make 8"),
        ([[2, 3, 5, 8, 9], [2, 3, 5, 8, 9]], 9, "have no two digits that make 9"),
        ([[2, 4, 6, 9], [2, 4, 7], [1, 8, 9]], 14, None),
        ([[1, 4], [3, 5, 6, 8], [3, 5, 6, 8]], 11, "would have to be 1, 4 and 6, and (1, 2) would both be 6"),
    ],
)
def test_reasons_why_an_amount_is_not_made(domains: list[list[int]], amount: int, said: str | None) -> None:
    known = {cell: sum(1 << (digit - 1) for digit in digits) for cell, digits in enumerate(domains)}
    clause = unmade(tuple(known), known, amount, 9)
    assert (None if clause is None else text(clause)) == said


def test_a_digit_needed_may_be_any_of_a_larger_board() -> None:
    known = {0: mask([1, 2, 15]), 1: mask([3, 5])}
    said = unmade((0, 1), known, 15, 16)
    assert said is not None
    assert text(said) == "would need a 10 or a 12 in (0,) to make 15"


def test_totals_next_to_an_amount_are_given_where_they_say_more_than_that_it_is_not_made() -> None:
    assert reach({3, 4, 5, 9, 10}, 7) == "5 at most or at least 9"
    assert reach({3, 4, 5, 7, 8}, 6) == ""
    assert reach({3, 4, 5, 7, 8}, 6, always=True) == "5 at most or at least 7"
    assert reach({4, 8}, 6) == "4 or 8"
    assert reach({8}, 6) == "8"


def test_what_is_wrong_of_cells_that_hold_some_digits_is_wrong_of_no_cells_that_can() -> None:
    dice = random.Random(5)
    wrong = 0
    for _ in range(400):
        digits = sorted(dice.sample(range(1, 10), 4))
        known = {cell: dice.getrandbits(9) | 1 << dice.randrange(9) for cell in range(4)}
        mask = sum(1 << (digit - 1) for digit in digits)
        can = any(sorted(way) == digits for way in product(*(digits_of(m & mask) for m in known.values())))
        blames = blames_of(digits, tuple(known), known, "outside")
        assert not (can and blames)
        wrong += bool(blames)
    assert wrong
