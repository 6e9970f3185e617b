"""``saywhy check``."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from saywhy.files import read, read_text
from saywhy.second_opinion import solve, verdict
from tests.cli.conftest import MANY, NONE, UNIQUE
from tests.running import Command


def test_the_puzzles_of_these_tests_have_the_verdicts_that_a_second_opinion_gives_them(
    tide: Path, clash: Path, wide: Path
) -> None:
    for text, expected in ((UNIQUE, "unique"), (MANY, "many"), (NONE, "none")):
        assert verdict(read_text(text)[0]) == expected
    assert [verdict(read(path)[0]) for path in (tide, clash, wide)] == ["unique", "none", "unique"]


def test_json_says_file_verdict_and_seconds_and_nothing_that_spoils(saywhy: Command, tide: Path) -> None:
    ran = saywhy("check", "--json", "--no-effort", tide)
    [found] = ran.json
    assert (ran.code, ran.err) == (0, "")
    assert set(found) == {"file", "verdict", "seconds"}
    assert found["file"] == str(tide)
    assert found["verdict"] == "unique"
    assert 0 < found["seconds"] < 5


def test_effort_comes_with_the_verdict_and_is_null_where_there_is_no_path(
    saywhy: Command, tide: Path, clash: Path
) -> None:
    [found, none] = saywhy("check", "--json", tide, clash).json
    assert set(found) == {"file", "verdict", "seconds", "effort"}
    assert found["effort"]["what_ifs"] == 0
    assert found["effort"]["minutes"]["least"] <= found["effort"]["minutes"]["most"]
    assert none["effort"] is None


def test_reveal_gives_the_solution_as_rows_of_digits(saywhy: Command, tide: Path) -> None:
    [found] = saywhy("check", "--json", "--no-effort", "--reveal", tide).json
    assert [tuple(map(int, "".join(found["solution"])))] == solve(read(tide)[0])
    assert [len(row) for row in found["solution"]] == [4, 4, 4, 4]


def test_above_9_rows_are_lists_of_numbers(saywhy: Command, wide: Path) -> None:
    [found] = saywhy("check", "--json", "--no-effort", "--reveal", wide).json
    [solution] = solve(read(wide)[0])
    assert [digit for row in found["solution"] for digit in row] == list(solution)
    assert all(len(row) == 10 for row in found["solution"])


def test_reveal_gives_two_different_solutions_where_there_are_many(saywhy: Command, tmp_path: Path) -> None:
    path = tmp_path / "many.txt"
    path.write_text(MANY)
    ran = saywhy("check", "--json", "--no-effort", "--reveal", path)
    [found] = ran.json
    assert (ran.code, found["verdict"]) == (1, "many")
    one, other = ("".join(found[name]) for name in ("solution", "other"))
    assert one != other
    for held in (one, other):
        assert verdict(read_text(held)[0]) == "unique"


def test_reveal_gives_the_smallest_clash_where_there_is_no_solution(saywhy: Command, clash: Path) -> None:
    ran = saywhy("check", "--json", "--no-effort", "--reveal", clash)
    [found] = ran.json
    assert (ran.code, found["verdict"]) == (1, "none")
    assert found["conflict"] == {
        "clues": [1],
        "givens": ["r1c1"],
        "houses": [],
        "rules": [],
        "minimal": True,
        "smallest": True,
    }
    assert "solution" not in found


def test_the_card_says_what_a_host_may_know(saywhy: Command, tide: Path) -> None:
    out = saywhy("check", tide).out
    for text in (
        "Low tide, by oarlock",
        "exactly one solution: fit to air",
        "4 by 4, 4 givens, 1 clue",
        "Killer cage",
        "no what-if needed",
        "about 1 minute of talk",
    ):
        assert text in out


@pytest.mark.parametrize("flags", [(), ("--json",), ("--no-effort",), ("--json", "--no-effort")])
def test_without_reveal_no_cell_and_no_digit_of_a_solution_is_printed(
    saywhy: Command, tide: Path, clash: Path, lines: Path, flags: tuple[str, ...]
) -> None:
    [solution] = solve(read(tide)[0])
    rows = ["".join(map(str, solution[start : start + 4])) for start in (0, 4, 8, 12)]
    out = saywhy("check", *flags, tide, clash, lines).out
    bare = out.replace(" ", "")
    for path in (tide, clash, lines):
        bare = bare.replace(str(path), "")
    assert not any(row in bare for row in rows)
    assert not any(f"r{row}c{column}" in bare for row in range(1, 5) for column in range(1, 5))


def test_the_card_counts_what_differs_and_what_clashes_and_names_it_only_when_asked(
    saywhy: Command, clash: Path, tmp_path: Path
) -> None:
    many = tmp_path / "many.toml"
    many.write_text('format = 1\nsize = 4\ngivens = "1..............."')
    assert "cells" in saywhy("check", many).out
    assert not re.search(r"r\dc\d", saywhy("check", many).out)
    assert re.search(r"differ +r\dc\d", saywhy("check", "--reveal", many).out)
    card = saywhy("check", clash).out
    assert "1 clue and 1 given cannot hold together" in card
    revealed = saywhy("check", "--reveal", clash).out
    assert "clue 2 (line 7): 7 cage, r1c1 r1c2" in revealed
    assert "1 in r1c1" in revealed
    assert "No smaller clash is there." in revealed


def test_every_line_of_a_file_of_lines_is_checked_and_named(saywhy: Command, lines: Path) -> None:
    ran = saywhy("check", "--json", "--no-effort", lines)
    assert [(found["file"], found.get("verdict")) for found in ran.json] == [
        (f"{lines}:1", "unique"),
        (f"{lines}:3", "many"),
        (f"{lines}:4", "none"),
        (f"{lines}:5", None),
    ]
    assert ran.code == 2
    short = saywhy("check", "--no-effort", lines)
    assert short.out.splitlines() == [f"{lines}:1  unique", f"{lines}:3  many", f"{lines}:4  none"]


def test_bad_input_is_told_on_stderr_and_as_an_object(saywhy: Command, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text("format = 1\nsize = 3\ntitel = 'x'\n")
    ran = saywhy("check", "--json", path)
    assert ran.code == 2
    [found] = ran.json
    assert found["file"] == str(path)
    assert [(error["line"], error["field"]) for error in found["error"]] == [(2, "size"), (3, "titel")]
    assert set(found["error"][0]) == {"what", "mend", "field", "line", "column"}
    told = ran.err.splitlines()
    assert told[0].startswith(f"{path}: line 2; size: a whole number from 4 to 16")
    assert len(told) == 2
    text = saywhy("check", path)
    assert (text.code, text.out, text.err) == (2, "", ran.err)


@pytest.mark.parametrize(
    ("names", "code"),
    [
        (["unique"], 0),
        (["many"], 1),
        (["none"], 1),
        (["bad"], 2),
        (["nowhere"], 2),
        (["unique", "many"], 1),
        (["many", "bad", "unique"], 2),
        (["hard"], 3),
        (["hard", "unique"], 3),
        (["hard", "many"], 1),
        (["hard", "bad"], 2),
    ],
)
def test_the_exit_code_is_the_worst_of_all_puzzles(
    saywhy: Command, tmp_path: Path, names: list[str], code: int
) -> None:
    # whether an empty 16 by 16 grid has one Latin square or many cannot be told in a microsecond
    texts = {"unique": UNIQUE, "many": MANY, "none": NONE, "bad": "12345", "hard": "." * 256}
    paths = [tmp_path / f"{name}.txt" for name in names]
    for name, path in zip(names, paths, strict=True):
        if name in texts:
            path.write_text(texts[name])
    seconds = ("--seconds", "0.000001") if "hard" in names else ()
    ran = saywhy("check", "--no-effort", *seconds, *paths)
    if names == ["hard", "unique"]:
        assert ran.code in {0, 3}
    assert ran.code == code


def test_hostile_names_of_files_cannot_steer_the_terminal(saywhy: Command, tmp_path: Path) -> None:
    path = tmp_path / "\x1b[31mred\u202e.txt"
    path.write_text("bad")
    ran = saywhy("check", path)
    assert ran.code == 2
    assert "\x1b" not in ran.err + ran.out
    assert "\u202e" not in ran.err + ran.out


@pytest.mark.parametrize(
    "args",
    [
        ["check"],
        ["check", "--seconds", "0", "x"],
        ["check", "--seconds", "soon", "x"],
        ["check", "--nope", "x"],
    ],
)
def test_a_wrong_command_line_is_bad_input(saywhy: Command, args: list[str]) -> None:
    assert saywhy(*args).code == 2


def test_half_a_path_measures_nothing(saywhy: Command, tide: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from saywhy import reasoning

    honest = reasoning.explain

    def cut(*args: object) -> reasoning.Path:
        return replace(honest(*args), complete=False)  # type: ignore[arg-type]

    monkeypatch.setattr(reasoning, "explain", cut)
    assert saywhy("check", "--json", tide).json[0]["effort"] is None
    assert "not measured: no path to the end was found" in saywhy("check", tide).out


def test_a_clash_that_was_not_narrowed_down_is_not_called_one(
    saywhy: Command, clash: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from saywhy import engine

    honest = engine.conflict

    def hasty(*args: object) -> object:
        return replace(honest(*args), smallest=False, minimal=False)  # type: ignore[arg-type,type-var]

    monkeypatch.setattr(engine, "conflict", hasty)
    assert "not narrowed down" in saywhy("check", clash).out
    assert "Some may be to spare" in saywhy("check", "--reveal", clash).out
    assert saywhy("check", "--reveal", "--json", clash).json[0]["conflict"]["minimal"] is False
