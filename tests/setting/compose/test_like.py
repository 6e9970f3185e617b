"""One more like a puzzle keeps its shapes and moves its effort."""

from __future__ import annotations

import pytest

from saywhy import examples, explain, prove, read
from saywhy.errors import SaywhyError
from saywhy.files import read_text
from saywhy.puzzle import Puzzle
from saywhy.setting.compose import EFFORTS, compose, like, moved

DINGHY = read(examples.path("dinghy"))[0]


def shapes(puzzle: Puzzle) -> list[tuple[str, tuple[int, ...]]]:
    return [(clue.rule, clue.cells) for clue in puzzle.clues]


def one(puzzle: Puzzle, band: str, step: int) -> Puzzle:
    sketch = moved(puzzle, band, step)
    found = [told.found for told in compose(sketch, seconds=None, most=40) if told.found]
    assert found, "none of forty attempts"
    assert found[0].puzzle is not None
    return found[0].puzzle


def test_harder_and_gentler_keep_shapes_and_land_in_the_next_band() -> None:
    puzzle = DINGHY
    for step in (1, -1):
        effort = explain(puzzle).effort
        assert effort is not None
        made = one(puzzle, effort.band, step)
        assert shapes(made) == shapes(DINGHY)
        assert (made.rules, made.grid) == (DINGHY.rules, DINGHY.grid)
        assert prove(made).verdict == "unique"
        after = explain(made).effort
        assert after is not None
        assert EFFORTS.index(after.band) == EFFORTS.index(effort.band) + step
        puzzle = made


def test_one_more_is_another_puzzle_of_the_same_band() -> None:
    effort = explain(DINGHY).effort
    assert effort is not None
    made = one(DINGHY, effort.band, 0)
    after = explain(made).effort
    assert after is not None
    assert after.band == effort.band
    assert shapes(made) == shapes(DINGHY)
    assert prove(made).solution != prove(DINGHY).solution
    assert sum(map(bool, made.givens)) <= sum(map(bool, DINGHY.givens))
    assert made.title == "One more like Dinghy"


def test_numbers_are_open_and_what_a_rule_means_is_not() -> None:
    text = """
format = 1
size = 6
[[clue]]
rule = "killer-cage"
cells = "r1c1 r1c2"
value = 5
[[clue]]
rule = "killer-cage"
cells = "r2c1 r2c2"
[[clue]]
rule = "whisper"
cells = "r3c1 r3c2"
value = 3
[[clue]]
rule = "sandwich"
cells = "r1c1-r1c6"
value = 9
[[clue]]
rule = "quadruple"
cells = "r5c5 r5c6 r6c5 r6c6"
digits = [1, 2]
"""
    sketch = like(read_text(text)[0])
    assert sketch.open_values == {0, 3}
    assert sketch.open_digits == ((4, 2),)
    assert sketch.puzzle.clues[2].value == 3


def test_marks_of_which_all_are_given_move_with_the_grid() -> None:
    text = (
        'format = 1\nsize = 6\nall-given = ["white-dot"]\n[[clue]]\nrule = "white-dot"\ncells = "r1c1 r1c2"\n'
    )
    sketch = like(read_text(text)[0])
    assert not sketch.puzzle.clues
    assert [(clue.rule, clue.shapes) for clue in sketch.open_clues] == [("white-dot", 0)]


@pytest.mark.parametrize(("band", "step"), [(EFFORTS[0], -1), (EFFORTS[-2], 1), (EFFORTS[-1], 1)])
def test_beyond_the_gentlest_and_hardest_band_there_is_nothing(band: str, step: int) -> None:
    with pytest.raises(SaywhyError, match="nothing"):
        moved(DINGHY, band, step)


def test_gentler_than_a_puzzle_of_what_ifs_needs_none() -> None:
    assert moved(DINGHY, EFFORTS[-1], -1).wish.efforts == (EFFORTS[-2],)
