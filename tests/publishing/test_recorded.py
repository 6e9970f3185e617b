"""Captions and chapters in the time of a recording."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
import webvtt

from saywhy.errors import NotAllowedError
from saywhy.publishing.captions import webvtt as as_webvtt
from saywhy.publishing.chapters import chapters
from saywhy.publishing.episode import Episode
from saywhy.publishing.limits import Limits
from saywhy.publishing.recorded import recorded
from saywhy.publishing.talk import talk
from saywhy.recording.acts import AnyAct, Finish, Header, Marker, Place
from saywhy.recording.log import Recording

#: Seconds from digit to digit in these recordings: some quicker than the words.
PACE = (20.0, 4.0, 11.0, 0.5, 31.0)


def solved(episode: Episode, *more: AnyAct, pace: tuple[float, ...] = PACE) -> Recording:
    """Give a recording that follows the path."""
    acts: list[AnyAct] = [*more]
    t = 45.0
    for told in episode.path.steps:
        for cell, digit in told.step.places.items():
            t += pace[len(acts) % len(pace)]
            acts.append(Place(t=t, cell=episode.puzzle.grid.name(cell), digit=digit))
    acts = sorted([*acts, Finish(t=t + 30)], key=lambda act: act.t)
    header = Header(format=1, puzzle=episode.name, blind=True, started="2026-11-25T20:00:00Z")
    return Recording(header, tuple(acts))


@pytest.fixture(scope="module")
def recording(harbour: Episode) -> Recording:
    return solved(harbour, Marker(t=60.0, name="The long arrow"), Marker(t=400.0, name="Down the <right>"))


def test_captions_keep_their_limits_and_never_overlap(harbour: Episode, recording: Recording) -> None:
    found = recorded(replace(harbour, recording=recording))
    cues = [cue for spoken in found for cue in spoken.captions]
    assert len(cues) > 50
    assert all(a.end_ms <= b.start_ms for a, b in pairwise(cues))
    for cue in cues:
        assert len(cue.lines) <= 2
        assert all(len(line) <= 42 for line in cue.lines)
        assert sum(map(len, cue.lines)) / (cue.end_ms - cue.start_ms) * 1000 <= 17


def test_a_beat_ends_where_its_last_digit_is_written(harbour: Episode, recording: Recording) -> None:
    written = {(act.cell, act.digit): act.t for act in recording.acts if isinstance(act, Place)}
    name = harbour.puzzle.grid.name
    ends: dict[int, float] = {}
    for told in harbour.path.steps:
        for cell, digit in told.step.places.items():
            ends[told.beat] = max(ends.get(told.beat, 0), written[name(cell), digit])
    found = [spoken for spoken in recorded(replace(harbour, recording=recording)) if spoken.beat]
    assert len(found) > 15
    for spoken in found:
        assert spoken.end_ms == round(1000 * ends[spoken.beat])


def test_where_there_is_time_every_word_of_the_path_is_there(harbour: Episode) -> None:
    slow = solved(harbour, pace=(200.0,))
    found = recorded(replace(harbour, recording=slow))
    lines = " ".join(line for spoken in found for cue in spoken.captions for line in cue.lines)
    assert lines.split() == " ".join(spoken.text for spoken in talk(harbour)).split()


def test_where_the_host_was_quicker_the_conclusion_stays(harbour: Episode) -> None:
    quick = solved(harbour, pace=(6.0,))
    for spoken in recorded(replace(harbour, recording=quick)):
        if spoken.beat:
            assert spoken.text.endswith(spoken.captions[-1].lines[-1])


def test_markers_are_shown_where_they_stand(harbour: Episode, recording: Recording) -> None:
    found = {spoken.text: spoken for spoken in recorded(replace(harbour, recording=recording))}
    assert found["Down the <right>"].start_ms >= 400_000
    assert "Down the &lt;right&gt;" in as_webvtt(recorded(replace(harbour, recording=recording)))


def test_a_second_reader_reads_them(harbour: Episode, recording: Recording, tmp_path: Path) -> None:
    found = recorded(replace(harbour, recording=recording))
    file = tmp_path / "recording.vtt"
    file.write_text(as_webvtt(found), encoding="utf-8")
    cues = [cue for spoken in found for cue in spoken.captions]
    assert len(webvtt.read(str(file)).captions) == len(cues)


def test_markers_make_the_chapters_and_a_recording_without_them_its_quarters(
    harbour: Episode, recording: Recording
) -> None:
    held = chapters(replace(harbour, recording=recording), talk(harbour))
    assert [chapter.title for chapter in held] == ["The rules", "The long arrow", "Down the <right>"]
    plain = chapters(replace(harbour, recording=solved(harbour)), talk(harbour))
    assert [chapter.title for chapter in plain][:2] == ["The rules", "The first digit"]
    assert len(plain) >= 3


def test_an_empty_recording_gives_the_rules_alone_and_no_recording_gives_nothing(harbour: Episode) -> None:
    header = Header(format=1, puzzle=harbour.name, blind=True, started="2026-11-25T20:00:00Z")
    found = recorded(replace(harbour, recording=Recording(header, ())))
    assert [spoken.beat for spoken in found] == [0]
    assert recorded(harbour) == ()


def test_other_limits_are_kept_and_senseless_ones_refused(harbour: Episode) -> None:
    narrow = replace(harbour, limits=Limits(columns=32, lines=1, per_second=13))
    cues = [cue for spoken in talk(narrow) for cue in spoken.captions]
    assert all(len(cue.lines) == 1 and len(cue.lines[0]) <= 32 for cue in cues)
    assert all(len(cue.lines[0]) / (cue.end_ms - cue.start_ms) * 1000 <= 13 for cue in cues)
    with pytest.raises(NotAllowedError, match=r"captions cannot have 0 lines\. Ask for 1 to 4"):
        Limits(lines=0)


def test_a_sentence_is_told_as_a_whole_or_not_at_all(harbour: Episode) -> None:
    """So no caption is the end of something that was never begun."""
    dropped = 0
    for pace in (3.0, 6.0, 9.0):
        for spoken in recorded(replace(harbour, recording=solved(harbour, pace=(pace,)))):
            said = " ".join(line for cue in spoken.captions for line in cue.lines)
            whole = re.split(r"(?<=[.?!])\s+", spoken.text)
            kept = [" ".join(whole[at:]) for at in range(len(whole))]
            kept += [" ".join(whole[:at]) for at in range(1, len(whole))]
            assert said in kept
            dropped += said != spoken.text
    assert dropped > 10
