"""A review in numbers and in one sentence."""

from __future__ import annotations

import random
import re

from saywhy.recording.acts import AnyAct, Options, Place
from saywhy.recording.exports import html
from saywhy.recording.review import review
from saywhy.recording.tally import answer, tally
from tests.recording.simulated import Simulated
from tests.recording.test_review import followed, reviewed, solver


def told(found: object) -> list[str]:
    return [f"{count.number} {count.what}" for count in tally(found)]  # type: ignore[arg-type]


def test_a_perfect_solve_has_its_digits_and_nothing_against_it() -> None:
    digits = sum(not given for given in solver().puzzle.givens)
    assert told(followed()) == [
        f"{digits} digits placed", "0 notes made", "0 guesses", "0 errors", "0 digits seen late",
    ]  # fmt: skip
    assert answer(followed()) == "Every digit had its reason when it was written."


def test_notes_guesses_errors_and_what_was_seen_late_are_counted() -> None:
    by, chance = solver("skyscraper"), random.Random("skyscraper")
    for solve in (by.note_taker(), by.errs(chance), by.guesser(chance, 1), by.misses(chance)):
        assert solve is not None
        found = review(by.puzzle, by.recording(solve))
        digits = sum(isinstance(act, Place) for act in solve.acts)
        numbers = {re.sub("s$", "", count.what.split()[0]): count.number for count in tally(found)[:4]}
        assert numbers["digit"] == digits
        assert numbers["note"] == len(found.moves) - digits
        assert numbers["error"] == len(solve.wrong)
        assert tally(found)[2].number >= len(solve.guesses)
        assert tally(found)[4].number == len(found.late) >= len(solve.missed)


def test_the_sentence_says_of_how_many_it_is_true() -> None:
    by = solver("thermometer")
    name = by.puzzle.grid.name
    cell, digit, _ = by.of_path[0]
    wrong = digit % by.puzzle.grid.size + 1
    acts: list[AnyAct] = [
        Place(t=1.0, cell=name(cell), digit=wrong),
        Place(t=9.0, cell=name(cell), digit=digit),
        Options(t=20.0, cell=name(by.of_path[1][0]), digits=[by.of_path[1][1] % by.puzzle.grid.size + 1]),
    ]
    assert answer(reviewed(by, acts)) == "1 of 2 digits and no note had a reason when written."
    assert answer(reviewed(by, acts[:1])) == "No digit had a reason when written."
    assert answer(reviewed(by, acts[1:2])) == "Every digit had its reason when it was written."
    assert answer(review(by.puzzle, by.recording(Simulated("nobody", [])))) == "Nothing was written."


def test_viewers_are_told_the_numbers_and_no_cell() -> None:
    found = followed()
    page = html(found, viewers=True)
    assert "digits placed" in page
    assert not re.search(r"r\dc\d", page)
