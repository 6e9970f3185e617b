"""
The shelf as plain files, for any program to read: TOML puzzles and JSON Lines, one object a line.

``shelf.json`` says the format and the next number of each kind; ``setters.jsonl``, ``puzzles.jsonl``,
``episodes.jsonl``, ``recordings.jsonl`` and ``reviews.jsonl`` hold what is known of each; puzzle 12 is
``puzzles/p12.toml`` as it came and recording 3 is ``recordings/r3.jsonl``. Reading them back and writing
them again gives the same bytes.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path

import msgspec

from saywhy.errors import NotAllowedError, Problem
from saywhy.shelf.backups import copied
from saywhy.shelf.deeds import TABLES
from saywhy.shelf.shelf import Shelf
from saywhy.shelf.values import Value

FORMAT = 1
#: What stands in a file of its own, and so not on its line.
ELSEWHERE = {"puzzle": "text", "recording": "log"}
#: What is worked out, not kept.
WORKED_OUT = {"puzzle": ("cleared",)}


def export(shelf: Shelf, folder: Path) -> dict[str, int]:
    """
    Write the shelf into a folder.

    Args:
        shelf: The shelf, as it is at this moment.
        folder: Not there yet, or empty.

    Returns:
        How many of each kind were written.

    Raises:
        NotAllowedError: There is something in the folder, or it cannot be written.
    """
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            what = "there is something in this place already"
            raise NotAllowedError(Problem(what, "Name a new folder, or an empty one"), str(folder))
        with copied(shelf, "export", folder):
            return _whole(shelf, folder)
    except OSError as error:
        what = f"the export cannot be written: {(error.strerror or str(error)).lower()}"
        raise NotAllowedError(Problem(what, "Name another folder"), str(folder)) from None


def _whole(shelf: Shelf, folder: Path) -> dict[str, int]:
    """Write beside the folder and move it there, so that no half of it is ever found."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    made = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    try:
        counts = _write(shelf, made)
        made.replace(folder)
    except BaseException:
        shutil.rmtree(made, ignore_errors=True)
        raise
    return counts


def _write(shelf: Shelf, folder: Path) -> dict[str, int]:
    (folder / "puzzles").mkdir()
    (folder / "recordings").mkdir()
    with shelf.at_one_moment():
        held: dict[str, Sequence[Value]] = {
            "setter": sorted(shelf.setters.all(), key=lambda value: value.id),
            "puzzle": sorted(shelf.puzzles.all(), key=lambda value: value.id),
            "episode": sorted(shelf.episodes.all(), key=lambda value: value.id),
            "recording": sorted(shelf.recordings.all(), key=lambda value: value.id),
            "review": shelf.recordings.reviews(),
        }
        given = {row["name"]: row["seq"] for row in shelf.rows("SELECT name, seq FROM sqlite_sequence")}
    for table in TABLES:
        lines = []
        for value in held[table]:
            told = msgspec.to_builtins(value)
            if table in ELSEWHERE:
                text = told.pop(ELSEWHERE[table])
                file_of(folder, table, value.id).write_bytes(text.encode())
            for name in WORKED_OUT.get(table, ()):
                del told[name]
            lines.append(msgspec.json.encode(told) + b"\n")
        (folder / f"{table}s.jsonl").write_bytes(b"".join(lines))
    head = {"format": FORMAT, "next": {table: given.get(table, 0) + 1 for table in TABLES}}
    (folder / "shelf.json").write_bytes(msgspec.json.format(msgspec.json.encode(head), indent=2) + b"\n")
    return {table: len(held[table]) for table in TABLES}


def file_of(folder: Path, table: str, number: int) -> Path:
    """Give the file of a puzzle or a recording in an export."""
    ending = {"puzzle": "toml", "recording": "jsonl"}[table]
    return folder / f"{table}s" / f"{table[0]}{number}.{ending}"
