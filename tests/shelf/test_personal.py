"""What a setter may ask: all that is known of them, and to be erased so that nothing is left."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Literal

import msgspec
import pytest

from saywhy.errors import NotAllowedError
from saywhy.files import read_text
from saywhy.shelf import Judged, Permission, Said, Shelf
from saywhy.shelf.backups import backup
from saywhy.shelf.exporting import export
from saywhy.shelf.personal import WORDS_GONE, erase, personal_data
from tests.shelf.shelves import log, picture, sound, text

CREDIT, CALLED, CONTACT = "Zephyrine Quillfeather", "Zephy", "zq.quill@example.org"
#: Parts of what must not be left anywhere, as the search would cut it too.
TRACES = [b"ephyrin", b"uillfeath", b"zq.quill", b"Zephy", b"zephy", b"quillf"]


def fill(shelf: Shelf) -> int:
    """Put a person all over a shelf, and another one beside."""
    setter = shelf.setters.add(CREDIT, called=CALLED, contact=CONTACT, remarks=f"{CALLED} likes long lines")
    words = f"Go ahead! Yours, {CREDIT}"
    shelf.setters.permit(setter.id, Said(permission=Permission.GRANTED, on="2026-11-01", words=words))
    first = shelf.puzzles.add(f"# from {CONTACT}\n" + text("Low tide", CREDIT), source=f"{CALLED}.toml")
    said = Said(permission=Permission.GRANTED, on="2026-11-03", words=words)
    second = shelf.puzzles.add(text("Ebb", CREDIT), said=said, judged=Judged(verdict="unique"))
    refused = shelf.puzzles.add(text("Flood", CREDIT), said=Said(permission=Permission.REFUSED, words=words))
    shelf.puzzles.add(text("Slack water", "bowline"))
    episode = shelf.episodes.plan(first.id, "2026-12-01")
    shelf.episodes.record(episode.id, "blind")
    kept = shelf.recordings.keep(first.id, log(first.identity), episode=episode.id)
    shelf.recordings.keep_review(kept.id, {"moves": []})
    shelf.episodes.plan(first.id, "2027-12-01")
    shelf.episodes.plan(second.id, "2026-12-08")
    shelf.puzzles.remove(refused.id)
    return setter.id


def traces(folder: Path) -> list[str]:
    """Name the files of a shelf in which anything of the person is left, in either of SQLite's codings."""
    found = []
    for path in sorted(folder.iterdir()):
        data = path.read_bytes()
        wide = [trace.decode().encode("utf-16-le") for trace in TRACES]
        if any(trace in data for trace in (*TRACES, *wide)):
            found.append(path.name)
    return found


def test_all_that_is_known_of_a_setter_is_told(shelf: Shelf) -> None:
    number = fill(shelf)
    told = json.loads(msgspec.json.encode(personal_data(shelf, number)))
    assert told["setter"]["contact"] == CONTACT and told["setter"]["standing"] == "granted"
    assert [held["title"] for held in told["puzzles"]] == ["Ebb", "Low tide"]
    assert [held["state"] for held in told["episodes"]] == ["recorded", "planned", "planned"]
    assert len(told["recordings"]) == 1 and "log" not in told["recordings"][0]
    assert any("Flood" in held["what"] for held in told["can_be_taken_back"])
    assert "bowline" not in json.dumps(told)


@pytest.mark.parametrize("puzzles", ["stay", "go"])
def test_an_erased_setter_is_gone_from_every_byte(tmp_path: Path, puzzles: Literal["stay", "go"]) -> None:
    folder = tmp_path / "shelf"
    with Shelf(folder) as shelf:
        number = fill(shelf)
        assert traces(folder)  # the traces are what a shelf would hold
        erased = erase(shelf, number, puzzles=puzzles)
        assert traces(folder) == []  # also while it is open, so in the log too
        assert (sorted(erased.puzzles), erased.stayed, erased.still) == ([1, 2], puzzles == "stay", [])
        assert shelf.find("zephy") == [] and shelf.find("quillfeather") == []
        assert shelf.deeds() == [] and shelf.undo() is None
        assert [held.credit for held in shelf.setters.all()] == ["bowline"]
        sound(shelf)
    assert traces(folder) == []


def test_puzzles_that_stay_keep_what_may_air_without_a_name(shelf: Shelf) -> None:
    before = fill(shelf)
    episodes = shelf.episodes.all()
    erase(shelf, before, puzzles="stay")
    for number, day in ((1, "2026-11-01"), (2, "2026-11-03")):
        held = shelf.puzzles.get(number)
        assert held.setter is None and held.cleared
        assert (held.permission, held.permission_on, held.permission_words) == ("granted", day, WORDS_GONE)
        assert read_text(held.text)[0].setter == "" and held.text.startswith("format = 1")
        assert (held.source, held.puzzle.givens[0]) == ("", 1)
    assert shelf.episodes.all() == episodes
    assert len(shelf.recordings.all()) == len(shelf.recordings.reviews()) == 1


def test_puzzles_that_go_take_everything_of_theirs(shelf: Shelf) -> None:
    erase(shelf, fill(shelf), puzzles="go")
    held = picture(shelf)
    assert [row["title"] for row in held["puzzle"]] == ["Slack water"]
    assert not held["episode"] and not held["recording"] and not held["review"]


def test_what_an_erasure_cannot_reach_is_told(tmp_path: Path, shelf: Shelf) -> None:
    number = fill(shelf)
    shelf.puzzles.change(1, title=f"{CALLED}'s tide")
    shelf.episodes.change(1, remarks=f"ask {CONTACT} for a picture")
    backup(shelf, tmp_path / "monday.sqlite")
    export(shelf, tmp_path / "out")
    erased = erase(shelf, number, puzzles="stay")
    assert {(held.kind, held.id, held.field) for held in erased.still} == {
        ("puzzle", 1, "title"),
        ("episode", 1, "remarks"),
    }
    assert [(held.kind, Path(held.path).name, held.there) for held in erased.copies] == [
        ("backup", "monday.sqlite", True),
        ("export", "out", True),
    ]


def test_an_erasure_that_a_reader_hinders_says_so_and_is_finished_at_the_next_opening(tmp_path: Path) -> None:
    folder = tmp_path / "shelf"
    with Shelf(folder, wait_s=0.3) as shelf:
        number = fill(shelf)
        with closing(sqlite3.connect(folder / "shelf.sqlite", isolation_level=None)) as reader:
            reader.execute("BEGIN")
            reader.execute("SELECT count(*) FROM setter").fetchone()
            with pytest.raises(NotAllowedError, match="still in its log"):
                erase(shelf, number, puzzles="go")
            reader.execute("COMMIT")
        assert [held.credit for held in shelf.setters.all()] == ["bowline"]
    with Shelf(folder) as shelf:
        assert shelf.rows("SELECT * FROM chore") == []
        assert traces(folder) == []


def test_who_is_not_there_cannot_be_erased(shelf: Shelf) -> None:
    with pytest.raises(NotAllowedError, match="no setter s5"):
        erase(shelf, 5, puzzles="go")
