"""
The review as one HTML page: a timeline that replays the solve, what was seen late, stills and figures.

The page asks for nothing from anywhere: its style and script stand in it, and its policy allows these two by
their hashes alone. Every text from a file is escaped.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence
from html import escape
from importlib import resources
from typing import Any

import msgspec

from saywhy.drawing import board_svg
from saywhy.drawing.printed import printed
from saywhy.drawing.theme import theme_css
from saywhy.files.titles import plain
from saywhy.marks import Mark
from saywhy.recording import whole
from saywhy.recording.chapters import clock, description
from saywhy.recording.judging import Move
from saywhy.recording.review import Review

#: So many stills are drawn: of wrong and guessed digits, and of what was seen late.
STILLS = 8


def report(found: Review, *, viewers: bool = False) -> str:
    """
    Give the report.

    Args:
        found: The review.
        viewers: Leave out whatever would spoil the puzzle: the page then has times and counts alone.
    """
    style = theme_css() + _file("report.css")
    script = "" if viewers else _file("report.js")
    allowed = _hash(script) if script else "'none'"
    policy = f"default-src 'none'; style-src {_hash(style)}; script-src {allowed}"
    title = escape(plain(found.puzzle.title) or "A solve")
    parts = [_head(found, title)]
    if not viewers:
        parts += [_replay(found), _late(found), _stalls(found), _orders(found)]
    parts += [_times(found), _speed(found)]
    if not viewers:
        parts += [_stills(found), _surprises(found)]
    parts.append(_chapters(found))
    text = (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>Review: {title}</title><style>{style}</style></head><body><main>{''.join(parts)}</main>"
    )
    if script:
        facts = msgspec.json.encode(_facts(found)).decode()
        for letter in "<>&\u2028\u2029":
            facts = facts.replace(letter, f"\\u{ord(letter):04x}")
        text += f'<script type="application/json" id="facts">{facts}</script><script>{script}</script>'
    return text + "</body></html>\n"


def _file(name: str) -> str:
    return resources.files("saywhy.recording").joinpath("page", name).read_text("utf-8")


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _facts(found: Review) -> dict[str, Any]:
    boards = []
    before: object = None
    for act, board in zip(found.recording.acts, found.judged.played.boards, strict=True):
        if board.digits is not before:
            held = [[c, d, d != found.solution[c]] for c, (d, _) in sorted(board.digits.items())]
            boards.append([act.t, held])
            before = board.digits
    return {
        "size": found.puzzle.grid.size,
        "unit": printed(found.puzzle).unit,
        "length": found.length,
        "boards": boards,
        "moves": [
            {
                "t": move.t,
                "cells": move.cells,
                "said": move.said,
                "verdict": move.verdict,
                "reason": move.reason,
                "open": _open(found, move),
            }
            for move in found.moves
        ],
    }


def _open(found: Review, move: Move) -> str:
    if move.opening is None or move.do != "place" or not move.shown:
        return ""
    by = found.opened_by(move)
    return f"Open since {clock(move.opening.since)}, by {by}." if by else ""


def _head(found: Review, title: str) -> str:
    setter = f", by {escape(plain(found.puzzle.setter))}" if found.puzzle.setter else ""
    blind = "solved blind" if found.recording.header.blind else "solved after a rehearsal"
    figures = "".join(f"<li><b>{number}</b> {name}</li>" for name, number in found.counts.items())
    damage = found.recording.damage
    warned = (
        "" if damage is None else f'<p class="v-wrong">Read up to a damage: {escape(plain(str(damage)))}</p>'
    )
    return (
        f'<h1>{title}{setter}</h1><p class="by">{blind}, {clock(found.length)}, '
        f'{"finished" if found.finished else "not finished"}</p>{warned}<ul class="figures">{figures}</ul>'
    )


def _replay(found: Review) -> str:
    moves = "".join(
        f'<li><button type="button" data-t="{move.t}"><span>{clock(move.t)}</span> '
        f"<span>{escape(move.said)}</span>"
        f'<span class="v v-{move.verdict}">{move.verdict}</span></button></li>'
        for move in found.moves
    )
    return (
        '<section class="replay" aria-label="The solve again"><div>'
        f'<div id="board" class="board">{printed(found.puzzle).svg}</div>'
        '<div class="controls"><label for="moment">Moment</label>'
        f'<input id="moment" type="range" min="0" max="{found.length or 1}" step="0.01" value="0">'
        '<output id="at" for="moment">0:00</output></div><div class="controls">'
        '<button type="button" id="play" aria-pressed="false">Play, ten times as fast</button>'
        '<button type="button" id="before">Move before</button>'
        '<button type="button" id="after">Move after</button></div></div>'
        '<div><div id="why" aria-live="polite"></div>'
        f'<ol id="moves" tabindex="0">{moves}</ol></div></section>'
    )


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    head = "".join(f"<th>{escape(text)}</th>" for text in heads)
    body = "".join("<tr>" + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>" for row in rows)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _jump(t: float) -> str:
    return f'<button type="button" data-t="{t}">{clock(t)}</button>'


def _late(found: Review) -> str:
    grid = found.puzzle.grid
    rows = [
        [
            f"the {item.move.digit} in {grid.name(item.move.cells[0])}",
            _jump(item.since),
            _jump(item.move.t),
            f"{item.wait_s:.0f} s",
            escape(found.opened_by(item.move)),
        ]
        for item in found.late
    ]
    rows += [
        [f"the {item.digit} in {grid.name(item.cell)}", _jump(item.since), "never", "", ""]
        for item in found.passed
    ]
    if not rows:
        return "<h2>Seen late</h2><p>Nothing that one look showed was left for long at a cost.</p>"
    return "<h2>Seen late</h2>" + _table(["What", "Open since", "Placed", "Wait", "Opened by"], rows)


def _stalls(found: Review) -> str:
    if not found.stalls:
        return "<h2>Where it stood still</h2><p>Nowhere.</p>"
    rows = [
        [
            _jump(s.start),
            f"{s.seconds:.0f} s",
            escape(s.broken_by.said),
            escape(s.easiest or "no single look"),
        ]
        for s in found.stalls
    ]
    return "<h2>Where it stood still</h2>" + _table(["From", "For", "Ended by", "Easiest to see then"], rows)


def _orders(found: Review) -> str:
    grid = found.puzzle.grid
    own, path = (" ".join(grid.names(cells)) for cells in (found.own, whole.path_order(found.path)))
    told = (
        ""
        if found.agreement is None
        else f"<p>They agree by {found.agreement:.2f} (Kendall's tau; 1 is the same order).</p>"
    )
    return (
        f'<h2>Your order and the path of least effort</h2>{told}<div class="orders"><div><h3>Yours</h3>'
        f"<p>{own}</p></div><div><h3>Least effort</h3><p>{path}</p></div></div>"
    )


def _times(found: Review) -> str:
    rows = [
        [escape(idea), f"{seconds:.0f} s", str(number)]
        for idea, seconds, number in whole.time_by_idea(found.moves)
    ]
    return "<h2>Time by kind of thought</h2>" + _table(["Thought", "Time", "Moves"], rows)


def _speed(found: Review) -> str:
    points = whole.speed(found.judged, [act.t for act in found.recording.acts])
    end, most = max(found.length, 1.0), max(1, *(n for _, n in points))
    path = "".join(
        f"{'L' if place else 'M'}{50 + 640 * t / end:.1f} {190 - 170 * n / most:.1f}"
        for place, (t, n) in enumerate(points)
    )
    ticks = "".join(
        f'<text class="f-soft" x="{50 + 640 * k / 4:.0f}" y="212" text-anchor="middle" '
        f'font-size="14">{clock(end * k / 4)}</text>'
        for k in range(5)
    )
    return (
        '<h2>Digits over time</h2><div class="plot">'
        '<svg class="saywhy-board" viewBox="0 0 720 224" role="img" '
        f'aria-label="Digits on the board over time, {most} in {clock(end)}">'
        '<path class="s-rule" fill="none" d="M50 20V190H690"/>'
        f'<text class="f-soft" x="42" y="26" text-anchor="end" font-size="14">{most}</text>{ticks}'
        f'<path class="s-because" fill="none" stroke-width="2.5" d="{path}"/></svg></div>'
    )


def _stills(found: Review) -> str:
    odd = [
        move
        for move in found.moves
        if move.do == "place" and move.verdict in ("wrong", "guessed") and not move.rests_on
    ]
    moves = [*odd, *(item.move for item in found.late)][:STILLS]
    figures = []
    for move in moves:
        board = found.judged.played.boards[move.act].digits
        svg = board_svg(
            found.puzzle,
            marks=[Mark("a", move.cells, "result")],
            digits={cell: digit for cell, (digit, _) in board.items()},
            key=False,
            title=False,
        )
        figures.append(
            f"<figure>{svg}<figcaption>{clock(move.t)}: {escape(move.said)}, {move.verdict}"
            "</figcaption></figure>"
        )
    return f'<h2>Stills</h2><div class="stills">{"".join(figures)}</div>' if figures else ""


def _surprises(found: Review) -> str:
    if not found.surprises:
        return ""
    rows = [[escape(s.text), escape(s.odds), escape(s.method)] for s in found.surprises]
    return "<h2>Surprises in the finished grid</h2>" + _table(["What", "By chance", "Computed from"], rows)


def _chapters(found: Review) -> str:
    if not found.chapters:
        return ""
    return f"<h2>Chapters</h2><pre>{escape(description(found.chapters))}</pre>"
