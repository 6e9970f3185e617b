"""Whatever lies in a folder arrives, and nothing in it does harm."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from saywhy.inbox.arrivals import HEAD, JOURNAL, arrivals
from saywhy.inbox.judgement import Limits
from saywhy.inbox.judging import judge
from tests.inbox.hostile import HOSTILE

PUZZLE = "1.....4..2.....3"


def test_files_come_in_order_with_each_line_of_puzzles_as_one(tmp_path: Path) -> None:
    (tmp_path / "b").mkdir()
    (tmp_path / "b" / "one.txt").write_text(f"# of monday\n{PUZZLE}\n\n{PUZZLE} hard\nnonsense\n")
    (tmp_path / "a.toml").write_text("format = 9\n")
    (tmp_path / ".hidden").write_text("x")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "table.csv").write_text("x")
    (tmp_path / "out" / JOURNAL).write_bytes(HEAD)
    (tmp_path / "z").mkdir()
    (tmp_path / "z" / JOURNAL).write_text("no journal of ours\n")
    found = list(arrivals(tmp_path))
    assert [held.name for held in found] == [
        "a.toml",
        "b/one.txt:2",
        "b/one.txt:4",
        "b/one.txt:5",
        "z/journal.jsonl:1",
    ]
    assert found[1].digest == found[2].digest
    verdicts = [judge(held, Limits(effort=False)).verdict for held in found]
    assert verdicts == ["unreadable", "unique", "unique", "unreadable", "unreadable"]


@pytest.mark.skipif(os.name == "nt", reason="needs links and pipes")
def test_links_pipes_and_odd_names_are_told_and_not_followed(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "within").mkdir()
    os.mkfifo(tmp_path / "within" / JOURNAL)
    (tmp_path / "link.toml").symlink_to("/etc/hostname")
    (tmp_path / "loop").symlink_to(tmp_path)
    (tmp_path / "new\nline\x1b[2J.txt").write_text(PUZZLE)
    (tmp_path / os.fsdecode(b"\xff\xfe.txt")).write_text(PUZZLE)
    found = {held.file: held for held in arrivals(tmp_path)}
    assert set(found) == {
        "within/journal.jsonl",
        "pipe",
        "link.toml",
        "new\nline\x1b[2J.txt",
        "\\xff\\xfe.txt",
    }
    assert "no file" in found["pipe"].problems[0].what
    assert "no file" in found["link.toml"].problems[0].what


@pytest.mark.parametrize("number", range(len(HOSTILE)))
def test_a_hostile_file_is_told_what_to_mend(number: int, tmp_path: Path) -> None:
    for name in ("post.toml", "post.txt"):
        (tmp_path / name).write_bytes(HOSTILE[number])
        [held, *_] = arrivals(tmp_path)
        judged = judge(held, Limits(seconds=5))
        assert judged.verdict == "unreadable"
        assert judged.problems
        assert all(problem.what and problem.mend for problem in judged.problems)
        (tmp_path / name).unlink()


def test_a_long_file_of_rubbish_is_left_alone_after_a_while(tmp_path: Path) -> None:
    (tmp_path / "rubbish.txt").write_text(f"{'x' * 81}\n" * 100_000)
    found = list(arrivals(tmp_path))
    assert 1 < len(found) < 100
    assert "the rest was left alone" in found[-1].problems[0].what
