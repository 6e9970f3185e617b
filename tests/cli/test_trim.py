"""``saywhy trim``: what it says, what it keeps to itself, what it writes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from saywhy.engine import prove
from saywhy.examples import path
from saywhy.files import read
from tests.running import Command

CELL = re.compile(r"r\d+c\d+")


def test_nothing_is_spoilt_unless_asked_for(saywhy: Command, tide: Path) -> None:
    ran = saywhy("trim", path("dinghy"))
    assert ran.code == 0
    assert "1 given and 1 clue, each taken alone" in ran.out
    assert not CELL.search(ran.out)
    [told] = saywhy("trim", "--json", tide).json
    assert not CELL.search(str(told))
    assert CELL.search(saywhy("trim", "--reveal", path("dinghy")).out)


def test_the_trimmed_puzzle_is_written(saywhy: Command, tmp_path: Path) -> None:
    out = tmp_path / "less.toml"
    assert saywhy("trim", path("fog-signals"), "-o", out, "--no-effort").code == 0
    [before], [after] = read(path("fog-signals")), read(out)
    assert sum(map(bool, after.givens)) < sum(map(bool, before.givens))
    assert prove(after).verdict == "unique" and prove(after).solution == prove(before).solution


def test_of_many_ways_it_is_said_whose_effort_is_measured_and_how_to_get_that_of_others(
    saywhy: Command,
) -> None:
    ran = saywhy("trim", path("fog-signals"), "--wish", "all", "--only", "clues")
    assert "effort    " in ran.out and "The effort is measured" not in ran.out, "these are few"
    ran = saywhy("trim", path("fog-signals"), "--wish", "all", "--keep", "r1c1", "--seconds", "20")
    told = re.findall(r"^ +(?:trimmed +)?(\d)\. (.*)", ran.out, re.MULTILINE)
    measured = sum(" beats" in words for _, words in told)
    assert len(told) == 5
    assert f"The effort is measured of the first {measured}. For way N: -o OUT --take N" in ran.out
    assert "ways in all; --json lists them, --reveal the first 12" in ran.out


def test_wishes_are_heard(saywhy: Command) -> None:
    ran = saywhy("trim", path("fog-signals"), "--wish", "pretty", "--reveal", "--no-effort")
    assert "a half turn" in ran.out and re.search(
        r"without \d+ givens; \d+ givens left; a half turn", ran.out
    )
    kept = saywhy("trim", path("dinghy"), "--keep", "1, 2 3 4", "--only", "both", "--json", "--reveal")
    [told] = kept.json
    assert all(held["gone"]["clues"] == [] for held in told["trimmings"])


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--keep", "r1c9"), "off the grid"),
        (("--keep", "99"), "there is no clue 99"),
        (("--keep", "soon"), "is not a cell"),
        (("--band", "hard"), "is not a band of effort"),
        (("--take", "2"), "give -o OUT as well"),
    ],
)
def test_wishes_that_make_no_sense_are_refused(saywhy: Command, options: tuple[str, ...], said: str) -> None:
    ran = saywhy("trim", path("dinghy"), *options)
    assert ran.code == 2
    assert said in ran.err


def test_a_puzzle_without_one_solution_is_sent_to_repair(saywhy: Command, clash: Path) -> None:
    ran = saywhy("trim", clash)
    assert ran.code == 1 and "saywhy repair" in ran.out


def test_trimmings_are_confirmed_by_the_independent_solver(saywhy: Command) -> None:
    [told] = saywhy("trim", "--json", "--certify", "--wish", "all", "--no-effort", path("dinghy")).json
    assert told["certified"] is True and len(told["trimmings"]) == 2
