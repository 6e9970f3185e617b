"""The rules of a puzzle as text: complete, short enough to say, and telling nothing of the solution."""

from __future__ import annotations

import re

import pytest

from saywhy.files import read_text
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.rules import all_rules, placed
from saywhy.rules_text import MOST_WORDS, rules_text
from tests.rules.samples import empty, grid_of, samples, specimen


def _puzzle(text: str) -> Puzzle:
    [puzzle] = read_text("format = 1\n" + text)
    return puzzle


#: Three boards of the usual kind: one rule, two rules, four.
USUAL = (
    """
size = 9
[[clue]]
rule = "double-arrow"
cells = "r1c1 r2c2 r3c3 r4c4"
[[clue]]
rule = "double-arrow"
cells = "r1c9 r2c8 r3c7"
""",
    """
size = 9
rules = ["anti-knight", "diagonals"]
[[clue]]
rule = "killer-cage"
cells = "r1c1 r1c2"
value = 10
[[clue]]
rule = "killer-cage"
cells = "r5c1 r5c2 r5c3"
""",
    """
size = 9
all-given = ["x", "v"]
[[clue]]
rule = "x"
cells = "r1c1 r1c2"
[[clue]]
rule = "v"
cells = "r4c4 r5c4"
[[clue]]
rule = "thermometer"
cells = "r9c9 r8c8 r7c7"
""",
)


@pytest.mark.parametrize("text", USUAL)
def test_the_spoken_rules_of_a_usual_puzzle_take_half_a_minute_at_most(text: str) -> None:
    told = rules_text(_puzzle(text))
    assert told.brief
    assert told.words <= MOST_WORDS == 75
    assert told.seconds <= 30


@pytest.mark.parametrize("name", all_rules())
def test_each_rule_alone_with_all_its_options_can_be_told_in_half_a_minute(name: str) -> None:
    assert rules_text(specimen(name)).brief


@pytest.mark.parametrize(
    ("name", "puzzle"), samples(), ids=lambda value: value if isinstance(value, str) else ""
)
def test_every_rule_of_a_puzzle_is_told_once_and_shown_on_its_own_cells(name: str, puzzle: Puzzle) -> None:
    told = rules_text(puzzle)
    rules = placed(puzzle)
    everything = {**rules.grid_wide, **{clue.name: clue for clue in rules.clues}}
    assert {example.rule for example in told.examples} == set(everything)
    assert len(told.written) == 1 + len(told.examples)
    assert len(set(told.written)) == len(told.written)
    for paragraph, example in zip(told.written[1:], told.examples, strict=True):
        assert paragraph.startswith(f"{example.title}: ")
        assert example.spoken in told.spoken
        assert example.cells
        scope = everything[example.rule].scope if example.clue is None else rules.clues[example.clue].scope
        assert set(example.cells) <= set(scope)
        if example.clue is not None:
            assert rules.clues[example.clue].name == example.rule


def test_the_grid_itself_is_told_as_it_is() -> None:
    assert rules_text(empty(Grid.standard(9))).written == (
        "Every row, every column and every box of 3 by 3 cells holds each digit from 1 to 9 once.",
    )
    assert (
        rules_text(empty(Grid.standard(9))).spoken
        == "Every row, column and box takes the digits 1 to 9, each once."
    )
    assert (
        "every box of 6 cells holds each digit from 1 to 6" in rules_text(empty(Grid.standard(6))).written[0]
    )
    assert "outlined region holds" in rules_text(empty(grid_of(5))).written[0]
    assert "outlined region takes" in rules_text(empty(grid_of(5))).spoken
    latin = rules_text(empty(Grid(7, None)))
    assert latin.written == (
        "Every row and every column holds each digit from 1 to 7 once. There are no regions.",
    )
    assert "box" not in latin.spoken


def test_clues_that_read_differently_are_told_apart() -> None:
    told = rules_text(specimen("killer-cage"))
    assert [example.rule for example in told.examples] == ["killer-cage", "killer-cage"]
    assert [example.clue for example in told.examples] == [0, 2]
    assert told.written[1] != told.written[2]
    whispers = rules_text(specimen("whisper")).spoken
    assert "at least 5 apart" in whispers
    assert "marked 4 are at least 4 apart" in whispers


def test_the_clue_shown_is_short_but_no_stub_and_stands_alone_where_it_can() -> None:
    text = "size = 9\n" + "".join(
        f'[[clue]]\nrule = "thermometer"\ncells = "{cells}"\n'
        for cells in (
            "r1c1-r1c7",  # long
            "r9c1 r9c2",  # a stub
            "r5c5 r5c6 r5c7",  # shares a cell with the next
            "r5c7 r6c7 r7c7",
            "r3c1 r3c2 r3c3",  # alone
        )
    )
    [example] = rules_text(_puzzle(text)).examples
    assert example.clue == 4


def test_all_given_dots_are_told_with_the_exception_between_1_and_2() -> None:
    both = rules_text(empty(Grid.standard(9), all_given=("white-dot", "black-dot")))
    assert both.written[1].endswith("Between a 1 and a 2 either dot may stand.")
    one = rules_text(empty(Grid.standard(9), all_given=("white-dot",)))
    assert "either" not in one.written[1]


@pytest.mark.parametrize("text", USUAL)
def test_givens_and_solution_are_nothing_to_the_text(text: str) -> None:
    """Spoiler-safe: a puzzle with all digits given reads the same."""
    bare = _puzzle(text)
    full = Puzzle(bare.grid, (5,) * 81, bare.rules, bare.all_given, bare.clues)
    assert rules_text(full) == rules_text(bare)
    assert not re.search(r"r\d+c\d+", rules_text(bare).spoken + " ".join(rules_text(bare).written))
