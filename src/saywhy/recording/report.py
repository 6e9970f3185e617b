"""
The review as one HTML page: a timeline that replays the solve, what was seen late, stills and figures.

The page asks for nothing from anywhere: its style and code stand in it, and its policy allows these by their
hashes alone, and modules that stand in the page itself. Every text from a file is escaped.
"""

from __future__ import annotations

import base64
import hashlib
from html import escape
from importlib import resources
from typing import Any

import msgspec

from saywhy import board
from saywhy.drawing.printed import printed
from saywhy.drawing.theme import theme_css
from saywhy.files.titles import plain
from saywhy.recording import sections
from saywhy.recording.review import Review


def report(found: Review, *, viewers: bool = False) -> str:
    """
    Give the report.

    Args:
        found: The review.
        viewers: Leave out whatever would spoil the puzzle: the page then has times and counts alone.
    """
    style = theme_css() + ("" if viewers else board.style_sheet() + _aspect(found)) + page_file("review.css")
    style += page_file("report.css")
    title = escape(plain(found.puzzle.title) or "A solve")
    setter = f", by {escape(plain(found.puzzle.setter))}" if found.puzzle.setter else ""
    parts = [f"<h1>{title}{setter}</h1>", sections.head(found)]
    if viewers:
        parts += [sections.times(found), sections.speed(found), sections.chapters(found, viewers=True)]
    else:
        parts.append(_replay(found, title))
        parts += [f"<section>{part(found)}</section>" for part in PARTS]
    code = "" if viewers else _code(found)
    policy = f"default-src 'none'; style-src {_hash(style)}; script-src {_allowed(code)}"
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>Review: {title}</title><style>{style}</style></head><body><main>{''.join(parts)}</main>"
        f"{code}</body></html>\n"
    )


#: What stands below the replay.
PARTS = (
    sections.late,
    sections.unused,
    sections.stalls,
    sections.orders,
    sections.times,
    sections.speed,
    sections.stills,
    sections.surprises,
    sections.chapters,
)


def page_file(name: str) -> str:
    """Give a file that pages of a review carry."""
    return resources.files("saywhy.recording").joinpath("page", name).read_text("utf-8")


def _aspect(found: Review) -> str:
    above, right, below, left = printed(found.puzzle).margins
    size = found.puzzle.grid.size
    return f":root{{--board-aspect:{(size + left + right) / (size + above + below):.4f}}}\n"


def _replay(found: Review, title: str) -> str:
    return (
        '<section class="replay" aria-label="The solve again"><div class="seen">'
        f'<div id="board" class="board saywhy-board" data-label="{title}">{printed(found.puzzle).svg}</div>'
        f"{sections.controls(found)}</div><div>{sections.moves(found)}</div></section>"
    )


def _code(found: Review) -> str:
    """Give the facts, the import map with every module in it, and the script that begins."""
    made = printed(found.puzzle)
    above, right, below, left = made.margins
    told: dict[str, Any] = {
        **sections.facts(found),
        "picture": {
            "size": found.puzzle.grid.size,
            "box": found.puzzle.grid.box,
            "givens": found.puzzle.givens,
            "crowded": made.crowded,
            "unit": made.unit,
            "margins": {"above": above, "right": right, "below": below, "left": left},
        },
    }
    held = msgspec.json.encode(told).decode()
    for letter in "<>&\u2028\u2029":
        held = held.replace(letter, f"\\u{ord(letter):04x}")
    return (
        f'<script type="importmap">{board.data_import_map()}</script>'
        f'<script type="application/json" id="facts">{held}</script>'
        f'<script type="module">{page_file("report.js")}</script>'
    )


def _allowed(code: str) -> str:
    if not code:
        return "'none'"
    return f"data: {_hash(board.data_import_map())} {_hash(page_file('report.js'))}"


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
