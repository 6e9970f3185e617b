"""What can be drawn is what can be read."""

from __future__ import annotations

import msgspec
import pytest

from saywhy.desk.drafts import Draft, DraftClue, draft_of, look, text_of
from saywhy.desk.shelf_of_rules import rule_cards
from saywhy.files import read_text, write
from saywhy.puzzle import Puzzle
from saywhy.rules import all_rules
from tests.rules.samples import samples


@pytest.mark.parametrize(("name", "puzzle"), samples())
def test_every_rule_goes_through_a_draft_unchanged(name: str, puzzle: Puzzle) -> None:
    draft = msgspec.json.decode(msgspec.json.encode(draft_of(puzzle)), type=Draft)
    looked = look(draft)
    assert looked.problems == []
    assert looked.puzzle == puzzle
    assert read_text(write(looked.puzzle))[0] == puzzle


def test_an_unfinished_clue_is_named_and_the_rest_is_drawn() -> None:
    clues = [
        DraftClue(rule="odd", cells=["r1c1"]),
        DraftClue(rule="sandwich", cells=[f"r1c{k}" for k in range(1, 10)]),
        DraftClue(rule="even", cells=["r1c2"]),
        DraftClue(rule="thermometer", cells=["r1c1", "r5c5"]),
    ]
    looked = look(Draft(clues=clues))
    assert [(problem.clue, problem.field) for problem in looked.problems] == [
        (1, "clue 2 (sandwich), value"),
        (3, "clue 4 (thermometer), cells"),
    ]
    assert looked.puzzle is not None
    assert [clue.rule for clue in looked.puzzle.clues] == ["odd", "even"]
    assert looked.kept == [0, 2]


def test_what_is_wrong_with_the_whole_leaves_nothing_to_draw() -> None:
    looked = look(Draft(size=7))
    assert looked.puzzle is None
    assert [problem.clue for problem in looked.problems] == [None]


@pytest.mark.parametrize(
    "words", ['"""\nrules = ["anti-king"]', "\\", '"', "\x7f", "a\nsize = 4", "é\U0001f642"]
)
def test_a_title_cannot_say_anything_but_itself(words: str) -> None:
    looked = look(Draft(title=words))
    if looked.puzzle is not None:
        assert looked.puzzle.title == words
        assert looked.puzzle.rules == ()
    else:
        assert {problem.field for problem in looked.problems} == {"title"}


@pytest.mark.parametrize("rule", ['odd"\nvalue = 3\n#', "]]", "odd'"])
def test_a_rule_name_cannot_say_anything_but_itself(rule: str) -> None:
    looked = look(Draft(clues=[DraftClue(rule=rule, cells=["r1c1"])]))
    assert [problem.clue for problem in looked.problems] == [0]
    assert "\n" in rule or "there is no rule" in looked.problems[0].what


def test_every_rule_is_offered_with_its_way_of_drawing() -> None:
    cards = {card.name: card for card in rule_cards()}
    assert set(cards) == set(all_rules()) - {"all-given"}
    for card in cards.values():
        assert card.meaning and card.how and card.group
        assert set(card.needs) <= set(card.takes) <= {"value", "digits", "pill", "count"}
    assert cards["killer-cage"].form == "area"
    assert cards["little-killer"].needs == ["value"]


def test_givens_of_two_figures_are_written_apart() -> None:
    draft = Draft(size=16, givens=[16, 1, 10, *[0] * 253])
    assert "16 1 10 . ." in text_of(draft)
    looked = look(draft)
    assert looked.puzzle is not None and looked.puzzle.givens[:4] == (16, 1, 10, 0)
