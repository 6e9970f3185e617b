"""
Chapters and cues.

Source: YouTube Help (first at 0:00, at least three, ascending, each at least 10 s); W3C WebVTT (cue times as
hh:mm:ss.ttt, end after start, no --> in the text).
"""

from __future__ import annotations

import re
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from saywhy.recording.acts import AnyAct, Finish, Marker, Place
from saywhy.recording.chapters import Chapter, chapters, description, webvtt

TIMES = st.lists(st.floats(0, 5000, allow_nan=False), min_size=1, max_size=30).map(sorted)


@settings(deadline=None)
@given(TIMES, st.data())
def test_chapters_are_such_as_video_sites_take(times: list[float], data: st.DataObject) -> None:
    acts: list[AnyAct] = []
    for t in times:
        name = data.draw(st.text(max_size=90))
        act: AnyAct = Place(t=t, cell="r1c1", digit=1)
        acts.append(Marker(t=t, name=name) if data.draw(st.booleans()) else act)
    acts.append(Finish(t=times[-1]))
    held = chapters(acts)
    if not held:
        return
    starts = [chapter.t for chapter in held]
    assert starts[0] == 0 and len(held) >= 3
    assert all(b - a >= 10 for a, b in zip(starts, [*starts[1:], acts[-1].t], strict=True))
    lines = description(held).splitlines()
    assert len(lines) == len(held)
    assert all(re.fullmatch(r"(\d+:)?\d?\d:\d\d \S.*", line) for line in lines)
    cues = re.findall(
        r"^(\d\d:[0-5]\d:[0-5]\d\.\d{3}) --> (\d\d:[0-5]\d:[0-5]\d\.\d{3})$", webvtt(held, times[-1]), re.M
    )
    assert len(cues) == len(held)
    assert all(a < b for a, b in cues)
    assert all(end == start for (_, end), (start, _) in pairwise(cues))


def test_a_long_solve_without_markers_has_its_quarters() -> None:
    acts: list[AnyAct] = [Place(t=20.0 + 10 * k, cell="r1c1", digit=1) for k in range(40)]
    held = chapters([*acts, Finish(t=460)])
    assert [chapter.title for chapter in held] == [
        "Rules",
        "The first digit",
        "A quarter in",
        "Half way",
        "The last quarter",
    ]


def test_markers_of_one_name_are_told_apart_and_a_cut_is_no_chapter() -> None:
    names = ("Chapter", "Retake", "Chapter", "The ferry", "Chapter")
    acts: list[AnyAct] = [Marker(t=60.0 * k, name=name) for k, name in enumerate(names, 1)]
    held = chapters([*acts, Finish(t=400)])
    assert [(chapter.t, chapter.title) for chapter in held] == [
        (0, "Rules"),
        (60, "Chapter A"),
        (180, "Chapter B"),
        (240, "The ferry"),
        (300, "Chapter C"),
    ]


def test_a_short_recording_has_no_chapters() -> None:
    assert chapters([Place(t=3, cell="r1c1", digit=1), Finish(t=9)]) == []


def test_hours_are_written_where_there_are_any() -> None:
    assert description([Chapter(0.0, "Rules"), Chapter(3700.0, "Late")]) == "0:00 Rules\n1:01:40 Late\n"
