"""``saywhy plan``: planned, clashing, bad input; nothing written until it is asked for."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from saywhy.shelf import Permission, Said, Shelf
from tests.running import Command

YES = Said(permission=Permission.GRANTED, on="2026-11-01", words="Gladly.")
USUAL = ("--today", "2026-11-25", "--first", "2026-12-01", "--every", "4")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with Shelf(tmp_path / "host") as held:
        for number in range(1, 5):
            text = f'format = 1\nsize = 4\ntitle = "Pier {number}"\n'
            held.puzzles.add(text, setter=f"setter {number % 3}", received=f"2026-10-0{number}", said=YES)
    return tmp_path / "host"


def test_a_plan_is_printed_and_nothing_is_written_until_take(saywhy: Command, folder: Path) -> None:
    ran = saywhy("plan", "--folder", str(folder), *USUAL, "--episodes", "3", "--why")
    assert (ran.code, ran.err) == (0, "")
    assert "December 2026" in ran.out and "Pier 1 (p1)" in ran.out
    assert "because it came on Thu 1 Oct 2026" in ran.out
    assert "No plan is better: proven." in ran.out
    assert "Nothing was written." in ran.out
    with Shelf(folder) as held:
        assert held.episodes.all() == []
    assert saywhy("plan", "--folder", str(folder), *USUAL, "--episodes", "3", "--take").code == 0
    with Shelf(folder) as held:
        assert [one.airs for one in held.episodes.all()] == ["2026-12-01", "2026-12-05", "2026-12-09"]
    ran = saywhy("plan", "--folder", str(folder), *USUAL, "--episodes", "3")
    assert "Nothing changes." in ran.out


def test_json_says_the_same(saywhy: Command, folder: Path) -> None:
    ran = saywhy(
        "plan", "--folder", str(folder), *USUAL, "--episodes", "3", "--pin", "p4=2026-12-05", "--json"
    )
    [told] = ran.json
    assert (ran.code, told["status"], told["clash"]) == (0, "best", None)
    assert [one["puzzle"] for one in told["episodes"]][1] == "p4"
    assert [one["pinned"] for one in told["episodes"]] == [False, True, False]
    assert {one["kind"] for one in told["changes"]} == {"new"}


def test_wishes_that_clash_are_told_with_what_mends_it(saywhy: Command, folder: Path) -> None:
    sheet = folder / "wishes.toml"
    sheet.write_text(
        "format = 1\n[cadence]\nfirst = 2026-12-01\nevery = 4\nepisodes = 5\n[rest]\nsetter = 3\n"
    )
    asked = ("plan", str(sheet), "--folder", str(folder), "--today", "2026-11-25")
    ran = saywhy(*asked)
    assert ran.code == 1
    assert "This wish cannot be kept:" in ran.out
    assert "4 puzzles by 3 setters may air" in " ".join(ran.out.split())
    # Three setters that rest for three episodes each fill three days and no fourth.
    assert "until = 2026-12-09" in " ".join(ran.out.split())
    assert "Any one of these is enough for all:" in ran.out
    ran = saywhy(*asked, "--give-way")
    assert ran.code == 0
    assert "(empty)" in ran.out
    told = " ".join(ran.out.split())
    assert "13 Dec 2026 stays empty before the last episode, Thu 17 Dec 2026: a setter rests for 3" in told


def test_without_a_sheet_no_day_is_left_empty_while_a_puzzle_waits(saywhy: Command, folder: Path) -> None:
    asked = ("plan", "--folder", str(folder), "--today", "2026-11-25")
    [told] = saywhy(*asked, "--json").json
    assert [one["state"] for one in told["episodes"]] == ["planned"] * 4 + ["empty"] * 8
    [words] = told["empty"]
    assert words == "8 days after the last episode stay empty: all puzzles that may air have their day"
    assert f"\n{words}.\n" in saywhy(*asked).out
    [missed] = told["missed"]
    assert missed.startswith("a setter rests for 3 episodes: setter 1 on ")


def test_a_sheet_in_the_folder_counts_and_options_change_it(saywhy: Command, folder: Path) -> None:
    sheet = 'format = 1\n[cadence]\nfirst = 2026-12-01\nweekdays = ["friday"]\nepisodes = 2\n'
    (folder / "plan.toml").write_text(sheet, encoding="utf-8")
    ran = saywhy("plan", "--folder", str(folder), "--today", "2026-11-25", "--json")
    assert [one["day"] for one in ran.json[0]["episodes"]] == ["2026-12-04", "2026-12-11"]
    more = ("--weekdays", "mon,fri", "--skip", "2026-12-07", "--until", "2026-12-14")
    ran = saywhy("plan", "--folder", str(folder), "--today", "2026-11-25", "--json", *more)
    assert [one["day"] for one in ran.json[0]["episodes"]] == ["2026-12-04", "2026-12-11", "2026-12-14"]


def test_without_a_shelf_from_a_plain_file(saywhy: Command, tmp_path: Path) -> None:
    stock = {"puzzle": [{"name": f"p{n}", "title": f"Pier {n}", "setter": f"s{n}"} for n in range(6)]}
    file = tmp_path / "stock.json"
    file.write_text(json.dumps(stock), encoding="utf-8")
    calendar = tmp_path / "out.ics"
    ran = saywhy("plan", "--from", str(file), *USUAL, "--episodes", "6", "--ical", str(calendar))
    assert (ran.code, ran.err) == (0, f"Written to {calendar}.\n")
    assert calendar.read_bytes().count(b"BEGIN:VEVENT") == 6


def test_a_pin_given_as_an_option_takes_the_place_of_the_sheets(saywhy: Command, folder: Path) -> None:
    sheet = "format = 1\n[cadence]\nfirst = 2026-12-01\nevery = 4\nepisodes = 3\n"
    (folder / "plan.toml").write_text(f'{sheet}[[pin]]\npuzzle = "p2"\non = 2026-12-01\n', encoding="utf-8")
    asked = ("plan", "--folder", str(folder), "--today", "2026-11-25", "--json")
    [told] = saywhy(*asked, "--pin", "p2=2026-12-09").json
    assert [one["puzzle"] == "p2" for one in told["episodes"]] == [False, False, True]
    assert saywhy(*asked, "--ical", str(folder / "plan.toml")).code == 2
    assert (folder / "plan.toml").read_text().startswith("format = 1")


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (("--first", "soon"), "is not a day"),
        (("--weekdays", "funday"), "do not go together"),
        (("--pin", "p1"), "names no day"),
        (("--pin", "p99=2026-12-01"), "there is no puzzle 'p99'"),
        (("--pin", "p1=2026-12-01", "--pin", "p1=2026-12-05"), "'p1' is pinned twice"),
        (("--skip", "Christmas"), "names no days"),
        (("--ical", "/nowhere/x.ics"), "cannot be written"),
        (("nothing.toml",), "cannot be read"),
    ],
)
def test_bad_input_is_told_in_a_line(saywhy: Command, folder: Path, more: tuple[str, ...], told: str) -> None:
    ran = saywhy("plan", "--folder", str(folder), *USUAL, "--episodes", "3", *more)
    assert ran.code == 2
    assert told in ran.err
    assert "Traceback" not in ran.err


def test_a_solver_that_is_not_installed_is_told_in_a_line(
    saywhy: Command, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in [held for held in sys.modules if held.startswith(("saywhy.plan.solve", "saywhy.plan.model"))]:
        monkeypatch.delitem(sys.modules, name)
    for name in ("ortools", "ortools.linear_solver", "ortools.linear_solver.python", "ortools.sat.python"):
        monkeypatch.setitem(sys.modules, name, None)
    ran = saywhy("plan", "--folder", str(folder), *USUAL, "--episodes", "3")
    assert ran.code == 2
    assert "install saywhy[plan]" in ran.err
