"""What the desk keeps."""

from __future__ import annotations

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from saywhy.desk.store import Store
from saywhy.errors import NotAllowedError
from tests.desk.desks import harbour


def test_puzzles_and_recordings_outlive_the_desk(tmp_path: Path) -> None:
    store = Store(tmp_path)
    key = store.keep_puzzle(harbour())
    kept = store.puzzle(key)
    assert kept is not None and kept.puzzle == harbour()
    recording = store.begin_recording(kept, blind=True)
    store.close()
    again = Store(tmp_path)
    assert [held.key for held in again.puzzles()] == [key]
    assert [(held.key, held.blind, held.title) for held in again.all_recordings(key)] == [
        (recording, True, "Harbour lights")
    ]
    assert again.read_recording(recording).header.blind
    again.close()


def test_a_recording_keeps_the_puzzle_as_it_was_solved(tmp_path: Path) -> None:
    store = Store(tmp_path)
    key = store.keep_puzzle(harbour())
    kept = store.puzzle(key)
    assert kept is not None
    recording = store.begin_recording(kept, blind=False)
    store.drop_puzzle(key)
    held = store.recording(recording)
    assert held is not None and held.text == kept.text
    store.close()


def test_a_second_desk_on_the_folder_is_refused(tmp_path: Path) -> None:
    store = Store(tmp_path)
    with pytest.raises(NotAllowedError, match="another desk is open"):
        Store(tmp_path)
    store.close()
    Store(tmp_path).close()


def test_a_folder_of_a_later_version_is_left_alone(tmp_path: Path) -> None:
    Store(tmp_path).close()
    with sqlite3.connect(tmp_path / "desk.sqlite") as base:
        base.execute("PRAGMA user_version = 99")
    base.close()
    with pytest.raises(NotAllowedError, match="later version"):
        Store(tmp_path)


@pytest.mark.parametrize("key", ["", "..", "../x", "a" * 13, "A" * 12, "aaaaaaaaaaa/", "aaaaaaaaaaaa\n"])
def test_a_key_names_no_file_outside(tmp_path: Path, key: str) -> None:
    store = Store(tmp_path)
    with pytest.raises(ValueError, match="not the key"):
        store.file(key)
    store.close()


def test_many_hands_at_once_lose_nothing(tmp_path: Path) -> None:
    store = Store(tmp_path)

    def work(_: int) -> int:
        key = store.keep_puzzle(harbour())
        assert store.puzzle(key) is not None
        return len(store.puzzles())

    with ThreadPoolExecutor(8) as hands:
        counts = list(hands.map(work, range(40)))
    assert max(counts) == len(store.puzzles()) == 40
    store.close()


def test_the_folder_is_its_owners_alone(tmp_path: Path) -> None:
    store = Store(tmp_path / "desk")
    kept = store.puzzle(store.keep_puzzle(harbour()))
    assert kept is not None
    file = store.file(store.begin_recording(kept, blind=True))
    assert file.stat().st_mode & 0o077 == 0
    assert (tmp_path / "desk" / "recordings").stat().st_mode & 0o077 == 0
    store.close()
