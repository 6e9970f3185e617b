"""Puzzles and setters on the shelf."""

from __future__ import annotations

from typing import Any

import pytest

from saywhy.errors import NotAllowedError, SaywhyError
from saywhy.files import puzzle_id, read_text
from saywhy.shelf import Judged, Permission, Shelf, ShelfPuzzle
from tests.shelf.shelves import GRANTED, text


def test_a_puzzle_keeps_its_file_as_it_came_and_what_follows_from_it(shelf: Shelf) -> None:
    came = "# by post\n" + text() + '\n[[clue]]\nrule = "killer-cage"\ncells = "r1c2 r1c3"\nvalue = 7\n'
    held = shelf.puzzles.add(came, source="monday.eml", received="2026-11-20")
    assert held.text == came
    assert (held.title, held.size, held.rules) == ("Low tide", 4, ["killer-cage"])
    assert held.identity == puzzle_id(read_text(came)[0])
    assert (held.received, held.source, held.verdict, held.cleared) == (
        "2026-11-20",
        "monday.eml",
        None,
        False,
    )
    assert shelf.puzzles.get(held.id) == held


def test_a_puzzle_line_is_kept_as_a_file_of_its_own(shelf: Shelf) -> None:
    held = shelf.puzzles.add("1.....4..2.....3", setter="quayside-jo")
    assert held.text.startswith("format = 1")
    assert read_text(held.text) == read_text("1.....4..2.....3")


def test_the_setter_of_a_file_is_found_by_credit_or_added(shelf: Shelf) -> None:
    first = shelf.puzzles.add(text("Low tide"))
    second = shelf.puzzles.add(text("High tide", "OARLOCK"))
    third = shelf.puzzles.add(text("Slack water", ""))
    assert first.setter == second.setter and third.setter is None
    assert [held.credit for held in shelf.setters.all()] == ["oarlock"]
    assert shelf.puzzles.add(text("Ebb"), setter="bowline").setter == shelf.setters.named("bowline")[0].id


def test_a_number_is_never_given_twice(shelf: Shelf) -> None:
    first = shelf.puzzles.add(text())
    shelf.puzzles.remove(first.id)
    assert shelf.puzzles.add(text()).id > first.id


def test_judging_keeps_what_is_not_found_out_anew(shelf: Shelf) -> None:
    held = shelf.puzzles.add(text(), judged=Judged(verdict="unique", effort={"band": "a stroll"}))
    held = shelf.puzzles.judge(held.id, Judged(same="1:aa", near="1:bb"))
    assert (held.verdict, held.band, held.same, held.near) == ("unique", "a stroll", "1:aa", "1:bb")
    assert shelf.puzzles.alike("1:aa") == [held] == shelf.puzzles.alike("1:bb", "near")


def test_a_mended_file_loses_what_was_known_of_the_old_one(shelf: Shelf, tide: ShelfPuzzle) -> None:
    shelf.puzzles.judge(tide.id, Judged(verdict="many", same="1:aa"))
    held = shelf.puzzles.mend(tide.id, text("High tide", last=1))
    assert (held.title, held.verdict, held.same, held.permission) == (
        "High tide",
        None,
        None,
        Permission.GRANTED,
    )
    assert held.identity != tide.identity


def test_lists_take_what_is_asked_for_and_nothing_else(shelf: Shelf) -> None:
    tide = shelf.puzzles.add(text("Low tide"), said=GRANTED, received="2026-11-02")
    ebb = shelf.puzzles.add(text("Ebb", "bowline"), received="2026-11-03", judged=Judged(verdict="many"))
    assert [held.title for held in shelf.puzzles.all()] == ["Ebb", "Low tide"]
    assert shelf.puzzles.all(cleared=True) == [tide] == shelf.puzzles.all(permission=Permission.GRANTED)
    assert shelf.puzzles.all(cleared=False) == [ebb] == shelf.puzzles.all(setter=ebb.setter)
    assert shelf.puzzles.all(verdict="many") == [ebb]
    assert shelf.puzzles.saying(tide.puzzle) == [ebb, tide][::-1]  # they differ in title and setter alone


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"received": "yesterday"}, "received"),
        ({"received": "2026-02-30"}, "received"),
        ({"licence": "<b>free</b>"}, "licence"),
        ({"source": "a\x1b[31mb"}, "source"),
        ({"remarks": "x" * 9000}, "remarks"),
        ({"setter": "\u202eoarlock"}, "credit"),
    ],
)
def test_what_does_not_fit_is_told_with_its_field_and_leaves_nothing(
    shelf: Shelf, given: dict[str, Any], field: str
) -> None:
    with pytest.raises(NotAllowedError) as caught:
        shelf.puzzles.add(text(), **given)
    assert caught.value.problems[0].field == field and caught.value.problems[0].mend
    assert shelf.puzzles.all() == [] and shelf.deeds() == []


@pytest.mark.parametrize(
    "wrong", ["", "no puzzle", "1.....4..2.....3\n1.....4..2.....3", 'format = 1\nsize = "x"']
)
def test_only_a_file_of_one_puzzle_is_taken(shelf: Shelf, wrong: str) -> None:
    with pytest.raises(SaywhyError):
        shelf.puzzles.add(wrong)
    assert shelf.puzzles.all() == []


def test_what_is_not_there_is_told_by_its_letter_and_number(shelf: Shelf) -> None:
    for ask, name in (
        (lambda: shelf.puzzles.get(7), "p7"),
        (lambda: shelf.setters.get(7), "s7"),
        (lambda: shelf.episodes.get(7), "e7"),
        (lambda: shelf.recordings.get(7), "r7"),
        (lambda: shelf.puzzles.add(text(), setter=7), "s7"),
    ):
        with pytest.raises(NotAllowedError, match=f"no .* {name} on the shelf"):
            ask()


def test_a_setter_with_puzzles_is_not_removed(shelf: Shelf, tide: ShelfPuzzle) -> None:
    assert tide.setter is not None
    with pytest.raises(NotAllowedError, match="has puzzles here"):
        shelf.setters.remove(tide.setter)
    shelf.puzzles.change(tide.id, setter="")
    shelf.setters.remove(tide.setter)
    assert shelf.setters.all() == [] and shelf.puzzles.get(tide.id).setter is None
