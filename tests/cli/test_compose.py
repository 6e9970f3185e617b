"""``saywhy compose`` as a user runs it."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

from saywhy import examples
from saywhy.files import read
from tests.running import Command
from tests.setting.compose.drawn import PUNT, SKIFF


def sketch(folder: Path, text: str = PUNT) -> str:
    path = folder / "punt.toml"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_finds_are_kept_and_shown_without_a_digit_of_the_solution(saywhy: Command, tmp_path: Path) -> None:
    ran = saywhy("compose", sketch(tmp_path), "--count", "2", "--workers", "1", "-o", str(tmp_path / "out"))
    assert ran.code == 0
    kept = sorted((tmp_path / "out").iterdir())
    assert len([path for path in kept if str(path) in ran.out]) == 2
    assert all(path.suffix == ".toml" for path in kept)
    assert "no what-if needed" in ran.out
    assert not re.search(r"\d \d \d \d", ran.out)
    assert not re.search(r"r\dc\d", ran.out)


def test_reveal_shows_the_solution(saywhy: Command, tmp_path: Path) -> None:
    ran = saywhy("compose", sketch(tmp_path), "--reveal", "--workers", "1", "-o", str(tmp_path))
    assert len(re.findall(r"\d \d \d \d$", ran.out, re.MULTILINE)) == 4


def test_json_is_an_object_a_find_and_says_what_check_says(saywhy: Command, tmp_path: Path) -> None:
    ran = saywhy("compose", sketch(tmp_path), "--count", "2", "--workers", "1", "-o", str(tmp_path), "--json")
    assert len(ran.json) == 2
    for held in ran.json:
        assert set(held) == {"file", "attempt", "seconds", "givens", "effort"}
        checked = saywhy("check", "--json", held["file"]).json[0]
        assert (checked["verdict"], checked["effort"]) == ("unique", held["effort"])
        assert sum(map(bool, read(held["file"])[0].givens)) == held["givens"]


def test_what_no_grid_keeps_is_told_and_counts_as_not_valid(saywhy: Command, tmp_path: Path) -> None:
    text = PUNT.replace("[wish]", '[wish]\npattern = "r1c1 r1c2 r2c2 read 1 2 2"')
    ran = saywhy("compose", sketch(tmp_path, text), "--workers", "1", "-o", str(tmp_path))
    assert ran.code == 1
    assert "that is proved" in ran.out


def test_what_is_not_found_in_time_is_told_with_why(saywhy: Command, tmp_path: Path) -> None:
    text = "format = 1\nsize = 6\n[wish]\ngivens = 2\n"
    options = ("--seconds", "6", "--workers", "1", "-o", str(tmp_path))
    ran = saywhy("compose", sketch(tmp_path, text), *options)
    assert ran.code == 3
    assert "None of 1 found" in ran.out


def test_a_mistake_in_a_sketch_is_told_and_nothing_is_made(saywhy: Command, tmp_path: Path) -> None:
    text = SKIFF.replace("region 1 in order", "row 5 reads the same both ways")
    ran = saywhy("compose", sketch(tmp_path, text), "-o", str(tmp_path / "out"))
    assert ran.code == 2
    assert "so they differ" in ran.err
    assert not (tmp_path / "out").exists()


def test_a_sketch_and_like_do_not_go_together(saywhy: Command, tmp_path: Path) -> None:
    path = sketch(tmp_path)
    assert saywhy("compose").code == 2
    assert saywhy("compose", path, "--like", path).code == 2
    assert saywhy("compose", path, "--gentler").code == 2
    assert saywhy("compose", "--like", path, "--gentler", "--harder").code == 2


def test_one_more_like_a_puzzle_that_is_there(saywhy: Command, tmp_path: Path) -> None:
    dinghy = str(examples.path("dinghy"))
    options = ("--seconds", "300", "--workers", "1", "--json", "-o", str(tmp_path))
    ran = saywhy("compose", "--like", dinghy, *options)
    assert ran.code == 0
    made = read(ran.json[0]["file"])[0]
    assert [clue.cells for clue in made.clues] == [clue.cells for clue in read(dinghy)[0].clues]


def test_like_a_puzzle_with_several_solutions_is_refused(saywhy: Command, tmp_path: Path) -> None:
    many = tmp_path / "many.toml"
    many.write_text("format = 1\nsize = 4\n")
    assert saywhy("compose", "--like", str(many), "-o", str(tmp_path)).code == 2


def test_after_ctrl_c_every_find_is_there(tmp_path: Path) -> None:
    out = tmp_path / "out"
    words = [
        "compose",
        sketch(tmp_path),
        "--count",
        "1000",
        "--seconds",
        "600",
        "--workers",
        "2",
        "-o",
        str(out),
    ]
    running = subprocess.Popen(
        [sys.executable, "-m", "saywhy", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    end = time.monotonic() + 120
    while not (out.exists() and any(out.glob("*.toml"))) and time.monotonic() < end:
        time.sleep(0.2)
    os.killpg(running.pid, signal.SIGINT)
    printed, told = running.communicate(timeout=120)
    assert running.returncode == 130, told
    named = re.findall(r"file +(\S+\.toml)", printed)
    kept = {str(path) for path in out.glob("*.toml")}
    assert kept
    assert set(named) <= kept
    assert all(len(read(path)) == 1 for path in kept)
    assert not list(out.glob("*.part"))
