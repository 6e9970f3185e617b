"""Format 1: what reads, and what each mistake is answered with."""

from __future__ import annotations

from pathlib import Path

import pytest

from saywhy.errors import NotAllowedError, Problem, SaywhyError, UnreadableError
from saywhy.files import read, read_text
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle

HEAD = "format = 1\nsize = 4\n"


def one(text: str) -> Puzzle:
    [puzzle] = read_text(text)
    return puzzle


def problems(text: str) -> list[Problem]:
    with pytest.raises(SaywhyError) as caught:
        read_text(text, "tide.toml")
    assert all(problem.what and problem.mend for problem in caught.value.problems)
    return caught.value.problems


def only(text: str) -> Problem:
    [found] = problems(text)
    return found


def test_every_field_of_a_file_is_read() -> None:
    puzzle = one(
        """
format = 1
title = "Low tide"
setter = "oar & anchor"
size = 9
givens = '''
1 2 3 | 4 5 6 | 7 8 9
. . . | . . . | . . .
. . . | . . . | . . .
------+-------+------
.........
.........
.........

. . . . . . . . .
. . . . . . . . .
. . . . . . . . 9'''
rules = ["anti-knight", "diagonals"]
all-given = ["white-dot"]

[[clue]]
rule = "arrow"
cells = "r1c1 r1c2-r4c5"
pill = 2

[[clue]]
rule = "quadruple"
cells = "r4c4 r4c5 r5c4 r5c5"
digits = [1, 2, 2]

[[clue]]
rule = "clone"
groups = ["r1c1 r1c2", "r9c1 r9c2"]

[[clue]]
rule = "killer-cage"
cells = "r5c1-r5c3"
value = 15

[[clue]]
rule = "edge-sum"
cells = "r1c1-r1c9"
value = 9
count = 2
"""
    )
    grid = Grid.standard(9)
    assert (puzzle.title, puzzle.setter, puzzle.grid) == ("Low tide", "oar & anchor", grid)
    assert puzzle.givens == (1, 2, 3, 4, 5, 6, 7, 8, 9, *(0,) * 71, 9)
    assert puzzle.rules == ("anti-knight", "diagonals")
    assert puzzle.all_given == ("white-dot",)
    arrow, quadruple, clone, cage, edge = puzzle.clues
    assert (arrow.rule, arrow.pill) == ("arrow", 2)
    assert grid.names(arrow.cells) == ["r1c1", "r1c2", "r2c3", "r3c4", "r4c5"]
    assert quadruple.digits == (1, 2, 2)
    assert [grid.names(group) for group in clone.groups] == [["r1c1", "r1c2"], ["r9c1", "r9c2"]]
    assert (cage.cells, cage.value) == ((36, 37, 38), 15)
    assert (edge.value, edge.count) == (9, 2)


def test_size_is_9_and_the_grid_empty_where_a_file_says_nothing() -> None:
    assert one("format = 1") == Puzzle(Grid.standard(9), (0,) * 81)


def test_a_clue_remembers_the_line_of_its_header_whatever_texts_and_remarks_look_like() -> None:
    puzzle = one(
        HEAD
        + """title = "[[clue]]" # [[clue]]
givens = '''
. . . .
. . . .
. . . .
. . . .
'''
# [[clue]]

  [[ clue ]]  # the first
rule = "odd"
cells = "r1c1"
[[clue]]
cells = "r1c2"
rule = "odd"
"""
    )
    assert [clue.line for clue in puzzle.clues] == [12, 15]


@pytest.mark.parametrize("size", [4, 6, 8, 9, 10, 12, 15, 16])
def test_usual_boxes_are_there_without_being_asked_for(size: int) -> None:
    assert one(f"format = 1\nsize = {size}").grid == Grid.standard(size)


@pytest.mark.parametrize("size", [5, 7, 11, 13, 14])
def test_a_size_without_usual_boxes_asks_for_regions(size: int) -> None:
    found = only(f"format = 1\nsize = {size}")
    assert (found.field, found.line) == ("size", 2)
    assert 'regions = "none"' in found.mend
    assert one(f'format = 1\nsize = {size}\nregions = "none"').grid == Grid(size, None)


def test_above_9_givens_are_parted_by_spaces() -> None:
    rows = "\n".join(["10 . . . . 1 . . . .", *[". . . . . . . . . ."] * 9])
    assert one(f'format = 1\nsize = 10\ngivens = """\n{rows}\n"""').givens[:6] == (10, 0, 0, 0, 0, 1)


def test_givens_may_stand_on_one_line_and_0_is_an_empty_cell() -> None:
    assert one(HEAD + 'givens = "1.0...4..2.....3"').givens == (
        1,
        0,
        0,
        0,
        0,
        0,
        4,
        0,
        0,
        2,
        0,
        0,
        0,
        0,
        0,
        3,
    )


def test_regions_are_numbered_in_reading_order_of_their_first_cells() -> None:
    regions = "zzzb\nzbbb\naacc\naacc"
    assert one(f'{HEAD}regions = """\n{regions}\n"""').grid.regions == (
        *(0, 0, 0, 1),
        *(0, 1, 1, 1),
        *(2, 2, 3, 3),
        *(2, 2, 3, 3),
    )


def test_regions_drawn_as_the_usual_boxes_are_the_usual_boxes() -> None:
    assert one(
        HEAD + 'regions = """\n1 1|2 2\n1 1|2 2\n---+---\n3 3|4 4\n3 3|4 4\n"""'
    ).grid == Grid.standard(4)


def test_regions_above_9_may_be_numbers_parted_by_spaces() -> None:
    rows = "\n".join(" ".join([str(row)] * 11) for row in range(1, 12))
    assert one(f'format = 1\nsize = 11\nregions = """\n{rows}\n"""').grid.regions is not None


def test_digits_of_a_quadruple_may_be_a_text() -> None:
    text = HEAD + '[[clue]]\nrule = "quadruple"\ncells = "r1c1 r1c2 r2c1 r2c2"\ndigits = "1 2"'
    assert one(text).clues[0].digits == (1, 2)


@pytest.mark.parametrize(
    ("text", "field", "line", "what"),
    [
        ("size = 4", "format", None, "format is missing"),
        ("format = 2", "format", 1, "the number 1 was expected and 2 came"),
        ("format = true", "format", 1, "the number 1 was expected and true or false came"),
        ("format = 1\nsize = 3", "size", 2, "from 4 to 16 was expected and 3 came"),
        ("format = 1\nsize = 17", "size", 2, "from 4 to 16 was expected and 17 came"),
        ("format = 1\nsize = '9'", "size", 2, "the text '9' came"),
        ("format = 1\nsize = 9.0", "size", 2, "a number with a decimal point came"),
        ("format = 1\nsize = 10000000000000000000000", "size", 2, "a number far too large came"),
        ("format = 1\nsize = 1979-05-27", "size", 2, "a date came"),
        (HEAD + "title = 7", "title", 3, "a text of at most 200 characters was expected and 7 came"),
        (HEAD + f"title = '{'x' * 201}'", "title", 3, "a text of 201 characters came"),
        (HEAD + "titel = 'x'", "titel", 3, "there is no field 'titel'"),
        (HEAD + "givens = '12 34'", "givens", 3, "4 rows were expected and 1 came"),
        (HEAD + "givens = '''\n....\n....\n.....\n....'''", "givens", 6, "row 3 has 5 cells and needs 4"),
        (HEAD + "givens = '''\n....\n....\n...\n....'''", "givens", 6, "row 3 has 3 cells and needs 4"),
        (HEAD + "givens = '''\n....\n...5\n....\n....'''", "givens", 5, "'5' is not a digit from 1 to 4"),
        (HEAD + "givens = '''\n....\n...x\n....\n....'''", "givens", 5, "'x' is not a digit from 1 to 4"),
        (HEAD + "givens = '''....\n....\n..x.\n....'''", "givens", 5, "'x' is not a digit from 1 to 4"),
        (HEAD + "givens = [1, 2]", "givens", 3, "a list of 2 came"),
        (HEAD + "regions = '''\nabcd\nabcd\nabcd\nabce'''", "regions", 3, "there are 5 regions"),
        (HEAD + "regions = 'nothing'", "regions", 3, "4 rows were expected and 1 came"),
        (HEAD + "rules = 'anti-knight'", "rules", 3, "a list of rule names was expected"),
        (HEAD + "rules = ['anti-knight', 3]", "rules", 3, "a list of 2 with a whole number in it came"),
        (HEAD + "rules = ['anti-nite']", "rules", 3, "there is no grid-wide rule 'anti-nite'"),
        (HEAD + "rules = ['odd']", "rules", 3, "there is no grid-wide rule 'odd'"),
        (HEAD + "rules = ['all-given']", "rules", 3, "there is no grid-wide rule 'all-given'"),
        (HEAD + "rules = ['anti-king', 'anti-king']", "rules", 3, "'anti-king' stands twice"),
        (HEAD + "all-given = ['odd']", "all-given", 3, "'odd' is not a rule between two neighbours"),
        (HEAD + "all_given = ['x']", "all_given", 3, "there is no field 'all_given'"),
        (HEAD + "clue = 3", "clue", 3, "clues were expected as tables"),
        (HEAD + "clue = [3]", "clue", 3, "clues were expected as tables"),
        (HEAD + "[clue]\nrule = 'odd'", "clue", None, "clues were expected as tables"),
        (HEAD + "[nested.deep]\nx = 1", "nested", None, "there is no field 'nested'"),
    ],
)
def test_a_mistake_outside_the_clues_is_told(text: str, field: str, line: int | None, what: str) -> None:
    found = only(text)
    assert (found.field, found.line) == (field, line)
    assert what in found.what


@pytest.mark.parametrize(
    ("clue", "field", "line", "what"),
    [
        ("cells = 'r1c1'", "clue 1, rule", 3, "rule is missing"),
        ("rule = 'od'\ncells = 'r1c1'", "clue 1, rule", 4, "there is no rule 'od' for a clue"),
        ("rule = ''\ncells = 'r1c1'", "clue 1, rule", 4, "there is no rule '' for a clue"),
        ("rule = 'anti-king'\ncells = 'r1c1'", "clue 1, rule", 4, "there is no rule 'anti-king' for a clue"),
        ("rule = '../puzzle'\ncells = 'r1c1'", "clue 1, rule", 4, "there is no rule '../puzzle' for a clue"),
        ("rule = 'odd'", "clue 1 (odd), cells", 3, "odd needs cells"),
        ("rule = 'odd'\ncells = ''", "clue 1 (odd), cells", 5, "odd needs cells"),
        ("rule = 'odd'\ncells = 'r1c1 r1c2'", "clue 1 (odd), cells", 5, "one cell was expected"),
        ("rule = 'odd'\ncells = 'r5c1'", "clue 1 (odd), cells", 5, "r5c1 is off the grid"),
        ("rule = 'odd'\ncells = 'R1C1'", "clue 1 (odd), cells", 5, "'R1C1' is not a cell"),
        ("rule = 'odd'\ncells = ['r1c1']", "clue 1 (odd), cells", 5, "a text of cells was expected"),
        ("rule = 'odd'\ncell = 'r1c1'\ncells = 'r1c1'", "clue 1 (odd), cell", 5, "there is no field 'cell'"),
        ("rule = 'odd'\ncells = 'r1c1'\nvalue = 3", "clue 1 (odd), value", 6, "odd takes no value"),
        ("rule = 'palindrome'\ncells = 'r1c1 r1c3'", "clue 1 (palindrome), cells", 5, "broken between"),
        ("rule = 'palindrome'\ncells = 'r1c1-r2c3'", "clue 1 (palindrome), cells", 5, "is not straight"),
        ("rule = 'palindrome'\ncells = 'r1c1 r1c2 r1c1'", "clue 1 (palindrome), cells", 5, "stands twice"),
        ("rule = 'x'\ncells = 'r1c1 r2c2'", "clue 1 (x), cells", 5, "two cells that share a side"),
        (
            "rule = 'killer-cage'\ncells = 'r1c1 r1c3'",
            "clue 1 (killer-cage), cells",
            5,
            "do not hang together",
        ),
        ("rule = 'killer-cage'\ncells = 'r1c1'\nvalue = 9", "clue 1 (killer-cage), value", 6, "9"),
        ("rule = 'killer-cage'\ncells = 'r1c1'\nvalue = -1", "clue 1 (killer-cage), value", 6, "-1 came"),
        ("rule = 'killer-cage'\ncells = 'r1c1'\nvalue = 1e9", "clue 1 (killer-cage), value", 6, "decimal"),
        ("rule = 'little-killer'\ncells = 'r1c2-r3c4'", "clue 1 (little-killer), value", 3, "needs value"),
        ("rule = 'sandwich'\ncells = 'r1c1-r1c3'\nvalue = 5", "clue 1 (sandwich), cells", 5, "whole row"),
        (
            "rule = 'clone'\ngroups = 'r1c1'",
            "clue 1 (clone), groups",
            5,
            "a list of texts of cells was expected",
        ),
        ("rule = 'clone'\ngroups = ['r1c1', 'r9c9']", "clue 1 (clone), groups, group 2", 5, "off the grid"),
        (
            "rule = 'quadruple'\ncells = 'r1c1 r1c2 r2c1 r2c2'\ndigits = [5]",
            "clue 1 (quadruple), digits",
            6,
            "5 is not a digit from 1 to 4",
        ),
    ],
)
def test_a_mistake_in_a_clue_is_told(clue: str, field: str, line: int, what: str) -> None:
    found = only(f"{HEAD}[[clue]]\n{clue}\n")
    assert (found.field, found.line) == (field, line)
    assert what in found.what


def test_all_problems_of_a_file_are_told_at_once_in_the_order_of_its_lines() -> None:
    found = problems(
        """
title = "Low\\ntide"
size = 4
givens = '''
1 2 3
. . 7 .
. . . .
. . . .
'''
rules = ["anti-nite"]
[[clue]]
rule = "odd"
cells = "r1c1 r9c9"
[[clue]]
rule = "even"
cells = "r1c1"
[[clue]]
rule = "killer-cage"
cells = "r1c1 r3c3"
value = "ten"
"""
    )
    assert [(problem.line, problem.field) for problem in found] == [
        (2, "title"),
        (5, "givens"),
        (6, "givens"),
        (10, "rules"),
        (13, "clue 1 (odd), cells"),
        (19, "clue 3 (killer-cage), cells"),
        (20, "clue 3 (killer-cage), value"),
        (None, "format"),
    ]


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("rule = 'thermometr'", "thermometer"),
        ("rule = 'Killer_Cage'", "killer-cage"),
        ("rule = 'sounds'", None),
    ],
)
def test_a_misspelt_rule_is_answered_with_the_name_that_is_close(name: str, meant: str | None) -> None:
    found = only(f"{HEAD}[[clue]]\n{name}\ncells = 'r1c1 r1c2'")
    assert (meant is None) == ("Did you mean" not in found.mend)
    assert meant is None or f"Did you mean {meant}?" in found.mend


def test_a_rule_in_the_wrong_place_is_answered_with_the_right_one() -> None:
    assert "[[clue]]" in only(HEAD + "rules = ['thermometer']").mend
    assert 'rules = ["anti-knight"]' in only(HEAD + "[[clue]]\nrule = 'anti-knight'\ncells = 'r1c1'").mend
    assert "all-given = " in only(HEAD + "rules = ['all-given']").mend


def test_what_is_not_toml_is_told_with_line_and_column() -> None:
    found = only("format = 1\nsize 9\n")
    assert (found.line, found.column) == (2, 6)
    with pytest.raises(UnreadableError):
        read_text("format = 1\nsize 9\n")


def test_what_says_something_not_allowed_is_another_kind_of_error() -> None:
    with pytest.raises(NotAllowedError) as caught:
        read_text("format = 1\nsize = 3\n", "tide.toml")
    assert caught.value.source == "tide.toml"
    assert str(caught.value).startswith("tide.toml: line 2; size: ")


def test_a_grid_wide_rule_without_meaning_on_the_grid_is_told() -> None:
    found = only('format = 1\nsize = 5\nregions = "none"\nrules = ["disjoint-groups"]')
    assert (found.field, found.line) == ("rules", 4)
    assert found.what.startswith("disjoint-groups: ")


def test_line_ends_of_any_system_and_a_byte_order_mark_are_fine(tmp_path: Path) -> None:
    text = HEAD + "givens = '''\n1...\n....\n....\n....'''\n[[clue]]\nrule = 'odd'\ncells = 'r1c1'\n"
    path = tmp_path / "tide.toml"
    path.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert read(path) == read_text(text)
    assert read(path)[0].clues[0].line == 8


def test_a_file_that_is_not_there_is_a_clear_error(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="cannot be opened: no such file"):
        read(tmp_path / "nowhere.toml")
    with pytest.raises(UnreadableError, match="cannot be opened: is a directory"):
        read(tmp_path)


def test_regions_of_wrong_sizes_are_all_told() -> None:
    found = problems(HEAD + "regions = '''\naabb\naabb\nccdd\ncccd'''")
    assert [problem.what for problem in found] == [
        "region 'c' has 5 cells and needs 4",
        "region 'd' has 3 cells and needs 4",
    ]
