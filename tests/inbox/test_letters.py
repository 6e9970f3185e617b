"""Each setter is told what concerns them, in words that they can use, and no more."""

from __future__ import annotations

import re

import msgspec
import pytest

from saywhy.errors import Problem
from saywhy.inbox.judgement import Judgement, Spoils, seal
from saywhy.inbox.letters import letter
from saywhy.inbox.likeness import Likeness, alike

CELL = re.compile(r"\br\d+c\d+\b")
EFFORT = {"band": "a steady walk", "hardest": 5.2, "minutes": {"least": 10.0, "likely": 13.6, "most": 17.0}}
FIT = Judgement(
    file="ferry.toml", line=None, digest="d", verdict="unique", title="Night ferry", setter="bowline",
    effort=EFFORT, same="1:a", near="1:n",
)  # fmt: skip


def told(held: Judgement, like: Likeness | None = None) -> str:
    found = letter(held, like or Likeness())
    assert found is not None
    return found.text


def test_a_fit_puzzle_goes_on_the_pile_without_a_promise() -> None:
    found = letter(FIT, Likeness())
    assert found is not None
    assert (found.kind, found.spoils) == ("for a look", False)
    assert found.text == (
        "About: ferry.toml\n"
        "\n"
        "Hello bowline,\n"
        "\n"
        'Thank you for "Night ferry". It has exactly one solution, so it goes on the\n'
        "pile for a look. By our measure it is a steady walk, with about 14 minutes to\n"
        "talk through.\n"
        "\n"
        "This is no promise yet that it will air. If it may, please say so in your\n"
        "answer, and how you would like to be credited.\n"
    )
    assert not CELL.search(found.text)


def test_a_puzzle_with_several_solutions_is_told_where_they_differ_and_what_settles_it() -> None:
    spoils = Spoils(
        differ=("r1c1: 3 or 7", "r1c4: 7 or 3", "r2c1: 7 or 3"), repair=("give 3 in r1c1",), proved=True
    )
    held = msgspec.structs.replace(FIT, verdict="many", differ=3, sealed=seal(spoils))
    found = letter(held, Likeness())
    assert found is not None
    assert (found.kind, found.spoils) == ("not unique", True)
    assert found.text == (
        "About: ferry.toml\n"
        "\n"
        "Hello bowline,\n"
        "\n"
        'Thank you for "Night ferry". It does not have one solution only: at least two\n'
        "fillings keep every rule. The two that we found differ in 3 cells:\n"
        "\n"
        "  - r1c1: 3 or 7, r1c4: 7 or 3\n"
        "  - r2c1: 7 or 3\n"
        "\n"
        "One change settles it:\n"
        "\n"
        "  - give 3 in r1c1\n"
        "\n"
        "There may be others that you like better. We would be glad to have it again.\n"
    )


def test_several_changes_are_told_to_be_the_fewest_where_that_is_proved() -> None:
    spoils = Spoils(differ=("r1c1: 3 or 7",), repair=("give 3 in r1c1", "give 2 in r2c2"), proved=True)
    held = msgspec.structs.replace(FIT, verdict="many", differ=60, sealed=seal(spoils))
    assert "These 2 changes together settle it (fewer are proved not to do):" in told(held)
    assert "  - and 20 more\n" in told(held)
    unproved = msgspec.structs.replace(held, sealed=seal(msgspec.structs.replace(spoils, proved=False)))
    assert "proved" not in told(unproved)
    bare = msgspec.structs.replace(held, sealed=seal(Spoils(differ=("r1c1: 3 or 7",))))
    assert "We found no small change that settles it." in told(bare)


def test_a_puzzle_without_a_solution_is_told_what_clashes() -> None:
    spoils = Spoils(clash=("clue 3 (line 20): 15 cage, r1c1 r1c2", "9 in r1c1"), smallest=True)
    held = msgspec.structs.replace(FIT, verdict="none", sealed=seal(spoils))
    text = told(held)
    assert "No filling keeps every rule: these cannot all hold together." in " ".join(text.split())
    assert "\n  - clue 3 (line 20): 15 cage, r1c1 r1c2\n  - 9 in r1c1\n\nNo smaller clash is there.\n" in text
    bare = told(msgspec.structs.replace(held, sealed=""))
    assert "could not narrow down" in " ".join(bare.split())


def test_a_file_that_does_not_read_is_told_all_that_is_to_mend() -> None:
    problems = (
        Problem("there is no field 'colour'", "Remove it", "colour", 5),
        Problem("no board", "Add one"),
    )
    text = told(Judgement(file="x.toml", line=None, digest="d", verdict="unreadable", problems=problems))
    assert text.startswith("About: x.toml\n\nHello,\n\n")
    assert "\n  - line 5; colour: there is no field 'colour'. Remove it.\n  - no board. Add one.\n" in text


def test_a_puzzle_that_was_not_decided_is_not_blamed() -> None:
    text = told(msgspec.structs.replace(FIT, verdict="undecided", why="not proved in 30 s"))
    assert "That need not be a fault of it" in " ".join(text.split())


def test_a_setters_own_puzzle_again_is_told_and_anothers_is_left_to_the_host() -> None:
    own = msgspec.structs.replace(FIT, file="again.toml", setter=" Bowline")
    other = msgspec.structs.replace(FIT, file="other.toml", setter="oarlock")
    unknown = msgspec.structs.replace(FIT, file="unknown.toml", setter="")
    first, again = alike([FIT, own])
    assert not first.again
    assert first.own
    assert again.own
    assert "the same as the file ferry.toml" in " ".join(told(own, again).split())
    for stranger in (other, unknown):
        likes = alike([FIT, own, stranger])
        assert [like.same is FIT for like in likes] == [False, True, True]
        # Whose it is has to be settled first, so nobody is told that it goes on the pile.
        assert [like.own for like in likes] == [False] * 3
        assert [letter(*pair) for pair in zip((FIT, own, stranger), likes, strict=True)] == [None] * 3


def test_lines_of_one_file_are_one_senders() -> None:
    lines = [msgspec.structs.replace(FIT, setter="", line=number) for number in (1, 2)]
    assert alike(lines)[1].own


def test_the_shelf_is_asked_for_the_same_and_only_then_for_the_like() -> None:
    shelf = {("1:a", "same"): [("Night ferry", "bowline")], ("1:n", "near"): [("Day ferry", "oarlock")]}
    [like] = alike([FIT], lambda key, by: shelf.get((key, by), []))
    assert (like.shelf, like.shelf_near, like.own) == (("Night ferry by bowline",), (), True)
    other = msgspec.structs.replace(FIT, same="1:b")
    [like] = alike([other], lambda key, by: shelf.get((key, by), []))
    assert (like.shelf, like.shelf_near, like.again) == ((), ("Day ferry by oarlock",), False)


@pytest.mark.parametrize("verdict", ["unique", "many", "none", "undecided", "unreadable"])
def test_every_line_of_a_letter_fits_a_mail(verdict: str) -> None:
    long = " ".join(["word"] * 60)
    spoils = Spoils(differ=(long,), repair=(long,), clash=(long,))
    problems = (Problem(long, long),)
    held = msgspec.structs.replace(FIT, verdict=verdict, title=long, sealed=seal(spoils), problems=problems)
    assert max(map(len, told(held).splitlines())) <= 78


def test_a_files_name_cannot_add_lines_to_a_letter() -> None:
    text = told(msgspec.structs.replace(FIT, file="a\nTo: everybody\x1b[2J.toml"))
    assert text.splitlines()[0] == "About: a\ufffdTo: everybody\ufffd[2J.toml"
