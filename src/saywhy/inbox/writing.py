"""What a run leaves in its folder: ``table.csv``, ``table.json``, ``letters`` and ``spoilers``."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from saywhy.inbox.judgement import Judgement
from saywhy.inbox.letters import letter
from saywhy.inbox.likeness import Likeness
from saywhy.inbox.tables import as_csv, as_json, row

LETTERS, SPOILERS = "letters", "spoilers"
_SAFE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,79}")


@dataclass
class Written:
    """
    What was written.

    Attributes:
        rows: The rows of the table.
        letters: How many of each kind.
        spoilers: How many of them name cells.
        held_back: How many were not written: the same puzzle came from somebody else.
    """

    rows: list[dict[str, Any]] = field(default_factory=list)
    letters: Counter[str] = field(default_factory=Counter)
    spoilers: int = 0
    held_back: int = 0


def write_all(judgements: Sequence[Judgement], likes: Sequence[Likeness], output: Path) -> Written:
    """
    Write table and letters anew; each file is whole or as it was before.

    Letters of an earlier run that are no longer due go away, so edit a copy and not these.
    """
    found = Written()
    names: set[str] = set()
    folders = {name: output / f".{name}-new" for name in (LETTERS, SPOILERS)}
    for folder in folders.values():
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(parents=True)
    for held, like in zip(judgements, likes, strict=True):
        draft = letter(held, like)
        path = ""
        if draft is None:
            found.held_back += 1
        else:
            place = SPOILERS if draft.spoils else LETTERS
            name = _file_name(held, names)
            (folders[place] / name).write_text(draft.text, encoding="utf-8", errors="backslashreplace")
            path = f"{place}/{name}"
            found.letters[draft.kind] += 1
            found.spoilers += draft.spoils
        found.rows.append(row(held, like, path))
    for name, folder in folders.items():
        shutil.rmtree(output / name, ignore_errors=True)
        folder.rename(output / name)
    _replace(output / "table.csv", as_csv(found.rows).encode("utf-8-sig"))
    _replace(output / "table.json", as_json(found.rows))
    return found


def _file_name(held: Judgement, taken: set[str]) -> str:
    """Give a file name of plain letters, near the sender's, that no other letter has."""
    wanted = held.file.replace("/", "-") + ("" if held.line is None else f"-line-{held.line}")
    name = wanted
    if not _SAFE.fullmatch(wanted) or f"{wanted}.txt".casefold() in taken:
        plain = re.sub(r"[^A-Za-z0-9._-]+", "-", wanted).strip(".-")[:60]
        name = f"{plain or 'file'}-{hashlib.sha256(held.name.encode()).hexdigest()[:10]}"
    taken.add(f"{name}.txt".casefold())
    return f"{name}.txt"


def _replace(path: Path, data: bytes) -> None:
    """Write a file beside its place and put it there."""
    fresh = path.with_name(f".{path.name}.new")
    with fresh.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    fresh.replace(path)
