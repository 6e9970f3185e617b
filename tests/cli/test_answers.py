"""``saywhy explain --at``, ``--from`` and ``--nudge``: answering back."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from saywhy.files import read
from saywhy.second_opinion import certify, solve
from tests.running import Command


@pytest.fixture
def position(tmp_path: Path) -> Path:
    """Give the place for a position file."""
    return tmp_path / "board.json"


def test_a_cell_is_explained_by_steps_that_end_in_it_and_rest_on_each_other(
    saywhy: Command, tide: Path
) -> None:
    puzzle = read(tide)[0]
    [solution] = solve(puzzle)
    known = {cell: {digit} for cell, digit in enumerate(puzzle.givens) if digit}
    [found] = saywhy("explain", "--at", "r4c1", "--json", tide).json
    assert found["given"] is False
    for step in found["steps"]:
        assert certify(puzzle, step).outcome == "holds"
        for fact in step["facts"]:
            assert known.get(puzzle.grid.cell(fact["cell"]), {1, 2, 3, 4}) <= set(fact["digits"])
        for placed in step["places"]:
            known[puzzle.grid.cell(placed["cell"])] = {placed["digit"]}
        for removed in step["removes"]:
            cell = puzzle.grid.cell(removed["cell"])
            known[cell] = known.get(cell, {1, 2, 3, 4}) - set(removed["digits"])
    cell = puzzle.grid.cell("r4c1")
    assert {"cell": "r4c1", "digit": solution[cell]} in found["steps"][-1]["places"]


def test_a_given_is_told_as_a_given(saywhy: Command, tide: Path) -> None:
    assert saywhy("explain", "--at", "r1c1", tide).out == "The 1 in r1c1 is given.\n"


def test_a_cell_off_the_grid_is_an_error_that_names_it(saywhy: Command, tide: Path) -> None:
    ran = saywhy("explain", "--at", "r9c9", tide)
    assert ran.code == 2
    assert "--at" in ran.err
    assert "off the grid" in ran.err


def test_a_false_digit_is_pointed_out_first_and_the_right_one_is_not_told(
    saywhy: Command, tide: Path, position: Path
) -> None:
    puzzle = read(tide)[0]
    [solution] = solve(puzzle)
    cell = puzzle.grid.cell("r4c1")
    wrong = solution[cell] % 4 + 1
    position.write_text(json.dumps({"digits": {"r4c1": wrong}, "options": {"r1c2": [1, 2, 3, 4]}}))
    ran = saywhy("explain", "--from", position, tide)
    assert ran.out == f"The {wrong} in r4c1 can't be right.\n"


@pytest.mark.parametrize(
    ("digits", "notes", "said"),
    [
        (2, 0, "and one more digit on the board is false."),
        (3, 0, "and two more digits on the board are false."),
        (1, 1, "and the notes of one other cell are false."),
        (2, 2, "and one more digit on the board and the notes of two other cells are false."),
        (0, 2, "and the notes of one other cell are false."),
    ],
)
@pytest.mark.parametrize("nudge", [1, 3])
def test_of_further_false_claims_only_their_number_is_told(  # noqa: PLR0913, PLR0917 - fixtures and parameters
    saywhy: Command, tide: Path, position: Path, digits: int, notes: int, said: str, nudge: int
) -> None:
    puzzle = read(tide)[0]
    [solution] = solve(puzzle)
    cells = [cell for cell, given in enumerate(puzzle.givens) if not given]
    wrong = {puzzle.grid.name(cell): solution[cell] % 4 + 1 for cell in cells[:digits]}
    left = {puzzle.grid.name(cell): [solution[cell] % 4 + 1] for cell in cells[digits : digits + notes]}
    position.write_text(json.dumps({"digits": wrong, "options": left}))
    ran = saywhy("explain", "--from", position, "--nudge", nudge, tide)
    assert " ".join(ran.out.split()).endswith(said)
    named = [name for name in (*wrong, *left) if name in ran.out]
    assert named == [next(iter((*wrong, *left)))]
    [found] = saywhy("explain", "--from", position, "--json", tide).json
    assert found["cells"] == named
    assert sum(found["others"].values()) == digits + notes - 1


def test_options_that_leave_out_the_digit_are_false(saywhy: Command, tide: Path, position: Path) -> None:
    puzzle = read(tide)[0]
    digit = solve(puzzle)[0][puzzle.grid.cell("r1c2")]
    position.write_text(json.dumps({"options": {"r1c2": [d for d in range(1, 5) if d != digit]}}))
    [found] = saywhy("explain", "--from", position, "--json", tide).json
    assert (found["kind"], found["cells"]) == ("false", ["r1c2"])


def test_a_finished_board_is_told_to_be_right(saywhy: Command, tide: Path, position: Path) -> None:
    [solution] = solve(read(tide)[0])
    rows = ["".join(map(str, solution[row * 4 : row * 4 + 4])) for row in range(4)]
    position.write_text(json.dumps({"digits": rows}))
    [found] = saywhy("explain", "--from", position, "--json", tide).json
    assert found["kind"] == "done"


def test_from_an_empty_board_the_next_beat_comes_in_three_strengths(
    saywhy: Command, tide: Path, position: Path
) -> None:
    position.write_text("{}")
    told = [saywhy("explain", "--from", position, "--nudge", k, "--json", tide).json[0] for k in (1, 2, 3)]
    assert [found["kind"] for found in told] == ["next"] * 3
    assert told[0]["text"].startswith("Look around ")
    assert "cells" not in told[0]
    assert "steps" not in told[1]
    assert told[2]["steps"][0]["n"] == 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("{", "not a position"),
        ('{"digits": {"r9c9": 1}}', "off the grid"),
        ('{"digits": {"r1c1": 9}}', "no digit"),
        ('{"digits": ["12"]}', "rows came"),
        ('{"options": {"r1c1": [0]}}', "no digit"),
        ('{"notes": {}}', "not a position"),
        ("[" * 50_000, "not a position"),
        ('{"a":' * 15_000, "not a position"),
        ('{"digits": {"r1c1": 5},', "line 1, column 24: it is not a position: as JSON it breaks off here"),
        ("[]", "a list came"),
        ('{"digits": null}', "digits: null came, and an object by cells was expected"),
        (
            '{"digits": {"r2c3": true}}',
            "digits, r2c3: true is no digit of this grid. Write a number from 1 to 4",
        ),
        ('{"digits": {"r2c3": 1.0}}', "digits, r2c3: 1.0 is no digit"),
        ('{"digits": {"r2c3": NaN}}', "digits, r2c3: NaN is no digit"),
        ('{"digits": {"r2c3": %s}}' % ("9" * 5000), "digits, r2c3: the text '999999999999...' is no digit"),
        ('{"digits": {"r1c2": 1, "r1c2": 2}}', "'r1c2' stands twice in it. Keep one of them"),
        (
            '{"digits": {"R1C1": 1}}',
            "'R1C1' is not a cell; cells are written like r1c1. Name cells from r1c1 to r4c4",
        ),
        ('{"digits": ["1x..", "....", "....", "...."]}', "digits, r1c2: the text 'x' is no digit"),
        ('{"digits": ["....", "...\u0661", "....", "...."]}', "digits, r2c4: the text"),
        ('{"digits": ["....", "...", "....", "...."]}', "digits, row 2: a row of 3 came, and 4 cells"),
        ('{"digits": [[0, 0, 0, 0], [0, 0, 0, false], "....", "...."]}', "digits, r2c4: false is no digit"),
        ('{"digits": [7, "....", "....", "...."]}', "digits, row 1: 7 came, and a list of 4 numbers"),
        ('{"options": {"r1c3": "12"}}', "options, r1c3: the text '12' is no list of digits. Write a list"),
        ('{"options": {"r1c3": [1, 5]}}', "options, r1c3: 5 is no digit of this grid"),
    ],
)
def test_a_bad_position_file_is_an_error_that_says_how_to_mend_it(
    saywhy: Command, tide: Path, position: Path, text: str, said: str
) -> None:
    position.write_text(text)
    ran = saywhy("explain", "--from", position, tide)
    assert ran.code == 2
    assert said in ran.err
    assert ran.err.startswith(f"{position}: ")
    [found] = saywhy("explain", "--from", position, "--json", tide).json
    assert (set(found), found["file"]) == ({"file", "error"}, str(position))


def test_above_size_9_rows_of_a_position_are_lists_for_a_text_could_mean_several_boards(
    saywhy: Command, wide: Path, position: Path
) -> None:
    [solution] = solve(read(wide)[0])
    rows = [list(solution[row * 10 : row * 10 + 10]) for row in range(10)]
    position.write_text(json.dumps({"digits": [["A", 0] + [0] * 8, *rows[1:]]}))
    assert "digits, r1c1: the text 'A' is no digit" in saywhy("explain", "--from", position, wide).err
    position.write_text(json.dumps({"digits": ["A........."] + ["." * 10] * 9}))
    ran = saywhy("explain", "--from", position, wide)
    assert ran.code == 2
    assert "digits, row 1: the text 'A.........' came, and a list of 10 numbers was expected" in ran.err
    position.write_text(json.dumps({"digits": rows}))
    assert saywhy("explain", "--from", position, "--json", wide).json[0]["kind"] == "done"


def test_of_a_position_with_very_many_problems_some_are_told(
    saywhy: Command, tide: Path, position: Path
) -> None:
    for held in (
        {"options": {"r1c1": [99] * 20_000}},
        {"digits": {f"r1c{number}x": 1 for number in range(5_000)}},
        {str(number): 1 for number in range(5_000)},
    ):
        position.write_text(json.dumps(held))
        ran = saywhy("explain", "--from", position, tide)
        assert ran.code == 2
        assert len(ran.err.splitlines()) == 51
        assert "there are more problems than these" in ran.err


def test_a_position_may_begin_with_a_byte_order_mark(saywhy: Command, tide: Path, position: Path) -> None:
    position.write_text("{}", encoding="utf-8-sig")
    assert saywhy("explain", "--from", position, tide).code == 0
    position.write_text("{}", encoding="utf-16")
    assert "no text in UTF-8" in saywhy("explain", "--from", position, tide).err


def test_a_cell_and_a_position_are_asked_about_one_at_a_time(
    saywhy: Command, tide: Path, position: Path
) -> None:
    position.write_text("{}")
    ran = saywhy("explain", "--at", "r1c2", "--from", position, tide)
    assert (ran.code, ran.out) == (2, "")
    assert "give one of them" in ran.err


@pytest.mark.parametrize("question", [("--at", "r2c2"), ("--at", "r1c1"), ("--from", "{position}")])
def test_without_exactly_one_solution_the_verdict_is_the_answer(
    saywhy: Command, clash: Path, lines: Path, position: Path, question: tuple[str, str]
) -> None:
    position.write_text("{}")
    asked = (question[0], question[1].format(position=position))
    for path, verdict in ((clash, "none"), (f"{lines}:3", "many")):
        ran = saywhy("explain", *asked, "--json", path)
        assert (ran.code, ran.json) == (1, [{"file": str(path), "verdict": verdict}])
        assert "saywhy repair looks for" in ran.err
        text = saywhy("explain", *asked, path)
        assert (text.code, text.out, text.err) == (1, "", ran.err)


def test_a_bad_cell_and_a_bad_position_are_refused_before_the_proof(
    saywhy: Command, hard: Path, position: Path
) -> None:
    position.write_text("[]")
    for asked in (("--at", "r17c1"), ("--from", position)):
        assert saywhy("explain", *asked, "--seconds", "0.000001", hard).code == 2
