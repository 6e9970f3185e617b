"""One writer at a time, others told so; a writer that is killed loses nothing that it acknowledged."""

from __future__ import annotations

import os
import random
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from saywhy.errors import NotAllowedError, UnreadableError
from saywhy.shelf import Shelf
from tests.shelf.killing import kill_again_and_again
from tests.shelf.shelves import picture, sound, text


def test_a_killed_writer_loses_nothing_that_it_acknowledged(tmp_path: Path) -> None:
    """``python -m tests.shelf.kills`` does the same 200 times."""
    seed = random.SystemRandom().randrange(10**6)
    report = kill_again_and_again(tmp_path, 30, seed)
    assert report.wrong == [], f"seed {seed}"
    assert report.kills == 30
    assert report.deeds > 10, "the writers did too little to be killed at it"


def test_a_second_writer_is_told_who_writes(tmp_path: Path) -> None:
    with Shelf(tmp_path) as one, Shelf(tmp_path, wait_s=0.2) as other:
        with one.deed("a long letter"):
            one.puzzles.add(text("Ebb"))
            with pytest.raises(
                NotAllowedError, match=f"writing to the shelf for 0.2 s .process {os.getpid()}"
            ):
                other.puzzles.add(text("Flood"))
            assert other.puzzles.all() == []  # reading goes on, and sees nothing that is not done
        assert [held.title for held in other.puzzles.all()] == ["Ebb"]
        other.puzzles.add(text("Flood"))
        assert len(one.puzzles.all()) == 2


def test_a_writer_that_never_stops_lets_another_one_in(tmp_path: Path) -> None:
    stop = threading.Event()

    def write() -> None:
        with Shelf(tmp_path) as shelf:
            number = 0
            while not stop.is_set():
                number += 1
                shelf.setters.add(f"setter {number}")

    writer = threading.Thread(target=write)
    writer.start()
    try:
        with Shelf(tmp_path, wait_s=20) as shelf:
            for number in range(5):
                shelf.puzzles.add(text(f"Tide {number}", ""))
    finally:
        stop.set()
        writer.join()
    with Shelf(tmp_path) as shelf:
        assert len(shelf.puzzles.all()) == 5
        sound(shelf)


def test_many_hands_of_one_program_lose_nothing(tmp_path: Path) -> None:
    with Shelf(tmp_path) as shelf:

        def work(number: int) -> int:
            held = shelf.puzzles.add(text(f"Tide {number}"))
            assert shelf.puzzles.get(held.id) == held
            return held.id

        with ThreadPoolExecutor(6) as hands:
            numbers = list(hands.map(work, range(30)))
        assert sorted(numbers) == list(range(1, 31))
        assert len(shelf.setters.all()) == 1
        sound(shelf)


def test_what_is_read_at_one_moment_does_not_change_meanwhile(tmp_path: Path) -> None:
    with Shelf(tmp_path) as one, Shelf(tmp_path) as other:
        with one.at_one_moment():
            before = picture(one)
            other.puzzles.add(text())
            assert picture(one) == before
        assert len(one.puzzles.all()) == 1


def test_the_shelf_is_its_owners_alone(tmp_path: Path) -> None:
    with Shelf(tmp_path / "shelf") as shelf:
        shelf.puzzles.add(text())
        assert (tmp_path / "shelf").stat().st_mode & 0o077 == 0
        assert [path.name for path in (tmp_path / "shelf").iterdir() if path.stat().st_mode & 0o077] == []


def test_a_folder_that_cannot_be_used_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    with pytest.raises(UnreadableError, match="cannot be opened"):
        Shelf(tmp_path / "file")


def test_a_closed_shelf_leaves_no_log(tmp_path: Path) -> None:
    with Shelf(tmp_path) as shelf:
        shelf.puzzles.add(text())
    assert {path.name for path in tmp_path.iterdir()} == {"shelf.sqlite", "shelf.lock", "shelf.next"}
