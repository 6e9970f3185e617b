"""Bad input: what is said is about what was given, once, and names what to do instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.running import Command

PNG = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\n\xff\xfe\n"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["check", "{photo}"], "this is a PNG picture, not a puzzle file"),
        (["repair", "{photo}"], "this is a PNG picture, not a puzzle file"),
        (["trim", "{photo}"], "this is a PNG picture, not a puzzle file"),
        (["compose", "--like", "{photo}"], "this is a PNG picture, not a puzzle file"),
        (["pack", "{photo}", "-o", "{new}"], "this is a PNG picture, not a puzzle file"),
        (["shelf", "--folder", "{new}", "add", "{photo}"], "this is a PNG picture, not a puzzle file"),
        (["review", "{puzzle}", "{photo}"], "this is no recording. Name a file of JSON Lines"),
        (["plan", "{photo}", "--folder", "{new}"], "the sheet cannot be read: this is not text in UTF-8"),
        (["plan", "--from", "{photo}"], "this is not text in UTF-8. Name a TOML or JSON file"),
        (["plan", "--folder", "{new}"], "saywhy shelf --folder FOLDER add FILE begins one"),
        (["plan", "--from", "/dev/zero"], "the file is longer than 4 MiB"),
        (["plan", "/dev/zero", "--folder", "{new}"], "the sheet is longer than 256 KiB"),
        (
            ["pack", "{puzzle}", "-o", "{new}", "--template", "/dev/zero"],
            "the template is longer than 256 KiB",
        ),
        (
            ["pack", "{puzzle}", "-o", "{new}", "--language", "/dev/zero"],
            "the catalogue is longer than 1 MiB",
        ),
        (
            ["pack", "--shelf", "e1", "-o", "{new}", "--folder", "{folder}"],
            "there is no shelf in this folder",
        ),
        (
            ["pack", "{puzzle}", "-o", "{new}", "--airs", "2026-12-05", "--next", "2026-12-01"],
            "--next: the next one airs before this one",
        ),
        (["explain", "{puzzle}", "--from", "{new}"], "the position cannot be opened: no such file"),
        (
            ["explain", "{puzzle}", "--from", "{blank}"],
            "the file is empty. Write {{}} for a board without marks",
        ),
        (["repair", "{puzzle}", "--solution", "{folder}"], "this is a folder. Name the file in it"),
        (["inbox", "{puzzle}"], "this is a file and no folder. Name the folder that it lies in"),
        (["compose", "skiff"], "sketches to begin with lie in examples/sketches"),
        (["repair", "{puzzle}", "-o", "{new}"], "--output: there is no proposal to write. Leave -o out"),
        (["pack", "{puzzle}", "-o", "{new}", "--template", "{photo}"], "this is not text in UTF-8"),
        (
            ["pack", "{puzzle}", "-o", "{new}", "--language", "{photo}"],
            "the catalogue cannot be read: this is not text",
        ),
        (["check", "{folder}"], "is a directory. Name a file in it; saywhy inbox judges a whole folder"),
        (["check", "{puzzle}:1"], "the file holds one puzzle and no lines of puzzles. Leave out :1"),
        (["check", "{sketch}"], "there is no field 'wish'. A sketch is for saywhy compose"),
        (
            ["repair", "{puzzle}", "--solution", "{new}.txt"],
            "new.txt', and digits it is none. Check",
        ),
        (["repair", "{puzzle}", "-o", "{puzzle}"], "this is the file that the puzzle came from"),
        (["repair", "{puzzle}", "-o", "{new}/mended.toml"], "cannot be written: there is no such folder"),
        (["trim", "{puzzle}", "-o", "{folder}"], "cannot be written: is a directory"),
        (["explain", "{loose}", "--at", "r1c1"], "more than one solution; saywhy repair looks for"),
        (["pack", "{loose}", "-o", "{new}"], "more than one solution; saywhy repair looks for"),
        (
            ["inbox", "{folder}", "-o", "{new}", "--shelf", "--folder", "{puzzle}"],
            "the shelf cannot be opened",
        ),
    ],
)
def test_bad_input_is_told_in_one_line_with_what_to_do(
    saywhy: Command, tmp_path: Path, words: list[str], said: str
) -> None:
    photo, new = tmp_path / "photo.png", tmp_path / "new"
    photo.write_bytes(PNG)
    puzzle = Path(__file__).parents[2] / "examples" / "dinghy.toml"
    sketch, loose = tmp_path / "sketch.toml", tmp_path / "loose.toml"
    sketch.write_text("format = 1\nsize = 4\n[wish]\ngivens = 4\n")
    loose.write_text("format = 1\nsize = 4\n")
    blank = tmp_path / "blank.json"
    blank.write_text("")
    places = {"blank": blank, "photo": photo, "new": new, "puzzle": puzzle, "sketch": sketch, "loose": loose}
    ran = saywhy(*(word.format(folder=tmp_path, **places) for word in words))
    assert ran.code == (1 if "{loose}" in words else 2)
    assert ran.out == "" or words[0] in {"repair", "trim"}
    assert said.replace("{{}}", "{}") in ran.err
    assert len(ran.err.splitlines()) == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["explain", "x", "--nudge", "1"], "give --from POSITION as well"),
        (["explain", "x", "--brief"], "give --reveal as well"),
        (["explain", "x", "--at", "r1c1", "--reveal"], "leave them out of --at and --from"),
        (["explain", "x", "--from", "y", "--certify"], "leave them out of --at and --from"),
        (["trim", "x", "--band", "a stroll", "--no-effort"], "give one of them"),
        (["trim", "x", "--wish", "pretty", "--only", "clues"], "nothing may go"),
        (["pack", "x", "-o", "y", "--folder", "z"], "give --shelf EPISODE as well"),
        (["pack", "x", "-o", "y", "--blind", "--rehearsed"], "contradict each other"),
        (["shelf", "air", "e1", "--on", "2026-12-01", "--pin", "--no-pin"], "contradict each other"),
        (["shelf", "recorded", "e1", "--rehearsed", "--blind"], "contradict each other"),
    ],
)
def test_options_that_do_not_go_together_are_refused_and_not_passed_over(
    saywhy: Command, words: list[str], said: str
) -> None:
    ran = saywhy(*words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["check", "x", "--seconds", "0"], "'0' is not a number above 0"),
        (["check", "x", "--seconds", "soon"], "'soon' is not a number above 0"),
        (["check", "x", "--seconds", "nan"], "'nan' is not a number above 0"),
        (["repair", "x", "--most", "0"], "'0' is not a whole number from 1 to 50"),
        (["plan", "--setter-rest", "-1"], "'-1' is not a whole number of 0 or more"),
        (["plan", "--work", "9000"], "'9000' is not a number from 0.1 to 600"),
        (["inbox", "x", "--memory", "1"], "no file is judged in less than 100 megabytes"),
    ],
)
def test_a_number_out_of_bounds_is_told_with_its_bounds(saywhy: Command, words: list[str], said: str) -> None:
    ran = saywhy(*words)
    assert ran.code == 2
    assert said in ran.err
