"""Sketches are read with everything wrong in them told, and hostile ones are refused."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from saywhy.errors import SaywhyError, UnreadableError
from saywhy.examples import folder
from saywhy.files import read
from saywhy.rule import ClueRule, Form
from saywhy.rules import clue_rules
from saywhy.setting.compose import Sketch, read_sketch, sketch_of
from saywhy.setting.compose.fields import MOST_SHAPES
from saywhy.setting.compose.sketch import EFFORTS, LENGTHS
from tests.setting.compose.drawn import MARKED, PUNT, SKETCHES, SKIFF

SHIPPED = sorted((folder() / "sketches").glob("*.toml"))


def kinds(sketch: Sketch) -> set[str]:
    drawn, found = sketch.puzzle.clues, sketch.open_clues
    return {clue.rule for clue in drawn} | {clue.rule for clue in found}


def test_ten_sketches_are_shipped_of_the_kinds_that_were_promised() -> None:
    sketches = [read_sketch(path) for path in SHIPPED]
    assert len(sketches) == 10
    arrows = [sketch for sketch in sketches if "double-arrow" in kinds(sketch)]
    assert len(arrows) == 4
    assert all(sketch.wish.most <= 6 for sketch in arrows)
    assert sum(sketch.grid.size == 6 for sketch in sketches) == 1
    assert any(sketch.wish.most == 0 and kinds(sketch) == {"killer-cage"} for sketch in sketches)
    assert any(sketch.wish.pattern is not None for sketch in sketches)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_shipped_sketch_wishes_bands_and_is_no_puzzle_file(path: Path) -> None:
    assert read_sketch(path).wish.efforts != EFFORTS
    with pytest.raises(SaywhyError):
        read(path)


def test_what_is_open_is_told_from_what_is_drawn() -> None:
    sketch = sketch_of(SKIFF)
    assert [clue.rule for clue in sketch.puzzle.clues] == ["quadruple"]
    assert sketch.open_digits == ((0, 2),)
    assert [(c.rule, c.shapes, c.value_open) for c in sketch.open_clues] == [
        ("killer-cage", 4, True),
        ("white-dot", 4, False),
    ]
    assert (sketch.wish.least, sketch.wish.most) == (4, 6)
    assert sketch_of(PUNT).open_values == {0}
    assert sketch_of(MARKED).open_cells == {0, 5, 21, 30, 35}


def test_without_a_wish_the_givens_are_those_drawn() -> None:
    sketch = sketch_of(MARKED.partition("[wish]")[0])
    assert (sketch.wish.least, sketch.wish.most) == (6, 6)


def test_symmetry_adds_to_the_givens_that_are_drawn() -> None:
    text = MARKED.replace('givens = "at most 14"', 'symmetry = "half turn"')
    assert sketch_of(text).wish.least == 6
    text = text.replace(". . . ? . .", ". . . . ? .")
    assert sketch_of(text).wish.least == 8
    with pytest.raises(SaywhyError, match="at most 6 givens are wished and 8 are drawn"):
        sketch_of(text + "givens = 6\n")


@pytest.mark.parametrize("rule", clue_rules().values(), ids=lambda rule: rule.name)
def test_every_rule_can_be_left_to_be_found_or_it_is_told_why_not(rule: type[ClueRule]) -> None:
    more = 'digits = "??"\n' if rule.name == "quadruple" else ""
    size = 9
    text = f'format = 1\nsize = {size}\n[[clue]]\nrule = "{rule.name}"\ncells = "?"\n{more}'
    if rule.form in LENGTHS:
        assert sketch_of(text).open_clues[0].rule == rule.name
    else:
        assert rule.form in (Form.CELLS, Form.GROUPS)
        with pytest.raises(SaywhyError, match="no places can be made up"):
            sketch_of(text)


@pytest.mark.parametrize(
    ("old", "new", "part"),
    [
        ('"at most 4"', '"many"', "a number of givens was expected"),
        ('"at most 4"', '"9-4"', "a number of givens was expected"),
        ('"at most 4"', "17", "a number of givens was expected"),
        ('"half turn"\n\n[[', '"half tern"\n\n[[', "there is no symmetry"),
        ('symmetry = "half turn"\n\n[[', 'effort = "a storm"\n\n[[', "there is no band of effort"),
        ('symmetry = "half turn"\n\n[[', 'pattern = "row 9 in order"\n\n[[', "there is no row 9"),
        ('symmetry = "half turn"\n\n[[', 'mood = "merry"\n\n[[', "there is no field"),
        ("shapes = 2", "shapes = 65", "a number of shapes from 1 to 64"),
        ("shapes = 2", 'shapes = "all"', "a number of shapes from 1 to 64"),
        ("shapes = 2", "shapes = 1.5", "a number of shapes"),
        ('length = "3"', 'length = "1-3"', "a length from 2 to 8"),
        ('length = "3"', 'value = "?"', "thermometer takes no value"),
        ('length = "3"', 'digits = "?"', "thermometer takes no digits"),
        ('rule = "thermometer"', 'rule = "thermometre"', "there is no rule"),
        ('cells = "r1c1 r1c2"', 'cells = "r1c1 r7c2"', "r7c2 is off the grid"),
        ('cells = "r1c1 r1c2"', 'cells = "r1c1 r3c2"', "do not hang together"),
        ('rule = "killer-cage"', 'rule = "whisper"', "part of what the rule means"),
        ('rule = "killer-cage"', 'rule = "renban"', "the text '?' came"),
        ("[wish]\n", "wish = 3\n", "wishes were expected as a table"),
        ("size = 4", 'size = "big"', "a whole number from 4 to 16"),
    ],
)
def test_a_mistake_is_told_with_where_and_how_to_mend_it(old: str, new: str, part: str) -> None:
    assert old in PUNT
    with pytest.raises(SaywhyError) as caught:
        sketch_of(PUNT.replace(old, new, 1), "punt.toml")
    told = [problem for problem in caught.value.problems if part in problem.what]
    assert told, str(caught.value)
    assert told[0].mend
    assert told[0].field


def test_all_mistakes_are_told_at_once_with_their_lines() -> None:
    text = PUNT.replace("shapes = 2", "shapes = 0").replace('"half turn"', '"no turn"')
    with pytest.raises(SaywhyError) as caught:
        sketch_of(text)
    lines = [problem.line for problem in caught.value.problems]
    assert len(lines) == 3
    assert None not in lines
    assert lines == sorted(lines, key=lambda line: line or 0)


def test_more_shapes_than_a_sketch_may_leave_open_are_refused() -> None:
    clue = f'[[clue]]\nrule = "x"\ncells = "?"\nshapes = {MOST_SHAPES}\n'
    with pytest.raises(SaywhyError, match=f"more than {MOST_SHAPES} shapes"):
        sketch_of("format = 1\n" + 2 * clue)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "?" * 100_000,
        "format = 1\ngivens = " + '"' + "?" * 8000 + '"',
        "format = 1\nwish = " + "[" * 500 + "]" * 500,
        "format = 1\n" + '[[clue]]\nrule = "x"\ncells = "?"\n' * 1001,
        'format = 1\n[wish]\npattern = "' + "r1c1 " * 5000 + '"',
        'format = 1\n[wish]\neffort = ["' + '","'.join(["a stroll"] * 500) + '"]',
        'format = 1\n[wish]\ngivens = "' + "9" * 5000 + '"',
        'format = 1\n[[clue]]\nrule = "little-killer"\ncells = "?"\nvalue = ' + "9" * 40,
        'format = 1\ntitle = "<b>buoy</b>"\n',
        'format = 1\n[[clue]]\nrule = "quadruple"\ncells = "r1c1 r1c2 r2c1 r2c2"\ndigits = "'
        + "?" * 39
        + '"',
    ],
)
def test_hostile_sketches_are_refused_in_a_moment(text: str) -> None:
    with pytest.raises(SaywhyError) as caught:
        sketch_of(text)
    assert all(len(str(problem)) < 600 for problem in caught.value.problems)


def test_a_file_that_is_not_there_or_too_large_is_told(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="cannot be opened"):
        read_sketch(tmp_path / "none.toml")
    large = tmp_path / "large.toml"
    large.write_text("#" * 300_000)
    with pytest.raises(UnreadableError, match="larger than 256 KiB"):
        read_sketch(large)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(sorted(SKETCHES.values())),
    st.lists(st.tuples(st.integers(0, 2000), st.sampled_from('?"=[]\n.-x0 9r1c1')), min_size=1, max_size=4),
)
def test_a_garbled_sketch_reads_or_is_refused_and_never_breaks_the_reader(
    text: str, changes: list[tuple[int, str]]
) -> None:
    for place, letter in changes:
        text = text[: place % len(text)] + letter + text[place % len(text) + 1 :]
    try:
        assert isinstance(sketch_of(text), Sketch)
    except SaywhyError as error:
        assert error.problems
