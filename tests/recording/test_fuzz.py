"""Recordings as strangers may write them: judged without a crash, or refused with the line that is wrong."""

from __future__ import annotations

import json
from itertools import accumulate

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from saywhy.engine import prove
from saywhy.errors import SaywhyError
from saywhy.files import puzzle_id, read_text
from saywhy.recording import exports
from saywhy.recording.acts import (
    AnyAct,
    Erase,
    Finish,
    Header,
    Marker,
    Options,
    Pause,
    Place,
    Redo,
    Resume,
    Sum,
    Tie,
    Tint,
    Trait,
    Undo,
)
from saywhy.recording.log import Recording, read_bytes, written
from saywhy.recording.review import Reviewer
from saywhy.recording.typed import typed_on
from tests.desk.desks import HARBOUR

PUZZLE = read_text(HARBOUR)[0]
SOLUTION = prove(PUZZLE).solution
REVIEWER = Reviewer(PUZZLE)
HEADER = Header(format=1, puzzle=puzzle_id(PUZZLE), blind=True, started="2026-11-25T20:00:00+00:00")

cells = st.sampled_from([PUZZLE.grid.name(cell) for cell in PUZZLE.grid.cells])
digits = st.integers(1, 4)
some = st.lists(cells, min_size=1, max_size=5)
EACH: list[st.SearchStrategy[AnyAct]] = [
    st.builds(Place, t=st.just(0), cell=cells, digit=digits),
    st.builds(Place, t=st.just(0), cell=cells, digit=digits),
    st.builds(Erase, t=st.just(0), cell=cells),
    st.builds(Erase, t=st.just(0), cells=some, digit=digits),
    st.builds(Options, t=st.just(0), cell=cells, digits=st.lists(digits, max_size=4)),
    st.builds(Tie, t=st.just(0), cells=st.lists(cells, min_size=2, max_size=5), digit=digits),
    st.builds(Sum, t=st.just(0), cells=some, total=st.none() | st.integers(0, 40)),
    st.builds(Trait, t=st.just(0), cells=some, trait=st.sampled_from([None, "low", "high", "odd", "even"])),
    st.builds(Tint, t=st.just(0), cells=some, tint=st.none() | st.integers(1, 6)),
    st.builds(Marker, t=st.just(0), name=st.text(max_size=30)),
    st.builds(Undo, t=st.just(0)),
    st.builds(Redo, t=st.just(0)),
    st.builds(Pause, t=st.just(0)),
    st.builds(Resume, t=st.just(0)),
    st.builds(Finish, t=st.just(0)),
]


@st.composite
def solves(draw: st.DrawFn) -> list[AnyAct]:
    acts = draw(st.lists(st.one_of(EACH), max_size=25))
    waits = draw(st.lists(st.floats(0, 90, allow_nan=False), min_size=len(acts), max_size=len(acts)))
    return [_at(act, t) for act, t in zip(acts, accumulate(waits), strict=True)]


def _at(act: AnyAct, t: float) -> AnyAct:
    return replace(act, t=round(t, 2))


@settings(max_examples=40, deadline=None)
@given(solves())
def test_any_solve_is_judged_and_every_export_made(acts: list[AnyAct]) -> None:
    assert SOLUTION is not None
    found = REVIEWER.review(Recording(HEADER, tuple(acts)))
    unfinished = typed_on(acts)
    claims = [
        act
        for index, act in enumerate(acts)
        if isinstance(act, Place | Tie)
        or (isinstance(act, Options) and act.digits and index not in unfinished)
        or (isinstance(act, Sum) and act.total is not None)
        or (isinstance(act, Trait) and act.trait is not None)
    ]
    assert [move.t for move in found.moves] == [act.t for act in claims]
    for move, act in zip(found.moves, claims, strict=True):
        if isinstance(act, Place):
            right = SOLUTION[move.cells[0]] == act.digit
            assert (move.verdict != "wrong") == right and move.reason
            assert move.opening is None or move.opening.since <= move.t
    told = json.loads(json.dumps(found.as_json("x")))
    assert len(told["moves"]) == len(claims)
    quiet = json.dumps(found.for_viewers("x"))
    assert "r1c" not in quiet and '"digit"' not in quiet
    for viewers in (False, True):
        page = exports.html(found, viewers=viewers)
        assert page.count("<script") == (0 if viewers else 2) and page.endswith("</html>\n")
        errata = exports.errata(found, viewers=viewers)
        wrong = any(move.verdict == "wrong" for move in found.moves)
        assert errata.startswith("Errata\n") or not wrong
        if found.chapters:
            lines = exports.chapter_lines(found, viewers=viewers).splitlines()
            assert lines[0].startswith("0:00 ") and len(lines) >= 3
            assert exports.webvtt(found, viewers=viewers).count("-->") == len(lines)


GOOD = written(
    Recording(
        HEADER,
        (
            Place(t=1, cell="r1c2", digit=2),
            Options(t=2.5, cell="r1c4", digits=[2, 4]),
            Marker(t=4, name="Half way: ö"),
            Tie(t=5, cells=["r3c1", "r3c2"], digit=4),
            Sum(t=6, cells=["r2c3", "r3c3"], total=5),
            Undo(t=7),
            Place(t=9, cell="r4c4", digit=1),
            Finish(t=11),
        ),
    )
)
LINES = GOOD.splitlines(keepends=True)


@st.composite
def spoilt(draw: st.DrawFn) -> tuple[bytes, int]:
    """Give a recording with one damage, and the first line that it touches, from 0."""
    kind = draw(st.sampled_from(["bytes", "cut", "swap", "double", "insert", "drop"]))
    at = draw(st.integers(0, len(GOOD) - 1))
    line = GOOD[:at].count(b"\n")
    if kind == "cut":
        return GOOD[:at], line
    if kind == "bytes":
        piece = draw(st.binary(min_size=1, max_size=6))
        return GOOD[:at] + piece + GOOD[at + len(piece) :], line
    if kind == "insert":
        number = draw(st.integers(0, len(LINES)))
        junk = draw(st.binary(max_size=60).map(lambda held: held.replace(b"\n", b" ")))
        return b"".join([*LINES[:number], junk + b"\n", *LINES[number:]]), number
    a, b = sorted(draw(st.lists(st.integers(0, len(LINES) - 1), min_size=2, max_size=2, unique=True)))
    lines = list(LINES)
    if kind == "swap":
        lines[a], lines[b] = lines[b], lines[a]
    elif kind == "double":
        lines.insert(b, lines[a])
        return b"".join(lines), b
    else:
        del lines[a]
    return b"".join(lines), a


@settings(max_examples=200, deadline=None)
@given(spoilt())
def test_what_stands_before_a_damage_is_read_and_the_damage_is_named(held: tuple[bytes, int]) -> None:
    data, line = held
    whole = read_bytes(GOOD)
    try:
        found = read_bytes(data, "solve.jsonl", salvage=True)
    except SaywhyError as error:
        # Only where the first line itself is gone is nothing read.
        assert line == 0 or not data.startswith(LINES[0])
        assert all(problem.what and problem.mend for problem in error.problems)
        return
    kept = max(line - 1, 0)
    assert found.acts[:kept] == whole.acts[:kept]
    if found.damage is not None:
        assert found.damage.line is not None and found.damage.line >= line
        assert len(found.acts) >= kept
    _reviewed(found)


def _reviewed(found: Recording) -> None:
    try:
        REVIEWER.review(found)
    except SaywhyError as error:
        assert all(problem.what and problem.mend for problem in error.problems)


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=400) | st.text(max_size=200).map(lambda text: text.encode("utf-8", "replace")))
def test_anything_else_is_refused_with_words(data: bytes) -> None:
    try:
        read_bytes(data, salvage=True)
    except SaywhyError as error:
        assert all(problem.what and problem.mend for problem in error.problems)
        assert str(error).isprintable() or "\n" in str(error)
    else:
        raise AssertionError("read as a recording")
