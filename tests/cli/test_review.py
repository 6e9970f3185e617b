"""``saywhy review``: the files that it writes, and what it says of those that it does not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from saywhy import examples
from saywhy.files import puzzle_id, read
from saywhy.reasoning.explain import explain
from tests.running import Command

DINGHY = examples.path("dinghy")


def solved(path: Path, times: list[float]) -> Path:
    """Write a recording of the first digits of the path, at these times."""
    puzzle = read(DINGHY)[0]
    head = {"format": 1, "puzzle": puzzle_id(puzzle), "blind": True, "started": "2026-11-25T20:00:00Z"}
    placed = [
        {"do": "place", "cell": puzzle.grid.name(cell), "digit": digit}
        for told in explain(puzzle).steps
        for cell, digit in told.step.places.items()
    ]
    acts = [{"t": t, **place} for t, place in zip(times, placed, strict=False)]
    path.write_text("".join(json.dumps(line) + "\n" for line in [head, *acts]))
    return path


@pytest.mark.parametrize(
    ("times", "why"),
    [
        ([3, 8, 14], "3 chapters of 10 s or more, and the recording lasts 0:14. Leave chapters out"),
        ([3, 4, 5, 6, 90], "too few markers and digits of the recording lie that far apart. Set markers"),
    ],
)
def test_without_chapters_the_review_and_all_other_files_come_out(
    saywhy: Command, tmp_path: Path, times: list[float], why: str
) -> None:
    solve = solved(tmp_path / "solve.jsonl", times)
    page, text, cues, errata = (tmp_path / name for name in ("r.html", "c.txt", "c.vtt", "e.txt"))
    files = ("--chapters", text, "--webvtt", cues, "--html", page, "--errata", errata)
    ran = saywhy("review", DINGHY, solve, *files)
    assert ran.code == 2
    assert f"{len(times)} digits placed, no notes made, no guesses, no errors" in ran.out
    assert "Every digit had its reason when it was written." in ran.out
    for option, path in (("--chapters", text), ("--webvtt", cues)):
        assert f"{path}: {option}: not written: video sites ask for" in ran.err
        assert not path.exists()
    assert why in ran.err
    assert f"Written to {page}.\n" in ran.err and page.read_text().startswith("<!doctype html>")
    assert f"Written to {errata}, empty: nothing was said that was not so.\n" in ran.err


def test_chapters_of_a_longer_solve_are_written(saywhy: Command, tmp_path: Path) -> None:
    solve = solved(tmp_path / "solve.jsonl", [12, 30, 45, 60, 75])
    ran = saywhy("review", DINGHY, solve, "--chapters", tmp_path / "c.txt")
    assert (ran.code, ran.err) == (0, f"Written to {tmp_path / 'c.txt'}.\n")
    assert (tmp_path / "c.txt").read_text().startswith("0:00 Rules\n")


@pytest.mark.parametrize(
    ("files", "said"),
    [
        (["--html", "/nowhere/r.html"], "--html: cannot be written: there is no such folder"),
        (["--html", "{puzzle}"], "--html: this is a file that is read here, and it is left as it is"),
        (["--errata", "{solve}"], "--errata: this is a file that is read here, and it is left as it is"),
        (["--chapters", "{new}", "--webvtt", "{new}"], "--webvtt: --chapters writes this file too"),
    ],
)
def test_a_file_that_must_not_be_written_is_told_before_the_review(
    saywhy: Command, tmp_path: Path, files: list[str], said: str
) -> None:
    solve = solved(tmp_path / "solve.jsonl", [12, 30, 45, 60])
    puzzle = tmp_path / "dinghy.toml"
    puzzle.write_bytes(DINGHY.read_bytes())
    before = solve.read_bytes()
    places = {"puzzle": puzzle, "solve": solve, "new": tmp_path / "new.txt"}
    ran = saywhy("review", puzzle, solve, *(word.format(**places) for word in files))
    assert (ran.code, ran.out) == (2, "") and said in ran.err
    assert (puzzle.read_bytes(), solve.read_bytes()) == (DINGHY.read_bytes(), before)
    assert not (tmp_path / "new.txt").exists()
