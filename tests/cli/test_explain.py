"""``saywhy explain``."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from saywhy.files import read
from saywhy.second_opinion import solve
from tests.running import Command

STEP = {
    *("n", "beat", "idea", "uses", "facts", "places", "removes", "effort", "text", "written", "marks"),
}


def test_json_is_the_whole_path_and_ends_in_the_solution(saywhy: Command, tide: Path) -> None:
    ran = saywhy("explain", "--json", tide)
    [found] = ran.json
    assert ran.code == 0
    assert (found["file"], found["verdict"], found["complete"]) == (str(tide), "unique", True)
    assert [step["n"] for step in found["steps"]] == list(range(1, len(found["steps"]) + 1))
    assert all(set(step) >= STEP for step in found["steps"])
    assert all(set(step["uses"]) == {"clues", "houses", "rules"} for step in found["steps"])
    puzzle = read(tide)[0]
    digits = list(puzzle.givens)
    for step in found["steps"]:
        for placed in step["places"]:
            digits[puzzle.grid.cell(placed["cell"])] = placed["digit"]
    assert solve(puzzle) == [tuple(digits)]


def test_without_reveal_a_summary_that_spoils_nothing_is_printed(saywhy: Command, tide: Path) -> None:
    ran = saywhy("explain", tide)
    assert ran.code == 0
    assert "to the end" in ran.out
    assert "shown with --reveal" in ran.out
    assert not re.search(r"r\dc\d|row \d|column \d|box \d", ran.out, re.IGNORECASE)


def test_reveal_prints_every_beat_with_its_coordinates(saywhy: Command, tide: Path) -> None:
    [found] = saywhy("explain", "--json", tide).json
    out = " ".join(saywhy("explain", "--reveal", tide).out.split())
    for step in found["steps"]:
        assert " ".join(step["written"].split()) in out
    assert f" {found['steps'][-1]['beat']} " in out


def test_brief_prints_a_sentence_a_step(saywhy: Command, tide: Path) -> None:
    [found] = saywhy("explain", "--json", tide).json
    out = saywhy("explain", "--reveal", "--brief", tide).out
    lines = [line for line in out.splitlines() if re.match(r" +\d+  ", line)]
    assert len(lines) == len(found["steps"])
    assert lines[0].split(maxsplit=1)[1] == found["steps"][0]["brief"]


def test_certify_proves_every_step_anew(saywhy: Command, tide: Path) -> None:
    ran = saywhy("explain", "--certify", "--json", tide)
    [found] = ran.json
    assert (ran.code, found["certified"], found["faults"]) == (0, True, [])
    assert "steps proved anew" in saywhy("explain", "--certify", tide).out


def test_a_certificate_that_fails_is_told_and_ends_in_3(
    saywhy: Command, tide: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from saywhy.reasoning import Path as Reasoned

    honest = Reasoned.as_json

    def forged(path: Reasoned, file: str) -> dict[str, object]:
        found = honest(path, file)
        found["steps"][0]["uses"] = {"clues": [], "houses": [], "rules": []}
        return found

    monkeypatch.setattr(Reasoned, "as_json", forged)
    ran = saywhy("explain", "--certify", "--json", tide)
    [found] = ran.json
    assert (ran.code, found["certified"]) == (3, False)
    assert any(fault.startswith("step 1: ") for fault in found["faults"])
    hidden, told = (
        saywhy("explain", "--certify", tide).out,
        saywhy("explain", "--certify", "--reveal", tide).out,
    )
    assert "fault, 0 not decided" in hidden
    assert "--reveal tells which" in hidden
    assert "step 1: " not in hidden
    assert "step 1: " in told


def test_the_proof_takes_no_longer_than_is_allowed(saywhy: Command, hard: Path) -> None:
    ran = saywhy("explain", "--seconds", "0.000001", "--json", hard)
    assert ran.code == 3
    assert ran.json == [{"file": str(hard), "verdict": "undecided", "complete": False, "steps": []}]
    assert "in the time allowed; --seconds allows more" in " ".join(
        saywhy("explain", "--seconds", "0.000001", hard).out.split()
    )
    asked = saywhy("explain", "--seconds", "0.000001", "--at", "r5c5", "--json", hard)
    assert (asked.code, asked.json) == (3, [{"file": str(hard), "verdict": "undecided"}])


def test_a_puzzle_without_one_solution_has_no_path(saywhy: Command, clash: Path, lines: Path) -> None:
    assert "none: no solution; saywhy repair looks for" in " ".join(saywhy("explain", clash).out.split())
    ran = saywhy("explain", "--json", clash)
    assert ran.code == 1
    assert ran.json == [{"file": str(clash), "verdict": "none", "complete": False, "steps": []}]
    many = saywhy("explain", "--json", f"{lines}:3")
    assert (many.code, many.json[0]["verdict"], many.json[0]["steps"]) == (1, "many", [])
    assert "no solution" in saywhy("explain", clash).out
