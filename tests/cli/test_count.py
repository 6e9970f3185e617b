"""``saywhy count``."""

from __future__ import annotations

from pathlib import Path

import pytest

from saywhy.files import read
from saywhy.second_opinion import solve
from tests.cli.conftest import NONE, UNIQUE
from tests.running import Command


def test_all_4_by_4_grids_are_counted(saywhy: Command, tmp_path: Path) -> None:
    path = tmp_path / "empty.txt"
    path.write_text("." * 16)
    ran = saywhy("count", "--json", path)
    # 288: OEIS A107739
    assert ran.json == [{"file": f"{path}:1", "solutions": 288, "exact": True}]
    assert ran.code == 1
    assert saywhy("count", path).out == f"{path}:1: 288 solutions\n"


def test_all_latin_squares_of_order_4_are_counted(saywhy: Command, tmp_path: Path) -> None:
    path = tmp_path / "latin.toml"
    path.write_text('format = 1\nsize = 4\nregions = "none"\n')
    # 576: OEIS A002860
    assert saywhy("count", "--json", path).json == [{"file": str(path), "solutions": 576, "exact": True}]


def test_the_limit_stops_the_count_and_says_so(saywhy: Command, tmp_path: Path) -> None:
    path = tmp_path / "empty.toml"
    path.write_text("format = 1\nsize = 4\n")
    ran = saywhy("count", "--json", "--limit", 10, path)
    assert ran.json == [{"file": str(path), "solutions": 10, "exact": False}]
    assert saywhy("count", "--limit", 10, path).out == f"{path}: at least 10 solutions\n"


def test_the_budget_stops_the_count_and_says_so(saywhy: Command, tmp_path: Path) -> None:
    path = tmp_path / "empty.toml"
    path.write_text("format = 1\n")
    ran = saywhy("count", "--json", "--seconds", 0.1, path)
    [found] = ran.json
    assert not found["exact"]
    assert found["solutions"] > 1
    assert ran.code == 1


def test_a_clue_counts_as_the_second_opinion_counts_it(saywhy: Command, tmp_path: Path) -> None:
    path = tmp_path / "cage.toml"
    path.write_text("format = 1\nsize = 4\n[[clue]]\nrule = 'killer-cage'\ncells = 'r1c1 r2c1'\nvalue = 3\n")
    expected = len(solve(read(path)[0], limit=1000))
    assert 0 < expected < 288
    assert saywhy("count", "--json", path).json[0]["solutions"] == expected


@pytest.mark.parametrize(("line", "solutions", "code"), [(UNIQUE, 1, 0), (NONE, 0, 1)])
def test_the_exit_code_tells_one_solution_from_none(
    saywhy: Command, tmp_path: Path, line: str, solutions: int, code: int
) -> None:
    path = tmp_path / "one.txt"
    path.write_text(line)
    ran = saywhy("count", "--json", path)
    assert (ran.json[0]["solutions"], ran.code) == (solutions, code)


def test_every_line_of_a_file_is_counted(saywhy: Command, lines: Path) -> None:
    ran = saywhy("count", "--json", lines)
    assert [found.get("solutions") for found in ran.json] == [1, 72, 0, None]
    assert ran.code == 2


def test_bad_input_and_a_wrong_limit_are_bad_input(saywhy: Command, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text("format = 2")
    ran = saywhy("count", "--json", path)
    assert (ran.code, set(ran.json[0])) == (2, {"file", "error"})
    assert saywhy("count", "--limit", 0, path).code == 2
