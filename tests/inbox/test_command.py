"""``saywhy inbox`` as a host runs it."""

from __future__ import annotations

import csv
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from saywhy import examples
from saywhy.errors import NotAllowedError
from saywhy.files import read, write
from saywhy.inbox.journal import Journal
from saywhy.shelf.shelf import Shelf
from tests.cli.conftest import saywhy  # noqa: F401 - a fixture
from tests.inbox.hostile import HOSTILE
from tests.inbox.test_pool import UNIQUE
from tests.running import Command
from tests.sameness.disguise import disguised

CELL = re.compile(r"\br\d+c\d+\b")


@pytest.fixture
def post(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give a folder of post: fit ones, the same again, several solutions, none, to mend."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    folder = tmp_path / "post"
    folder.mkdir()
    named = replace(UNIQUE, title="Dinghy dock", setter="bowline")
    dinghy = read(examples.folder() / "dinghy.toml")[0]
    held = {
        "01.toml": named,
        "02.toml": replace(disguised(named, 5), title="Mine", setter="oarlock"),
        "03.toml": replace(disguised(named, 7), title="Once more", setter="Bowline"),
        "04.toml": replace(named, givens=(1, *[0] * 15), title="=Open water"),
        "05.toml": replace(named, givens=(1, 1, *[0] * 14), title="Fog"),
        "06.toml": dinghy,
    }
    for name, puzzle in held.items():
        (folder / name).write_text(write(puzzle), encoding="utf-8")
    (folder / "07.toml").write_bytes(HOSTILE[14])
    return folder


def test_the_whole_post_is_judged_and_each_setter_has_a_letter(post: Path, saywhy: Command) -> None:  # noqa: F811
    ran = saywhy("inbox", str(post), "--workers", "2", "--seconds", "20")
    assert ran.code == 2  # the worst counts, as everywhere: one file does not read
    assert "7 puzzles in " in ran.err
    assert "4 exactly one solution, 1 more than one solution, 1 no solution, 1 to mend" in ran.out
    assert "02.toml\toarlock\texactly one solution" in ran.out
    assert "the same puzzle as 01.toml; settle first whose it is: no letter" in ran.out
    assert "3 letters held back" in ran.out
    assert "\x1b" not in ran.out
    assert not CELL.search(ran.out)
    output = post.with_name("post-judged")
    letters = sorted(path.name for path in (output / "letters").iterdir())
    assert letters == ["06.toml.txt", "07.toml.txt"]
    assert sorted(path.name for path in (output / "spoilers").iterdir()) == ["04.toml.txt", "05.toml.txt"]
    assert all(not CELL.search(path.read_text()) for path in (output / "letters").iterdir())
    assert all(CELL.search(path.read_text()) for path in (output / "spoilers").iterdir())
    for name in ("table.csv", "table.json", "journal.jsonl"):
        assert not CELL.search((output / name).read_text(encoding="utf-8"))
    with (output / "table.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["same_as"] for row in rows] == ["", "01.toml", "01.toml", "", "", "", ""]
    assert rows[3]["title"] == "'=Open water"
    assert rows[5]["band"]
    assert rows[6]["problems"].startswith("line 9; title: the text holds a control or direction character")
    told = json.loads((output / "table.json").read_bytes())
    assert told[3]["title"] == "=Open water"
    assert [row["file"] for row in told] == [row["file"] for row in rows]


def test_a_second_run_judges_nothing_again_but_what_has_changed(post: Path, saywhy: Command) -> None:  # noqa: F811
    first = saywhy("inbox", str(post), "--no-effort", "--json")
    assert [row["verdict"] for row in first.json] == ["unique"] * 3 + ["many", "none", "unique", "unreadable"]
    second = saywhy("inbox", str(post), "--no-effort", "--json")
    assert "7 judged by an earlier run" in second.err
    assert [{**row, "seconds": 0} for row in second.json] == [{**row, "seconds": 0} for row in first.json]
    (post / "05.toml").write_text(write(replace(UNIQUE, title="Fog, mended")))
    (post / "06.toml").unlink()
    third = saywhy("inbox", str(post), "--no-effort", "--json")
    assert "5 judged by an earlier run; 1 judged before and now again" in third.err
    assert [row["verdict"] for row in third.json] == ["unique"] * 3 + ["many", "unique", "unreadable"]
    assert third.json[4]["same_as"] == "01.toml"
    assert not (post.with_name("post-judged") / "letters" / "06.toml.txt").exists()


def test_the_fit_ones_go_on_the_shelf_once(post: Path, saywhy: Command, tmp_path: Path) -> None:  # noqa: F811
    host = tmp_path / "host"
    told = ("inbox", str(post), "--no-effort", "--folder", str(host))
    assert "on the shelf" not in saywhy(*told).out
    assert not host.exists()
    assert "2 put on the shelf" in saywhy(*told, "--shelf").out
    again = saywhy(*told, "--shelf")
    assert "0 put on the shelf" in again.out
    assert "on the shelf already: Dinghy dock by bowline" in again.out
    with Shelf(host) as shelf:
        held = shelf.puzzles.all()
        assert sorted(puzzle.title for puzzle in held) == ["Dinghy", "Dinghy dock"]
        assert {puzzle.verdict for puzzle in held} == {"unique"}
        assert {puzzle.source for puzzle in held} == {"01.toml", "06.toml"}
        shelf.undo()
        assert shelf.puzzles.all() == []


def test_rows_are_shown_up_to_a_number(post: Path, saywhy: Command) -> None:  # noqa: F811
    ran = saywhy("inbox", str(post), "--no-effort", "--rows", "2")
    assert "02.toml" in ran.out
    assert "03.toml\t" not in ran.out
    assert "... and 5 more" in ran.out


def test_the_folder_that_one_stands_in_is_judged_too(
    post: Path,
    saywhy: Command,  # noqa: F811
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(post)
    assert saywhy("inbox", ".", "--no-effort", "--rows", "0").code == 2
    assert (post.with_name("post-judged") / "table.csv").exists()


def test_a_folder_that_is_not_there_or_is_in_use_is_told(post: Path, saywhy: Command) -> None:  # noqa: F811
    ran = saywhy("inbox", str(post / "nowhere"))
    assert ran.code == 2
    assert "there is no such folder" in ran.err
    ran = saywhy("inbox", str(post), "--output", str(post / "."))
    assert ran.code == 2
    assert "would lie among the post" in ran.err
    with Journal(post.with_name("post-judged")):
        ran = saywhy("inbox", str(post))
    assert ran.code == 2
    assert "another run is judging into this folder" in ran.err


@pytest.mark.parametrize("address", ["nowhere", "tcp://nowhere", "tcp://here:port", "here:99999"])
def test_what_is_no_address_of_a_cluster_is_told_at_once(address: str) -> None:
    pytest.importorskip("distributed")
    from saywhy.inbox.cluster import ClusterPool

    with pytest.raises(NotAllowedError, match="has a machine and a port"):
        ClusterPool(address)
