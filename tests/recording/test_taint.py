"""What rests on a claim that nothing had shown, or that is wrong, is never called forced by it."""

from __future__ import annotations

import random
from functools import cache

import pytest

from saywhy.primitives import digits_of
from saywhy.reasoning.position import Position
from saywhy.reasoning.sweep import Sweeper
from saywhy.recording.acts import AnyAct, Erase, Options, Place, Sum, Tie, Trait, Undo
from saywhy.recording.judging import Move
from saywhy.recording.review import Review
from saywhy.recording.shown import Shown
from tests.recording.simulated import Solver
from tests.recording.test_review import reviewed, solver

NAME = "thermometer"


def by() -> Solver:
    return solver(NAME)


def name(cell: int) -> str:
    return by().puzzle.grid.name(cell)


def last(*acts: AnyAct) -> Move:
    return reviewed(by(), list(acts)).moves[-1]


@cache
def guess() -> tuple[int, int, int, int]:
    """Give a cell and its digit that are out of reach, and another pair that one look shows then."""
    frame = by().walk.frame
    cells = [cell for cell, digit in enumerate(by().puzzle.givens) if not digit]
    right = {cell: digit for cell, digit, _ in by().of_path}
    for far in by()._out_of_reach([], cells):
        shown = Shown(Sweeper(frame))
        position = Position.opening(frame)
        position.place(far, right[far])
        for cell, finds in shown.one_look(position).items():
            if cell not in shown.opened and finds[0].places[cell] == right[cell]:
                pair = [
                    Place(t=9, cell=name(far), digit=right[far]),
                    Place(t=12, cell=name(cell), digit=right[cell]),
                ]
                if [move.verdict for move in reviewed(by(), list(pair)).moves] == ["guessed"] * 2:
                    return far, right[far], cell, right[cell]
    raise AssertionError("no guess of this puzzle leads to another digit")


def test_what_follows_from_a_guess_alone_rests_on_it_and_says_so() -> None:
    far, digit, cell, follows = guess()
    move = last(Place(t=9, cell=name(far), digit=digit), Place(t=12, cell=name(cell), digit=follows))
    assert (move.verdict, move.rests_on, move.shown) == ("guessed", (far,), False)
    assert f"rests on the {digit} in {name(far)}, which nothing had shown" in move.reason


def test_what_follows_from_a_wrong_digit_rests_on_it_and_says_so() -> None:
    grid, givens = by().puzzle.grid, by().puzzle.givens
    solution = {cell: digit for cell, digit, _ in by().of_path}
    # Two empty cells of a house: the digit of the second in the first leaves the second only one.
    frame = by().walk.frame
    for house, _ in frame.houses:
        for a in house.cells:
            for b in house.cells:
                if a == b or givens[a] or givens[b]:
                    continue
                position = Position.opening(frame)
                if not position.domain(a) >> (solution[b] - 1) & 1:
                    continue
                position.place(a, solution[b])
                left = digits_of(position.domain(b))
                if len(left) == 1 and left[0] != solution[b]:
                    move = last(
                        Place(t=9, cell=name(a), digit=solution[b]), Place(t=12, cell=name(b), digit=left[0])
                    )
                    assert move.verdict == "wrong" and a in move.rests_on
                    assert f"rests on the {solution[b]} in {grid.name(a)}, which is wrong" in move.reason
                    return
    pytest.skip("no such pair in this puzzle")


def wrong_pair() -> tuple[list[AnyAct], int, int, int]:
    """Follow the path to where a cell has two digits left of different parity, its right one not shown."""
    acts: list[AnyAct] = []
    position = Position.opening(by().walk.frame)
    shown = Shown(Sweeper(by().walk.frame))
    right = {cell: digit for cell, digit, _ in by().of_path}
    for cell, digit, _ in by().moves:
        for other, good in right.items():
            left = digits_of(position.domain(other))
            if len(left) == 2 and sum(left) % 2 and not position.placed[other]:
                (bad,) = set(left) - {good}
                if other not in shown.one_look(position):
                    return acts, other, good, bad
        position.place(cell, digit)
        acts.append(Place(t=3.0 * len(acts) + 3, cell=name(cell), digit=digit))
    raise AssertionError("no such cell")


@pytest.mark.parametrize("kind", ["options", "trait", "sum"])
def test_a_wrong_note_taints_the_digit_that_comes_of_it(kind: str) -> None:
    acts, cell, _, bad = wrong_pair()
    t = acts[-1].t + 5 if acts else 5
    given = next(c for c, digit in enumerate(by().puzzle.givens) if digit)
    notes: dict[str, AnyAct] = {
        "options": Options(t=t, cell=name(cell), digits=[bad]),
        "trait": Trait(t=t, cells=[name(cell)], trait="odd" if bad % 2 else "even"),
        "sum": Sum(t=t, cells=[name(given), name(cell)], total=by().puzzle.givens[given] + bad),
    }
    found = reviewed(by(), [*acts, notes[kind], Place(t=t + 3, cell=name(cell), digit=bad)])
    note, digit = found.moves[-2:]
    assert note.verdict == "wrong"
    assert digit.verdict == "wrong" and cell in digit.rests_on
    assert "the note that" in digit.reason and "which is wrong" in digit.reason


def test_a_right_note_that_was_guessed_makes_no_digit_forced() -> None:
    far, digit, _, _ = guess()
    found = reviewed(
        by(),
        [Options(t=5, cell=name(far), digits=[digit]), Place(t=9, cell=name(far), digit=digit)],
    )
    note, move = found.moves
    assert (note.verdict, move.verdict) == ("guessed", "guessed")
    assert far in move.rests_on and "the note that" in move.reason and "nothing had shown" in move.reason


def test_a_note_taken_away_taints_nothing() -> None:
    far, digit, _, _ = guess()
    found = reviewed(
        by(),
        [
            Options(t=5, cell=name(far), digits=[digit]),
            Erase(t=6, cell=name(far)),
            Place(t=9, cell=name(far), digit=digit),
        ],
    )
    assert found.moves[-1].verdict == "guessed" and not found.moves[-1].rests_on


@pytest.mark.parametrize("puzzle", ["thermometer", "skyscraper"])
def test_every_forced_reason_stands_on_givens_and_forced_moves_alone(puzzle: str) -> None:
    """Played through by itself: each fact of each reason is known from the givens and earlier reasons."""
    held, chance, judged = solver(puzzle), random.Random(11), []
    for solve in (held.guesser(chance), held.errs(chance)):
        found = reviewed(held, solve.acts)
        _standing(found)
        judged += [move.verdict for move in found.moves]
    assert "wrong" in judged


def _standing(found: Review) -> None:
    full = (1 << found.puzzle.grid.size) - 1
    known = [1 << (digit - 1) if digit else full for digit in found.puzzle.givens]
    late: list[Move] = []
    for move in found.moves:
        for other in [m for m in late if m.shown_s is not None and m.shown_s <= move.t]:
            late.remove(other)
            known[other.cells[0]] = 1 << ((other.digit or 0) - 1)
        if not move.shown:
            late.append(move)
            continue
        for step, _ in move.steps:
            for cell, mask in step.reason.facts.items():
                left = known[cell] & ~_in_sight(found, known, cell)
                assert not left & ~mask, (move.said, found.puzzle.grid.name(cell))
            for cell, mask in step.struck(full).items():
                known[cell] &= ~mask
        known[move.cells[0]] = 1 << ((move.digit or 0) - 1)


def _in_sight(found: Review, known: list[int], cell: int) -> int:
    """Give the mask of the digits that stand in a row, column or box of a cell."""
    seen = 0
    for house in found.puzzle.grid.houses:
        if cell in house.cells:
            for other in house.cells:
                if other != cell and not known[other] & (known[other] - 1):
                    seen |= known[other]
    return seen


def test_what_an_undo_or_an_erasure_took_back_is_told() -> None:
    cell, digit, _ = by().moves[0]
    other = digit % 9 + 1
    row = [c for c in by().puzzle.grid.houses[cell // 9].cells if not by().puzzle.givens[c]]
    found = reviewed(
        by(),
        [
            Place(t=3, cell=name(cell), digit=digit),
            Undo(t=5),
            Place(t=6, cell=name(cell), digit=other),
            Place(t=8, cell=name(cell), digit=digit),
            Erase(t=9, cell=name(cell)),
            Tie(t=11, cells=[name(row[0]), name(row[1])], digit=1),
            Undo(t=12),
        ],
    )
    told = found.as_json("x")["taken_back"]
    assert [(back["t"], back["do"], back["right"]) for back in told[:3]] == [
        (5, "undo", True),
        (8, "place", False),
        (9, "erase", True),
    ]
    assert told[3]["do"] == "undo" and told[3]["t"] == 12
    assert [m.verdict for m in found.moves if m.do == "place"] == ["undone", "wrong", "undone"]
    assert found.moves[-1].taken_s == 12
