"""``saywhy rules``."""

from __future__ import annotations

from pathlib import Path

from saywhy.rules import all_rules
from tests.running import Command


def test_a_puzzles_rules_are_told_written_and_spoken(saywhy: Command, tide: Path) -> None:
    ran = saywhy("rules", tide)
    assert ran.code == 0
    assert "Every row, every column" in ran.out
    assert "Killer cage: " in ran.out
    assert "Spoken, about " in ran.out


def test_json_gives_an_example_of_each_rule_with_its_cells(saywhy: Command, tide: Path) -> None:
    [found] = saywhy("rules", "--json", tide).json
    assert set(found) == {"file", "written", "spoken", "seconds", "examples"}
    [example] = found["examples"]
    assert (example["rule"], example["clue"], example["cells"]) == ("killer-cage", 0, ["r1c2", "r1c3"])


def test_without_a_file_every_rule_is_named(saywhy: Command) -> None:
    names = [line.split()[0] for line in saywhy("rules").out.splitlines()]
    assert names == list(all_rules())
    assert [found["rule"] for found in saywhy("rules", "--json").json] == names


def test_bad_input_is_bad_input(saywhy: Command, lines: Path, tmp_path: Path) -> None:
    assert saywhy("rules", tmp_path / "nowhere").code == 2
    assert saywhy("rules", lines).code == 2
