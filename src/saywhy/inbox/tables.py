"""The table of an inbox: one row a puzzle, no cell and no digit of any solution."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from io import StringIO
from typing import Any

import msgspec

from saywhy.files.titles import plain
from saywhy.inbox.judgement import Judgement
from saywhy.inbox.likeness import Likeness

COLUMNS = (
    "file", "line", "title", "setter", "verdict", "why", "band", "hardest", "minutes", "size", "rules",
    "same_as", "near_to", "on_shelf", "near_on_shelf", "differ", "problems", "letter", "seconds",
)  # fmt: skip


def row(held: Judgement, like: Likeness, letter: str) -> dict[str, Any]:
    """Give a row; ``letter`` is the path of the reply draft, empty where there is none."""
    effort = held.effort or {}
    return {
        "file": held.file,
        "line": held.line,
        "title": held.title,
        "setter": held.setter,
        "verdict": held.verdict,
        "why": held.why,
        "band": effort.get("band"),
        "hardest": effort.get("hardest"),
        "minutes": effort["minutes"]["likely"] if effort else None,
        "size": held.size or None,
        "rules": held.rules,
        "same_as": like.same.name if like.same else None,
        "near_to": like.near.name if like.near else None,
        "on_shelf": list(like.shelf),
        "near_on_shelf": list(like.shelf_near),
        "differ": held.differ or None,
        "problems": [str(problem) for problem in held.problems],
        "letter": letter,
        "seconds": round(held.seconds, 3),
    }


def as_csv(rows: Sequence[dict[str, Any]]) -> str:
    """Give rows as CSV (RFC 4180), safe for programs that take a text with '=' for a formula."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for held in rows:
        writer.writerow([_cell(held[name]) for name in COLUMNS])
    return out.getvalue()


def as_json(rows: Sequence[dict[str, Any]]) -> bytes:
    """Give rows as one JSON list, indented."""
    return msgspec.json.format(msgspec.json.encode(list(rows)), indent=2) + b"\n"


def _cell(held: Any) -> str:
    if held is None:
        return ""
    if isinstance(held, int | float):
        return str(held)
    text = plain("; ".join(held) if isinstance(held, list) else held)
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
