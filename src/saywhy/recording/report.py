"""
The review as one HTML page: a timeline that replays the solve, what was seen late, stills and figures.

The page asks for nothing from anywhere: its style and code stand in it, and its policy allows these by their
hashes alone. Every text from a file is escaped.
"""

from __future__ import annotations

from functools import cache
from html import escape
from importlib import resources

import msgspec

from saywhy import board
from saywhy.board.single import embedded, hashed, one_script
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
    style = theme_css()
    if not viewers:
        style += board.style_sheet() + printed(found.puzzle).aspect(found.puzzle.grid.size)
    style += page_file("review.css")
    style += page_file("report.css")
    title = escape(plain(found.puzzle.title) or "A solve")
    setter = f", by {escape(plain(found.puzzle.setter))}" if found.puzzle.setter else ""
    parts = [f"<h1>{title}{setter}</h1>", sections.head(found)]
    if viewers:
        told = (sections.times(found), sections.speed(found), sections.chapters(found, viewers=True))
        parts += [f"<section>{part}</section>" for part in told]
    else:
        parts.append(_replay(found, title))
        parts += [f"<section>{part(found)}</section>" for part in PARTS]
    code = "" if viewers else _code(found)
    allowed = hashed(_script()) if code else "'none'"
    policy = f"default-src 'none'; style-src {hashed(style)}; script-src {allowed}"
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>Review: {title}</title><style>{style}</style></head><body><main>{''.join(parts)}</main>"
        f"{code}</body></html>\n"
    )


#: The module that the page runs.
ENTRY = "#app/report.js"
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


def _replay(found: Review, title: str) -> str:
    return (
        '<section class="replay" aria-label="The solve again"><div class="seen">'
        f'<div id="board" class="board saywhy-board" data-label="{title}">{printed(found.puzzle).svg}</div>'
        f"{sections.controls(found)}</div><div>{sections.moves(found)}</div></section>"
    )


def _code(found: Review) -> str:
    """Give the facts and the script that begins."""
    told = {**sections.facts(found), "picture": printed(found.puzzle).facts(found.puzzle)}
    return (
        f'<script type="application/json" id="facts">{embedded(msgspec.to_builtins(told))}</script>'
        f'<script type="module">{_script()}</script>'
    )


@cache
def _script() -> str:
    return one_script(board.files(), {ENTRY: page_file("report.js")}, ENTRY)
