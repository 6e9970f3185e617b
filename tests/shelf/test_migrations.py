"""A shelf of any earlier version opens with all that stood on it; one of a later version is left alone."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from saywhy.errors import NotAllowedError, UnreadableError
from saywhy.shelf import Shelf
from saywhy.shelf.migrating import migrate, scripts, version
from saywhy.shelf.shelf import PACKAGE
from tests.shelf.shelves import GRANTED, log, picture, sound, text

VERSIONS = range(1, len(scripts(PACKAGE)) + 1)


def fill(folder: Path) -> dict[str, Any]:
    """Put something of everything on a shelf of this version, and give it as one value."""
    with Shelf(folder) as shelf:
        tide = shelf.puzzles.add(text(), said=GRANTED, source="monday.eml", remarks="for the summer")
        shelf.puzzles.add(text("Ebb", ""))
        shelf.setters.change(1, called="Oar", contact="oar@example.org")
        episode = shelf.episodes.plan(tide.id, "2026-12-01", title="The evening of the crabs", pinned=True)
        kept = shelf.recordings.keep(tide.id, log(tide.identity), episode=episode.id)
        shelf.recordings.keep_review(kept.id, {"moves": []})
        return picture(shelf)


def earlier(folder: Path, upto: int, full: Path) -> None:
    """Make a shelf of an earlier version with the rows of a full one."""
    folder.mkdir()
    with closing(sqlite3.connect(folder / "shelf.sqlite", isolation_level=None)) as base:
        migrate(base, PACKAGE, str(folder), upto)
        assert version(base) == upto
        base.execute("ATTACH ? AS full", (str(full / "shelf.sqlite"),))
        for table in ("setter", "puzzle", "episode", "recording", "review"):
            names = ", ".join(row[1] for row in base.execute(f"PRAGMA main.table_info({table})"))
            base.execute(f"INSERT INTO main.{table} ({names}) SELECT {names} FROM full.{table}")


def form(path: Path) -> dict[str, str]:
    """Give what a database is made of."""
    with closing(sqlite3.connect(path)) as base:
        rows = base.execute("SELECT type || ' ' || name, sql FROM sqlite_schema WHERE sql IS NOT NULL")
        return dict(rows.fetchall())


@pytest.mark.parametrize("upto", VERSIONS)
def test_a_shelf_of_each_version_becomes_one_of_this(tmp_path: Path, upto: int) -> None:
    full = fill(tmp_path / "full")
    earlier(tmp_path / "old", upto, tmp_path / "full")
    with Shelf(tmp_path / "old") as shelf:
        assert picture(shelf) == full
        sound(shelf)
        assert len(shelf.find("crabs")) == 1
        assert shelf.puzzles.add(text("Flood")).id == 3  # numbers go on
        shelf.undo()
    assert form(tmp_path / "old" / "shelf.sqlite") == form(tmp_path / "full" / "shelf.sqlite")
    with closing(sqlite3.connect(tmp_path / "old" / "shelf.sqlite")) as base:
        assert version(base) == len(VERSIONS)
        assert base.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_migrations_are_numbered_without_a_gap() -> None:
    assert [script.name for script in scripts(PACKAGE)] == [f"{number:03}.sql" for number in VERSIONS]


def test_a_step_that_fails_leaves_the_version_before_it(tmp_path: Path) -> None:
    earlier_folder = tmp_path / "old"
    fill(tmp_path / "full")
    earlier(earlier_folder, 2, tmp_path / "full")
    with closing(sqlite3.connect(earlier_folder / "shelf.sqlite", isolation_level=None)) as base:
        base.execute("CREATE TABLE copy (mine TEXT)")  # in the way of the third step, after its first table
    with pytest.raises(UnreadableError, match="copy already exists"):
        Shelf(earlier_folder)
    with closing(sqlite3.connect(earlier_folder / "shelf.sqlite", isolation_level=None)) as base:
        assert version(base) == 2
        assert base.execute("SELECT 1 FROM sqlite_schema WHERE name = 'deed'").fetchone() is None
        base.execute("DROP TABLE copy")
    with Shelf(earlier_folder) as shelf:
        assert len(shelf.puzzles.all()) == 2


def test_a_later_version_is_left_alone(tmp_path: Path) -> None:
    fill(tmp_path)
    with closing(sqlite3.connect(tmp_path / "shelf.sqlite")) as base:
        base.execute("PRAGMA user_version = 99")
    before = (tmp_path / "shelf.sqlite").read_bytes()
    with pytest.raises(NotAllowedError, match="later version"):
        Shelf(tmp_path)
    assert (tmp_path / "shelf.sqlite").read_bytes() == before


@pytest.mark.parametrize(
    "data", [b"no database at all, but long enough to be read as one" * 40, b"SQLite format 3\0"]
)
def test_a_file_that_is_no_shelf_is_told(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "shelf.sqlite").write_bytes(data)
    with pytest.raises(UnreadableError, match="not a shelf"):
        Shelf(tmp_path)
    assert (tmp_path / "shelf.sqlite").read_bytes() == data
