"""``saywhy shelf`` as a host uses it."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import click
import pytest

from saywhy import examples
from saywhy.cli import run
from saywhy.commands.shelf import command
from saywhy.engine import prove
from saywhy.files import read_text
from saywhy.shelf import Shelf
from tests.running import Command, runner
from tests.shelf.shelves import log, text

PAGE = (Path(__file__).parents[2] / "docs" / "shelf.md").read_text(encoding="utf-8")
PARTS = sorted(command.commands)
WORDS = ("--on", "2026-11-20", "--words", "Air it, with pleasure")


@pytest.fixture
def shelf(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> Command:
    """Give the command on a shelf of its own: ``shelf("add", file)``."""
    return runner(capfd, "shelf", "--folder", tmp_path / "kept")


@pytest.fixture
def tide(tmp_path: Path) -> Path:
    path = tmp_path / "low-tide.toml"
    path.write_text("# by post\n" + text())
    return path


@pytest.fixture
def solve(tmp_path: Path, tide: Path) -> Path:
    """A recording of it."""
    path = tmp_path / "solve.jsonl"
    from saywhy.files import puzzle_id

    path.write_bytes(log(puzzle_id(read_text(tide.read_text())[0])))
    return path


def test_from_the_post_to_the_air(shelf: Command, tide: Path, solve: Path) -> None:
    ran = shelf("add", tide)
    assert (ran.code, ran.err) == (0, "")
    assert re.fullmatch(r"p1: Low tide, oarlock, one solution, .+, may not air, not asked\n", ran.out)
    ran = shelf("air", "p1", "--on", "2026-12-01")
    assert ran.code == 2 and "p1 has no permission to air: not asked" in ran.err and "permit p1" in ran.err
    ran = shelf("permit", "p1", "granted", "--on", "2026-11-20")
    assert ran.code == 2 and "without words" in ran.err
    assert (
        shelf("permit", "low tide", "granted", *WORDS).out == "p1, Low tide: may air, granted on 2026-11-20\n"
    )
    ran = shelf("air", "p1", "--on", "2026-12-01T18:00+00:00", "--pin")
    assert ran.out == "e1  2026-12-01 18:00+00:00  Low tide (p1)  planned  pinned\n"
    assert shelf("air", "e1", "--on", "2026-12-04", "--no-pin").out.startswith("e1  2026-12-04  Low tide")
    ran = shelf("permit", "p1", "refused")
    assert ran.code == 2 and "p1 is planned to air on 2026-12-04: e1. Give --off-plan" in ran.err
    ran = shelf("recorded", "e1")
    assert ran.code == 2 and "--blind or --rehearsed" in ran.err
    ran = shelf("recorded", "e1", "--rehearsed", "--recording", solve)
    assert ran.code == 2 and "not rehearsed" in ran.err
    ran = shelf("recorded", "e1", "--recording", solve, "--review")
    assert (ran.code, ran.out.split()[-2:]) == (0, ["recorded", "blind"])
    assert shelf("published", "e1", "--link", "nowhere").code == 2
    assert shelf("published", "e1", "--link", "https://example.org/1").out.split()[-2:] == [
        "published",
        "blind",
    ]
    card = shelf("show", "e1").out
    for part in (
        "published, 2026-12-04",
        "https://example.org/1",
        "r1  p1, e1  2026-11-25 20:00  blind  0:30",
    ):
        assert part in card


def test_nothing_that_is_printed_spoils_unless_it_is_revealed(
    shelf: Command, tide: Path, solve: Path
) -> None:
    shelf("add", tide)
    shelf("keep", "p1", solve, "--review")
    shown = [
        *(shelf("show", name, *more).out for name in ("p1", "s1") for more in ((), ("--json",))),
        *(shelf("list", what, "--json").out for what in ("puzzles", "setters", "episodes", "recordings")),
        shelf("find", "low").out,
    ]
    for out in shown:
        assert not re.search(r"r[1-4]c[1-4]|givens =|\b[1-4]{4}\b(?!-)|\"digit\"", out), out
    assert shelf("file", "r1").code == 2
    solution = prove(read_text(tide.read_text())[0]).solution
    assert solution is not None
    rows = ["".join(map(str, solution[at : at + 4])) for at in range(0, 16, 4)]
    revealed = shelf("show", "p1", "--reveal").out
    assert all(f"\n{row}\n" in revealed for row in rows) and "# by post" in revealed
    assert shelf("show", "p1", "--reveal", "--json").json[0]["solution"] == rows


def test_the_folder_may_stand_before_or_behind(tide: Path, tmp_path: Path, shelf: Command) -> None:
    assert shelf("add", "--unjudged", tide, "--folder", tmp_path / "other").code == 0
    assert shelf("list").out == ""
    with Shelf(tmp_path / "other") as held:
        assert len(held.puzzles.all()) == 1


def test_a_file_that_is_here_already_is_told(shelf: Command, tide: Path) -> None:
    shelf("add", tide)
    ran = shelf("add", tide)
    assert (ran.code, ran.out) == (0, "") and "on the shelf already as p1" in ran.err
    assert shelf("add", "--json", tide).json == [{"file": str(tide), "already": 1}]
    assert len(shelf("list", "--json").json) == 1


def test_the_same_puzzle_turned_is_recognised(shelf: Command, tide: Path, tmp_path: Path) -> None:
    shelf("add", tide)
    turned = tmp_path / "turned.txt"
    turned.write_text("3.....4..2.....1"[::-1].translate(str.maketrans("1234", "2143")) + "\n")
    rows = ["1...", "..4.", ".2..", "...3"]
    mirrored = "".join(row[::-1] for row in rows)
    turned.write_text(mirrored + "\n")
    ran = shelf("add", turned, "--setter", "quayside-jo")
    assert ran.code == 0 and ran.out.strip().endswith("the same puzzle as p1")
    assert "the same as" in shelf("show", "p2").out


def test_files_that_do_not_read_are_told_and_the_others_come(
    shelf: Command, tide: Path, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text("format = 1\nsize = 4\ncolour = 3\n")
    lines = tmp_path / "heap.txt"
    lines.write_text("1.....4..2.....3\n12345\n11..............\n")
    ran = shelf("add", bad, tide, lines, "--json")
    assert ran.code == 2
    assert [("error" in held, held.get("verdict")) for held in ran.json] == [
        (True, None),
        (False, "unique"),
        (False, None),  # the first line is that puzzle again
        (True, None),
        (False, "none"),
    ]
    assert shelf("add", lines).code == 2
    assert shelf("judge", "p2").code == 1


def test_many_puzzles_of_a_setter_may_air_by_one_word(shelf: Command, tide: Path) -> None:
    shelf("add", tide, "--unjudged")
    shelf("permit", "oarlock", "granted", *WORDS)
    [held] = shelf("list", "--may-air", "--json").json
    assert (held["id"], held["permission"], held["cleared"], held["verdict"]) == (1, "not-asked", True, None)
    assert "by the setter's standing permission" in shelf("list").out
    assert shelf("list", "--permission", "granted").out == ""


def test_a_removal_asks_and_can_be_taken_back(shelf: Command, tide: Path) -> None:
    shelf("add", tide)
    ran = shelf("remove", "p1")
    assert ran.code == 2 and "--yes" in ran.err
    assert shelf("remove", "p1", "--yes").out == "p1 is off the shelf. saywhy shelf undo brings it back.\n"
    assert shelf("list").out == ""
    assert shelf("undo", "--list", "--json").json[0]["words"] == "Low tide was removed"
    assert shelf("undo").out == "Taken back: Low tide was removed.\n"
    assert len(shelf("list", "--json").json) == 1
    assert shelf("undo", "--json").json[0]["taken_back"]["words"] == "Low tide was put on the shelf"
    assert shelf("undo", "--json").json == [{"taken_back": None}]


@pytest.mark.skipif(not hasattr(os, "openpty"), reason="needs a terminal to ask at")
@pytest.mark.parametrize(("answer", "left"), [("n", 1), ("y", 0)])
def test_at_a_terminal_the_answer_counts(
    shelf: Command, tide: Path, tmp_path: Path, answer: str, left: int
) -> None:
    shelf("add", tide, "--unjudged")
    master, slave = os.openpty()
    asked = [sys.executable, "-m", "saywhy", "shelf", "--folder", str(tmp_path / "kept"), "remove", "p1"]
    with subprocess.Popen(asked, stdin=slave, stdout=slave, stderr=slave) as process:
        os.write(master, f"{answer}\n".encode())
        assert process.wait(timeout=60) == (130 if left else 0)
    os.close(master)
    os.close(slave)
    assert len(shelf("list", "--json").json) == left


def test_names_that_mean_two_things_are_told(shelf: Command, tide: Path, tmp_path: Path) -> None:
    shelf("add", tide, "--unjudged")
    other = tmp_path / "other.toml"
    other.write_text(text(last=1))
    shelf("add", other, "--unjudged")
    ran = shelf("show", "low tide")
    assert ran.code == 2 and "2 things are called 'low tide': p1, p2" in ran.err
    assert "Perhaps it is" in shelf("show", "low").err
    assert "e1 names an episode. Name a puzzle (p1)." in shelf("judge", "e1").err
    assert "no puzzle p77" in shelf("show", "p77").err
    assert shelf("show", "p" + "7" * 5000).code == 2


def test_what_is_known_is_changed_field_by_field(shelf: Command, tide: Path) -> None:
    shelf("add", tide, "--unjudged", "--licence", "CC BY 4.0")
    shelf("setter", "oarlock", "--contact", "oar@example.org", "--called", "Oar")
    [held] = shelf("show", "Oar", "--json").json
    assert (held["kind"], held["id"], held["contact"]) == ("setter", 1, "oar@example.org")
    shelf("note", "p1", "--title", "Lowest tide", "--setter", "bowline")
    [held] = shelf("show", "p1", "--json").json
    assert (held["title"], held["credit"], held["licence"]) == ("Lowest tide", "bowline", "CC BY 4.0")
    shelf("note", "p1", "--setter", "")
    assert shelf("show", "p1", "--json").json[0]["credit"] is None
    ran = shelf("note", "p1", "--link", "https://example.org")
    assert ran.code == 2 and "a puzzle has no link" in ran.err


def test_a_mended_file_takes_the_place_of_the_first(shelf: Command, tide: Path, tmp_path: Path) -> None:
    tide.write_text("format = 1\ntitle = 'Low tide'\nsize = 4\n")
    assert shelf("add", tide).code == 1
    tide.write_text(text())
    ran = shelf("mend", "p1", tide)
    assert ran.code == 0 and "one solution" in ran.out
    assert shelf("file", "p1", "-o", tmp_path / "out.toml").code == 0
    assert (tmp_path / "out.toml").read_text() == text()
    assert shelf("file", "p1", "-o", tmp_path / "out.toml").code == 2  # nothing is written over


def test_copies_and_the_way_back(shelf: Command, tide: Path, tmp_path: Path) -> None:
    shelf("add", tide, "--unjudged")
    assert shelf("export", tmp_path / "out", "--json").json[0]["puzzle"] == 1
    assert shelf("backup", tmp_path / "b.sqlite").out.endswith("checked\n")
    assert shelf("import", tmp_path / "out").code == 2
    shelf("remove", "p1", "--yes")
    assert shelf("restore", tmp_path / "b.sqlite").code == 2
    assert "before-" in shelf("restore", tmp_path / "b.sqlite", "--yes").out
    assert len(shelf("list", "--json").json) == 1
    other = ["shelf", "--folder", str(tmp_path / "other")]
    assert run([*other, "import", str(tmp_path / "out")]) == 0
    with Shelf(tmp_path / "other") as held:
        assert held.puzzles.get(1).text == tide.read_text()


def test_a_setters_data_is_given_and_erased(shelf: Command, tide: Path, tmp_path: Path) -> None:
    shelf("add", tide, "--unjudged")
    shelf("backup", tmp_path / "b.sqlite")
    assert json.loads(shelf("personal", "oarlock").out)["setter"]["credit"] == "oarlock"
    assert shelf("erase", "oarlock", "--puzzles", "stay").code == 2
    ran = shelf("erase", "oarlock", "--puzzles", "stay", "--yes")
    assert ran.out.startswith("Erased. 1 puzzle stayed without a name.")
    assert "b.sqlite" in ran.out
    assert shelf("list", "setters").out == ""


def test_a_desk_on_the_same_folder_is_erased_too_or_told(shelf: Command, tide: Path, tmp_path: Path) -> None:
    from saywhy.desk.store import Store

    shelf("add", tide, "--unjudged")
    store = Store(tmp_path / "kept")
    key = store.keep_puzzle(read_text(text())[0])
    ran = shelf("erase", "oarlock", "--puzzles", "go", "--yes")
    assert ran.code == 2 and "Close the desk" in ran.err
    store.close()
    assert shelf("erase", "oarlock", "--puzzles", "go", "--yes").code == 0
    store = Store(tmp_path / "kept")
    kept = store.puzzle(key)
    assert kept is not None and kept.setter == "" and "oarlock" not in kept.text
    store.close()
    assert not [
        path for path in (tmp_path / "kept").rglob("*") if path.is_file() and b"oarlock" in path.read_bytes()
    ]


def test_hostile_texts_do_not_reach_the_terminal(shelf: Command, tide: Path) -> None:
    shelf("add", tide, "--unjudged")
    for given in (
        ("note", "p1", "--title", "\x1b[31mred"),
        ("setter", "\x1b]0;title\x07"),
        ("show", "\x1b[2J"),
    ):
        ran = shelf(*given)
        assert ran.code == 2 and "\x1b" not in ran.out + ran.err


@pytest.mark.parametrize("name", PARTS)
def test_every_part_and_option_has_its_help_and_stands_on_the_page(shelf: Command, name: str) -> None:
    held = command.commands[name]
    [row] = re.findall(rf"^\| `{name}[ `].*$", PAGE, re.MULTILINE)
    for parameter in held.params:
        if isinstance(parameter, click.Option) and not parameter.hidden:
            assert parameter.help, parameter.name
            if parameter.name != "as_json":
                assert all(option in row for option in (*parameter.opts, *parameter.secondary_opts)), (
                    parameter.name
                )
    assert {"as_json"} <= {parameter.name for parameter in held.params}
    known = {option for parameter in held.params for option in (*parameter.opts, *parameter.secondary_opts)}
    assert set(re.findall(r"(?<![\w-])--?[a-z][a-z-]*", row)) <= known
    ran = shelf(name, "--help")
    assert ran.code == 0 and " ".join((held.help or "").split())[:50] in " ".join(ran.out.split())


def test_every_key_that_json_holds_stands_on_the_page(shelf: Command, tide: Path, solve: Path) -> None:
    shelf("add", tide, "--granted", "2026-11-20", "--words", "Yes")
    printed = [
        *shelf("air", "p1", "--on", "2026-12-01", "--json").json,
        *shelf("keep", "p1", solve, "--json").json,
        *shelf("show", "p1", "--json", "--reveal").json,
        *shelf("show", "s1", "--json").json,
        *shelf("judge", "p1", "--json").json,
        *shelf("find", "low", "--json").json,
        *shelf("undo", "--list", "--json").json,
        *shelf("backup", tide.with_name("b.sqlite"), "--json").json,
        *shelf("restore", tide.with_name("b.sqlite"), "--yes", "--json").json,
        *shelf("export", tide.with_name("out"), "--json").json,
        *shelf("remove", "e1", "--yes", "--json").json,
        *shelf("undo", "--json").json,
        *shelf("erase", "s1", "--puzzles", "stay", "--yes", "--json").json,
        *shelf("add", tide, "--json").json,
    ]
    assert {key for held in printed for key in held if f"`{key}`" not in PAGE} == set()


def test_the_python_of_the_page_runs(tmp_path: Path) -> None:
    [block] = re.findall(r"^```python\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
    shutil.copytree(examples.folder(), tmp_path / "examples")
    ran = subprocess.run(
        [sys.executable, "-c", block], cwd=tmp_path, capture_output=True, text=True, check=False
    )
    assert (ran.stdout, ran.stderr) == ("oarlock\n", "")


@pytest.mark.parametrize(
    ("words", "mend"),
    [
        (["show", "p1"], "put one there with saywhy shelf add FILE"),
        (["show", "Low tide"], "put one there with saywhy shelf add FILE"),
        (["show", "s3"], "add one with saywhy shelf setter NAME"),
        (["recorded", "e2"], "plan one with saywhy shelf air PUZZLE --on DAY"),
        (["file", "r1"], "keep one with saywhy shelf keep PUZZLE RECORDING"),
        (["list"], "put one there with saywhy shelf add FILE"),
        (["list", "setters"], "add one with saywhy shelf setter NAME"),
        (["list", "episodes"], "plan one with saywhy shelf air PUZZLE --on DAY"),
        (["judge"], "put one there with saywhy shelf add FILE"),
    ],
)
def test_an_empty_shelf_says_how_the_first_of_a_kind_comes_there(
    shelf: Command, tide: Path, words: list[str], mend: str
) -> None:
    assert mend in shelf(*words).err
    shelf("add", tide)
    shelf("permit", "p1", "granted", *WORDS)
    shelf("air", "p1", "--on", "2026-12-01")
    if words[-1] not in ("r1", "p1", "Low tide"):
        assert mend not in shelf(*words).err


def test_a_number_that_nothing_has_is_told_with_the_list_that_names_the_others(
    shelf: Command, tide: Path
) -> None:
    shelf("add", tide)
    assert shelf("show", "p9").err == (
        "shelf: there is no puzzle p9 on the shelf. saywhy shelf list names those that are there.\n"
    )
    assert "saywhy shelf list setters names those that are there" in shelf("show", "s9").err
    assert "on the shelf already as p1; nothing was changed" in shelf("add", tide).err
    assert "Every puzzle on the shelf has been judged" in shelf("judge").err


def test_what_cannot_be_restored_is_told_before_anybody_is_asked(shelf: Command, tmp_path: Path) -> None:
    ran = shelf("restore", tmp_path / "nothing.sqlite")
    assert (ran.code, ran.err) == (
        2,
        f"{tmp_path / 'nothing.sqlite'}: there is no such file. Name a backup.\n",
    )
    shelf("backup", tmp_path / "copy.sqlite")
    ran = shelf("restore", tmp_path / "copy.sqlite")
    assert ran.code == 2 and "nobody sits at the terminal to answer: Put " in ran.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["add", "{tide}", "--received", "soon"], "shelf: --received: 'soon' is not a day"),
        (["add", "{tide}", "--granted", "soon", "--words", "Yes"], "shelf: --granted: 'soon' is not a day"),
        (["add", "{tide}", "--granted", "2026-11-20"], "shelf: --words: permission is granted without words"),
        (["setter", "oarlock", "--credit", ""], "shelf: --credit: the credit is empty"),
    ],
)
def test_what_is_wrong_is_told_by_the_option_that_gave_it(
    shelf: Command, tide: Path, words: list[str], said: str
) -> None:
    ran = shelf(*(word.format(tide=tide) for word in words))
    assert ran.code == 2 and said in ran.err


def test_a_recording_of_another_puzzle_is_told_by_its_file(shelf: Command, tide: Path, solve: Path) -> None:
    assert shelf("add", examples.path("dinghy"), "--no-effort").code == 0
    ran = shelf("keep", "p1", solve)
    assert ran.code == 2 and ran.err.startswith(
        f"{solve}: line 1; puzzle: the recording is of another puzzle"
    )
