"""
The parts of a review as HTML, the same for the report and for a page of an app that shows it.

Every text from a file is escaped. ``facts`` is what ``board/replay.js`` is told; buttons with ``data-t`` lead
to their moment.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

import msgspec

from saywhy.drawing import board_svg
from saywhy.files.titles import plain
from saywhy.marks import Mark
from saywhy.recording import plots, whole
from saywhy.recording.chapters import clock, description
from saywhy.recording.judging import Back, Move
from saywhy.recording.review import Review
from saywhy.recording.tally import answer, tally

#: So many stills are drawn: of wrong and guessed digits, and of what was seen late.
STILLS = 8


def facts(found: Review) -> dict[str, Any]:
    """Give what the replay is told."""
    wrong: list[tuple[float, list[int]]] = []
    for act, board in zip(found.recording.acts, found.judged.played.boards, strict=True):
        cells = [cell for cell, (digit, _) in sorted(board.digits.items()) if digit != found.solution[cell]]
        if cells != (wrong[-1][1] if wrong else []):
            wrong.append((act.t, cells))
    return {
        "acts": msgspec.to_builtins(found.recording.acts),
        "length": found.length,
        "moves": [_told(found, move) for move in found.moves],
        "wrong": wrong,
    }


def _told(found: Review, move: Move) -> dict[str, Any]:
    lit = move.steps[-1][1].marks if move.steps else ()
    because = {cell for mark in lit if mark.role != "result" for cell in mark.cells} - set(move.cells)
    lines = [move.reason, _open(found, move), _afterwards(move)]
    return {
        "t": move.t,
        "cells": move.cells,
        "head": f"{clock(move.t)}: {move.said}, {move.verdict}",
        "verdict": move.verdict,
        "lines": [line for line in lines if line],
        "because": sorted(because or set(move.rests_on)),
    }


def _open(found: Review, move: Move) -> str:
    if move.opening is None or move.do != "place" or not move.shown:
        return ""
    by = found.opened_by(move)
    if not by:
        return ""
    what = "It had been open" if move.one_look else "Nothing more was needed"
    return f"{what} since {clock(move.opening.since)}, by {by}."


def _afterwards(move: Move) -> str:
    if move.taken_s is not None:
        return f"It was taken back at {clock(move.taken_s)}."
    return "" if move.shown_s is None else f"It came to be shown at {clock(move.shown_s)}."


def head(found: Review) -> str:
    """Give how it was solved, what it comes to in numbers, and a damage if there is one."""
    blind = "solved blind" if found.recording.header.blind else "solved after a rehearsal"
    figures = "".join(f"<li><b>{count.number}</b> {count.what}</li>" for count in tally(found))
    damage = found.recording.damage
    warned = (
        "" if damage is None else f'<p class="v-wrong">Read up to a damage: {escape(plain(str(damage)))}</p>'
    )
    done = "finished" if found.finished else "not finished"
    return (
        f'<p class="by">{blind}, {clock(found.length)}, {done}</p>{warned}'
        f'<ul class="counts" aria-label="In numbers">{figures}</ul><p class="answer">{answer(found)}</p>'
    )


def controls(found: Review) -> str:
    """Give the timeline with its slider and buttons."""
    end = found.length or 1
    return (
        f'<div id="strip" class="strip">{plots.strip(found)}</div>'
        '<p class="under">One mark a move: a line is forced, a square guessed, a cross wrong, a ring undone. '
        "Grey: standing still. The bars below: open and not yet placed.</p>"
        '<div class="row"><label for="moment">Moment</label>'
        f'<input id="moment" type="range" min="0" max="{end}" step="any" value="0">'
        '<output id="at" for="moment">0:00</output></div>'
        '<div class="row"><button type="button" id="before">Move before</button> '
        '<button type="button" id="after">Move after</button> '
        '<button type="button" id="play" aria-pressed="false">Play</button> '
        '<span class="together"><label for="speed">Speed</label> <select id="speed">'
        '<option value="1">as it was</option><option value="5">5 times</option>'
        '<option value="20" selected>20 times</option></select></span></div>'
    )


def moves(found: Review) -> str:
    """Give what is said of the move at this moment, and the list of all moves."""
    rows: list[tuple[float, int, str]] = []
    for number, move in enumerate(found.moves):
        rows.append((move.t, move.act, _row(move.t, move.said, move.verdict, f' data-move="{number}"')))
    for back in found.judged.back:
        rows.append((back.t, back.act, _back(back)))
    listed = "".join(row for _, _, row in sorted(rows, key=lambda row: row[:2]))
    return (
        '<div id="why" class="why" aria-live="polite"></div>'
        f'<ol id="moves" class="moves" tabindex="0" aria-label="Every move">{listed}</ol>'
    )


def _row(t: float, said: str, verdict: str, more: str = "") -> str:
    return (
        f'<li><button type="button" data-t="{t}"{more}><span>{clock(t)}</span> <span>{escape(said)}</span> '
        f'<span class="v v-{verdict}">{verdict}</span></button></li>'
    )


def _back(back: Back) -> str:
    return _row(back.t, back.said, "undo" if back.do == "undo" else "taken back")


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    top = "".join(f'<th scope="col">{escape(text)}</th>' for text in heads)
    body = "".join("<tr>" + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>" for row in rows)
    return (
        f'<div class="scroll" tabindex="0" role="group" aria-label="{escape(heads[0])}, table">'
        f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table></div>"
    )


def _jump(t: float) -> str:
    return f'<button type="button" class="plain" data-t="{t}">{clock(t)}</button>'


def late(found: Review) -> str:
    """Give what had been open for long, and what was never placed."""
    grid = found.puzzle.grid
    rows = [
        [
            f"the {item.move.digit} in {grid.name(item.move.cells[0])}",
            _jump(item.since),
            _jump(item.move.t),
            f"{item.wait_s:.0f}\u00a0s",
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
    return "<h2>Seen late</h2>" + _table(["Digit", "Open since", "Placed", "Wait", "Opened by"], rows)


def unused(found: Review) -> str:
    """Give the looks never used that would have shortened the solve."""
    grid = found.puzzle.grid
    rows = [
        [
            _jump(item.t),
            escape(item.told.written),
            f"the {item.digit} in {grid.name(item.cell)}, in {item.looks} looks",
            f"{escape(item.instead.said)}, after {item.instead.pace_s:.0f}\u00a0s",
            "never" if item.used_s is None else _jump(item.used_s),
        ]
        for item in found.missed
    ]
    if not rows:
        return "<h2>Looks not used</h2><p>No easier look lay unused beside a harder move or a stall.</p>"
    return "<h2>Looks not used</h2>" + _table(
        ["When", "What was to be seen", "It led to", "Instead came", "Used later"], rows
    )


def stalls(found: Review) -> str:
    """Give where the solve stood still, and what was easiest to see there."""
    if not found.stalls:
        return "<h2>Where it stood still</h2><p>Nowhere.</p>"
    rows = [
        [
            _jump(stall.start),
            f"{stall.seconds:.0f}\u00a0s",
            escape(stall.broken_by.said),
            escape(stall.easiest or "nothing within the search")
            + (f" ({stall.looks} looks to a digit)" if stall.looks > 1 else ""),
        ]
        for stall in found.stalls
    ]
    return "<h2>Where it stood still</h2>" + _table(["From", "For", "Ended by", "Easiest to see then"], rows)


def orders(found: Review) -> str:
    """Give the solver's order beside that of the path of least effort."""
    grid = found.puzzle.grid
    path = whole.path_order(found.path)
    rank = {cell: place for place, cell in enumerate(path, 1)}

    def listed(cells: Sequence[int]) -> str:
        items = "".join(f"<li>{found.solution[cell]} in {grid.name(cell)}</li>" for cell in cells)
        return f'<ol class="order" tabindex="0">{items}</ol>'

    if found.agreement is None:
        told = "<p>There is too little to compare.</p>"
    else:
        told = f"<p>They agree by {found.agreement:.2f} (Kendall's tau; 1 is the same order, 0 none).</p>"
    return (
        f"<h2>Your order and the path of least effort</h2>{told}"
        f'<div class="orders">{plots.ranks(found.own, rank)}'
        f"<div><h3>Yours</h3>{listed(found.own)}</div><div><h3>Least effort</h3>{listed(path)}</div></div>"
    )


def times(found: Review) -> str:
    """Give the time before moves by kind of thought."""
    held = whole.time_by_idea(found.moves)
    most = max((seconds for _, seconds, _ in held), default=0.0) or 1.0
    rows = [
        [escape(idea), f"{plots.bar(seconds / most)} {seconds:.0f}\u00a0s", str(number)]
        for idea, seconds, number in held
    ]
    return "<h2>Time by kind of thought</h2>" + _table(["Thought", "Time before it", "Moves"], rows)


def speed(found: Review) -> str:
    """Give the digits on the board over time."""
    return f'<h2>Digits over time</h2><div class="plot">{plots.speed(found)}</div>'


def stills(found: Review) -> str:
    """Give pictures of wrong and guessed digits and of what was seen late."""
    odd = [
        move
        for move in found.moves
        if move.do == "place" and move.verdict in ("wrong", "guessed") and not move.rests_on
    ]
    shown = [*odd, *(item.move for item in found.late)][:STILLS]
    figures = []
    for move in {move.act: move for move in shown}.values():
        board = found.judged.played.boards[move.act].digits
        svg = board_svg(
            found.puzzle,
            marks=[Mark("a", move.cells, "result")],
            digits={cell: digit for cell, (digit, _) in board.items()},
            key=False,
            title=False,
        )
        since = next((item.since for item in found.late if item.move is move), None)
        told = move.verdict if since is None else f"open since {clock(since)}"
        figures.append(
            f"<figure>{svg}<figcaption>{_jump(move.t)} {escape(move.said)}, {told}</figcaption></figure>"
        )
    return f'<h2>Stills</h2><div class="stills">{"".join(figures)}</div>' if figures else ""


def surprises(found: Review) -> str:
    """Give what is remarkable in the finished grid."""
    if not found.surprises:
        return "<h2>Surprises in the finished grid</h2><p>None that chance would not bring about.</p>"
    rows = [[escape(s.text), escape(s.odds), escape(s.method)] for s in found.surprises]
    return "<h2>Surprises in the finished grid</h2>" + _table(["What", "By chance", "Computed from"], rows)


def chapters(found: Review, *, viewers: bool = False) -> str:
    """Give the chapters for a video's description."""
    if not found.chapters:
        return "<h2>Chapters</h2><p>The recording is too short for any.</p>"
    held = found.chapters_for(viewers=viewers)
    return f"<h2>Chapters</h2><pre>{escape(description(held))}</pre>"
