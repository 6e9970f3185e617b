"""``saywhy demo`` and the puzzles that come with Saywhy."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from saywhy import examples
from saywhy.files import read
from saywhy.reasoning import explain
from saywhy.second_opinion import verdict
from tests.running import Command

NAMES = examples.names()


def test_the_first_example_is_there() -> None:
    assert examples.FIRST in NAMES


@pytest.mark.parametrize("name", NAMES)
def test_every_example_has_one_solution_by_the_second_opinion_and_a_path_without_a_what_if(name: str) -> None:
    [puzzle] = read(examples.path(name))
    assert puzzle.title and puzzle.setter
    assert verdict(puzzle) == "unique"
    path = explain(puzzle)
    assert path.complete
    assert path.effort is not None and path.effort.what_ifs == 0


def test_the_demo_spoils_nothing_and_leaves_pictures(saywhy: Command, tmp_path: Path) -> None:
    ran = saywhy("demo", "-o", tmp_path / "out")
    assert ran.code == 0
    assert "exactly one solution: fit to air" in ran.out
    assert not re.search(r"r\dc\d", ran.out, re.IGNORECASE)
    names = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert names == [f"{examples.FIRST}.png", f"{examples.FIRST}.svg"]
    assert all(f"picture: {tmp_path / 'out' / name}" in ran.out for name in names)


def test_reveal_adds_the_talk_track(saywhy: Command, tmp_path: Path) -> None:
    ran = saywhy("demo", "--reveal", "--output", tmp_path)
    assert ran.code == 0
    assert re.search(r"r\dc\d", ran.out, re.IGNORECASE)
    assert "\n   1  " in ran.out


def test_the_examples_are_named_and_another_can_be_chosen(saywhy: Command, tmp_path: Path) -> None:
    listed = [line.split()[0] for line in saywhy("demo", "--list").out.splitlines()]
    assert listed == NAMES
    assert saywhy("demo", listed[-1], "-o", tmp_path).code == 0
    ran = saywhy("demo", "nowhere")
    assert ran.code == 2
    assert "there is no example 'nowhere'" in ran.err


def test_a_folder_that_cannot_be_made_is_told(saywhy: Command, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    ran = saywhy("demo", "-o", tmp_path / "file")
    assert ran.code == 2
    assert "cannot be written" in ran.err
