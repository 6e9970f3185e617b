"""Backups while the shelf is used, and the way back."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from saywhy.errors import NotAllowedError, UnreadableError
from saywhy.shelf import Shelf, ShelfEpisode
from saywhy.shelf.backups import backup, copies, restore
from tests.shelf.shelves import picture, sound, text


def test_a_backup_made_while_others_write_is_whole(tmp_path: Path) -> None:
    """Each deed puts a puzzle and an episode there: counts would tell a backup of half a deed."""
    folder = tmp_path / "shelf"
    stop = threading.Event()

    def write() -> None:
        with Shelf(folder) as shelf:
            number = 0
            while not stop.is_set():
                number += 1
                with shelf.deed("one more"):
                    held = shelf.puzzles.add(text(f"Tide {number}"))
                    shelf.episodes.record_unplanned(held.id, "blind")

    writer = threading.Thread(target=write)
    with Shelf(folder) as shelf:
        writer.start()
        try:
            for number in range(6):
                assert backup(shelf, tmp_path / f"b{number}.sqlite") > 0
        finally:
            stop.set()
            writer.join()
        after = picture(shelf)
    seen = []
    for number in range(6):
        (tmp_path / f"open{number}").mkdir()
        (tmp_path / f"b{number}.sqlite").rename(tmp_path / f"open{number}" / "shelf.sqlite")
        with Shelf(tmp_path / f"open{number}") as copy:
            sound(copy)
            held = picture(copy)
        many = len(held["puzzle"])
        assert len(held["episode"]) == many
        assert held["puzzle"] == after["puzzle"][:many]
        seen.append(many)
    assert seen == sorted(seen) and seen[-1] > 0


def test_a_backup_is_its_owners_alone_and_writes_over_nothing(
    tmp_path: Path, planned: ShelfEpisode, shelf: Shelf
) -> None:
    file = tmp_path / "monday.sqlite"
    backup(shelf, file)
    assert file.stat().st_mode & 0o077 == 0
    held = file.read_bytes()
    with pytest.raises(NotAllowedError, match="there is a file of this name"):
        backup(shelf, file)
    assert file.read_bytes() == held
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []
    assert [Path(copy.path) for copy in copies(shelf)] == [file]


def test_a_backup_that_cannot_be_written_is_no_copy(tmp_path: Path, shelf: Shelf) -> None:
    with pytest.raises(NotAllowedError, match="cannot be written"):
        backup(shelf, tmp_path / "nowhere" / "monday.sqlite")
    assert copies(shelf) == []


def test_a_backup_comes_back_and_what_was_there_is_kept(
    tmp_path: Path, planned: ShelfEpisode, shelf: Shelf
) -> None:
    before = picture(shelf)
    backup(shelf, tmp_path / "monday.sqlite")
    shelf.puzzles.add(text("Ebb", "bowline"))
    changed = picture(shelf)
    backup(shelf, tmp_path / "tuesday.sqlite")
    kept = restore(shelf, tmp_path / "monday.sqlite")
    assert picture(shelf) == before
    sound(shelf)
    assert {Path(copy.path).name for copy in copies(shelf)} == {"monday.sqlite", "tuesday.sqlite", kept.name}
    restore(shelf, kept)
    assert picture(shelf) == changed
    assert shelf.puzzles.add(text("Flood")).id == 3


@pytest.mark.parametrize("what", ["nothing", "text", "other", "torn", "later"])
def test_only_a_sound_backup_is_put_in_place(
    tmp_path: Path, planned: ShelfEpisode, shelf: Shelf, what: str
) -> None:
    file = tmp_path / "monday.sqlite"
    backup(shelf, file)
    if what == "nothing":
        file.unlink()
    elif what == "text":
        file.write_text("a list of things to buy\n" * 500)
    elif what == "other":
        file.unlink()
        with closing(sqlite3.connect(file)) as base:
            base.execute("CREATE TABLE fish (name TEXT)")
    elif what == "torn":
        data = bytearray(file.read_bytes())
        for at in range(4096 * 6 + 200, 4096 * 8):
            data[at] ^= 0x5A
        file.write_bytes(data)
    else:
        with closing(sqlite3.connect(file)) as base:
            base.execute("PRAGMA user_version = 99")
    before = picture(shelf)
    with pytest.raises((UnreadableError, NotAllowedError)) as caught:
        restore(shelf, file)
    assert caught.value.problems[0].mend
    assert picture(shelf) == before
