"""What was judged is on disk before it counts, whatever ends the run."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest

from saywhy.errors import NotAllowedError, UnreadableError
from saywhy.inbox.arrivals import HEAD, JOURNAL
from saywhy.inbox.journal import Journal
from saywhy.inbox.judgement import Arrival, Judgement, Limits, Spoils, seal
from saywhy.inbox.judging import MADE
from saywhy.inbox.run import holds


def judgement(file: str, **more: object) -> Judgement:
    held = Judgement(file=file, line=None, digest="d", verdict="unique", made=MADE)
    return msgspec.structs.replace(held, **more)


def test_a_journal_gives_back_what_it_kept(tmp_path: Path) -> None:
    spoils = seal(Spoils(differ=("r1c1: 1 or 2",)))
    kept = [judgement("a"), judgement("b", verdict="many", sealed=spoils), judgement("a", why="again")]
    with Journal(tmp_path) as journal:
        for held in kept:
            journal.keep(held)
    with Journal(tmp_path) as journal:
        assert len(journal) == 2
        assert journal.get("a", None) == kept[2]
        assert journal.get("b", None) == kept[1]
        assert kept[1].spoils.differ == ("r1c1: 1 or 2",)
    assert b"r1c1" not in (tmp_path / JOURNAL).read_bytes()


def test_a_kill_at_any_byte_loses_the_torn_judgement_alone(tmp_path: Path) -> None:
    with Journal(tmp_path) as journal:
        journal.keep(judgement("a"))
        before = (tmp_path / JOURNAL).stat().st_size
        journal.keep(judgement("b"))
    whole = (tmp_path / JOURNAL).read_bytes()
    for cut in range(before, len(whole)):
        (tmp_path / JOURNAL).write_bytes(whole[:cut])
        with Journal(tmp_path) as journal:
            assert journal.torn == cut - before
            assert [held.file for held in journal] == ["a"]
            journal.keep(judgement("b"))
        assert (tmp_path / JOURNAL).read_bytes() == whole


def test_a_kill_while_a_journal_begins_is_no_harm(tmp_path: Path) -> None:
    for cut in range(len(HEAD) + 1):
        (tmp_path / JOURNAL).write_bytes(HEAD[:cut])
        with Journal(tmp_path) as journal:
            assert len(journal) == 0
            journal.keep(judgement("a"))
        with Journal(tmp_path) as journal:
            assert len(journal) == 1


def test_a_line_that_does_not_read_is_counted_and_the_others_hold(tmp_path: Path) -> None:
    with Journal(tmp_path) as journal:
        journal.keep(judgement("a"))
    with (tmp_path / JOURNAL).open("ab") as file:
        file.write(b'{"file": 7}\nnothing\n')
    with Journal(tmp_path) as journal:
        assert (journal.spoilt, journal.torn, len(journal)) == (2, 0, 1)


def test_two_runs_cannot_hold_one_journal(tmp_path: Path) -> None:
    with Journal(tmp_path), pytest.raises(NotAllowedError, match="another run"):
        Journal(tmp_path)
    with Journal(tmp_path):
        pass


def test_a_file_that_is_no_journal_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / JOURNAL).write_text("my diary\n")
    with pytest.raises(NotAllowedError, match="no journal"):
        Journal(tmp_path)
    assert (tmp_path / JOURNAL).read_text() == "my diary\n"


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(UnreadableError, match="cannot be written"):
        Journal(tmp_path / "file" / "within")


def test_a_judgement_holds_until_the_file_or_what_it_may_take_changes() -> None:
    arrival = Arrival(file="a", line=None, data=b"", digest="d")
    limits = Limits(seconds=10)
    more = Limits(seconds=20)
    done = judgement("a", limits=limits, effort={"band": "a stroll"})
    assert holds(done, arrival, limits)
    assert holds(done, arrival, more)
    assert not holds(msgspec.structs.replace(done, digest="e"), arrival, limits)
    assert not holds(msgspec.structs.replace(done, made="another release"), arrival, limits)
    undecided = judgement("a", verdict="undecided", limits=limits)
    assert holds(undecided, arrival, limits)
    assert holds(undecided, arrival, Limits(seconds=5))
    assert not holds(undecided, arrival, more)
    bare = judgement("a", limits=Limits(seconds=10, effort=False))
    assert holds(bare, arrival, Limits(seconds=10, effort=False))
    assert not holds(bare, arrival, limits)
    stuck = judgement("a", limits=limits)
    assert holds(stuck, arrival, limits)
    assert not holds(stuck, arrival, more)
