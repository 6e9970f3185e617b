"""``saywhy repair``: what it says, what it keeps to itself, what it writes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from saywhy.engine import prove
from saywhy.files import read
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from tests.running import Command

CELL = re.compile(r"r\d+c\d+")


@pytest.fixture
def loose(tide: Path) -> Path:
    """Give a puzzle with several solutions."""
    path = tide.with_name("loose.toml")
    path.write_text(tide.read_text().replace(". . 4 .", ". . . .").replace(". 2 . .", ". . . ."))
    return path


def test_nothing_is_spoilt_unless_asked_for(saywhy: Command, loose: Path, clash: Path) -> None:
    for file, changes in ((loose, "1 change"), (clash, "2 changes")):
        ran = saywhy("repair", file)
        assert ran.code == 0
        assert f"{changes}: fewer are proved not to do" in ran.out
        assert not CELL.search(ran.out)
        assert "--reveal" in ran.out
        [told] = saywhy("repair", "--json", file).json
        assert not CELL.search(str(told))
        assert CELL.search(saywhy("repair", "--reveal", file).out)


def test_a_puzzle_without_a_solution_says_what_is_to_be_altered(saywhy: Command, clash: Path) -> None:
    out = saywhy("repair", clash, "--reveal", "--no-effort").out
    assert "1 clue or given to alter, which can be chosen in 2 ways" in out
    assert "clue 2 (line 7): several solutions with 3, 4 or 5, one with none" in out


def test_the_mended_puzzle_is_written_and_what_was_given_stays(
    saywhy: Command, loose: Path, tmp_path: Path
) -> None:
    before = loose.read_bytes()
    out = tmp_path / "mended.toml"
    ran = saywhy("repair", loose, "-o", out, "--take", "2", "--no-effort")
    assert ran.code == 0 and not CELL.search(ran.out + ran.err)
    [second] = read(out)
    assert prove(second).verdict == "unique"
    saywhy("repair", loose, "-o", out, "--no-effort")
    assert read(out) != [second]
    refused = saywhy("repair", loose, "-o", loose)
    assert refused.code == 2 and "Name another file" in refused.err
    assert loose.read_bytes() == before


def test_a_proposal_that_there_is_not_is_refused(saywhy: Command, loose: Path, tide: Path) -> None:
    ran = saywhy("repair", loose, "-o", loose.with_name("x.toml"), "--take", "50", "--no-effort")
    assert ran.code == 2 and "there is no proposal 50" in ran.err and "1 change" in ran.out
    assert saywhy("repair", tide, "-o", loose.with_name("x.toml")).code == 2
    assert saywhy("repair", loose, "--take", "2").code == 2
    assert not loose.with_name("x.toml").exists()


def test_the_solution_that_was_meant_is_led_to(saywhy: Command, loose: Path, tide: Path) -> None:
    meant = prove(read(tide)[0]).solution
    assert meant is not None
    digits = "".join(map(str, meant))
    kept = loose.with_name("meant.txt")
    kept.write_text("\n".join(digits[row : row + 4] for row in range(0, 16, 4)))
    out = loose.with_name("mended.toml")
    for solution in (digits, kept):
        assert saywhy("repair", loose, "--solution", solution, "-o", out, "--no-effort").code == 0
        assert prove(read(out)[0]).solution == meant


def test_one_solution_that_is_not_the_one_that_was_meant_is_mended(saywhy: Command, tide: Path) -> None:
    other = prove(Puzzle(Grid.standard(4), (0,) * 16), seed=4).solution
    assert other is not None and other != prove(read(tide)[0]).solution
    out = tide.with_name("other.toml")
    digits = "".join(map(str, other))
    ran = saywhy("repair", tide, "--solution", digits, "--no-effort", "-o", out)
    assert ran.code == 0 and "not the solution that was meant" in ran.out
    assert prove(read(out)[0]).solution == other


@pytest.mark.parametrize(
    ("solution", "said"),
    [
        ("12", "4 rows were expected"),
        ("1" * 15 + ".", "r4c4 is empty"),
        ("1" * 15 + "9", "not a digit from 1 to 4"),
        ("1" * 16, "breaks"),
        ("no-such-file.txt", "there is no file 'no-such-file.txt'"),
    ],
)
def test_a_solution_that_is_none_is_refused(saywhy: Command, loose: Path, solution: str, said: str) -> None:
    ran = saywhy("repair", loose, "--solution", solution)
    assert ran.code == 2
    assert said in ran.err


def test_a_puzzle_that_needs_no_mending_says_so(saywhy: Command, tide: Path) -> None:
    ran = saywhy("repair", tide)
    assert ran.code == 0 and "there is nothing to mend" in ran.out


def test_rules_that_no_grid_keeps_cannot_be_mended(saywhy: Command, tmp_path: Path) -> None:
    file = tmp_path / "kings.toml"
    file.write_text('format = 1\nsize = 4\nrules = ["anti-king"]\n')
    ran = saywhy("repair", file)
    assert ran.code == 1
    assert "the rules of the grid alone leave no solution" in ran.out


def test_proposals_are_confirmed_by_the_independent_solver(saywhy: Command, loose: Path) -> None:
    [told] = saywhy("repair", "--json", "--certify", "--no-effort", loose).json
    assert told["certified"] is True and told["proved"] is True and told["changes"] == 1
    assert "by an independent solver too" in saywhy("repair", "--certify", "--no-effort", loose).out


def test_bad_input_is_told(saywhy: Command, tmp_path: Path) -> None:
    assert saywhy("repair", tmp_path / "nothing.toml").code == 2
