"""Captions, chapters, title and description: within the limits of sites, and read by a second reader."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
import webvtt
from hypothesis import given, settings
from hypothesis import strategies as st

from saywhy.errors import NotAllowedError
from saywhy.publishing.captions import subrip, transcript
from saywhy.publishing.captions import webvtt as as_webvtt
from saywhy.publishing.chapters import chapters
from saywhy.publishing.episode import Episode
from saywhy.publishing.talk import blocks, talk
from saywhy.publishing.words import words
from saywhy.recording.chapters import description


def test_captions_keep_to_42_characters_two_lines_and_17_characters_a_second(harbour: Episode) -> None:
    cues = [cue for spoken in talk(harbour) for cue in spoken.captions]
    assert len(cues) > 50
    for cue, after in zip(cues, [*cues[1:], None], strict=True):
        assert 1 <= len(cue.lines) <= 2
        assert all(0 < len(line) <= 42 for line in cue.lines)
        length_s = (cue.end_ms - cue.start_ms) / 1000
        assert sum(map(len, cue.lines)) / length_s <= 17
        assert 1 <= length_s <= 7
        assert after is None or after.start_ms >= cue.end_ms


def test_a_second_reader_reads_both_kinds_of_captions(harbour: Episode, tmp_path: Path) -> None:
    track = talk(harbour)
    cues = [cue for spoken in track for cue in spoken.captions]
    vtt, srt = tmp_path / "talk.vtt", tmp_path / "talk.srt"
    vtt.write_text(as_webvtt(track), encoding="utf-8")
    srt.write_text(subrip(track), encoding="utf-8")
    for read in (webvtt.read(str(vtt)), webvtt.from_srt(str(srt))):
        assert [tuple(held.lines) for held in read.captions] == [cue.lines for cue in cues]
        assert [round(held.start_in_seconds * 1000) // 1000 for held in read.captions] == [
            cue.start_ms // 1000 for cue in cues
        ]


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=400))
def test_any_text_is_cut_into_captions_that_hold_all_its_letters(text: str) -> None:
    found = blocks(text)
    assert all(len(line) <= 42 for lines in found for line in lines)
    assert all(len(lines) <= 2 for lines in found)
    from saywhy.drawing.text import clean

    assert "".join("".join(lines) for lines in found).replace(" ", "") == re.sub(r"\s", "", clean(text))


def test_markup_in_the_talk_is_text_in_the_captions(harbour: Episode) -> None:
    hostile = replace(harbour.path, beats=("<script>alert(1)</script> & --> 5",))
    made = as_webvtt(talk(replace(harbour, path=hostile)))
    assert "<script" not in made
    assert "&lt;script&gt;" in made
    assert all(re.match(r"[\d:.]+ --> [\d:.]+$", line) for line in made.splitlines() if "-->" in line)


def test_chapters_are_ones_that_video_sites_take(harbour: Episode) -> None:
    held = chapters(harbour, talk(harbour))
    starts = [chapter.t for chapter in held]
    assert starts[0] == 0
    assert len(starts) >= 3
    assert all(b - a >= 10 for a, b in pairwise(starts))
    assert description(held).startswith("0:00 The rules\n")


def test_the_transcript_has_every_beat_in_order(harbour: Episode) -> None:
    made = transcript(talk(harbour))
    assert made.count("\n\n") == len(harbour.path.beats)


def test_title_and_description_say_who_set_it_how_it_was_solved_and_where_the_page_is(
    harbour: Episode,
) -> None:
    made = words(harbour)
    assert made.title == "Harbour lights, set by oarlock"
    for part in (
        "set by oarlock",
        "Solved blind",
        "https://example.org/harbour",
        "Double arrow:",
        "0:00 The rules",
    ):
        assert part in made.description
    assert "Rehearsed" in words(replace(harbour, blind=False)).description


def test_an_unfilled_or_unknown_field_is_an_error_that_says_how_to_mend_it(harbour: Episode) -> None:
    with pytest.raises(NotAllowedError) as caught:
        words(replace(harbour, link=None), "{title}\n\nSolve it: {link}\n{colour}\n", "mine.txt")
    text = str(caught.value)
    assert "mine.txt: line 3: the field 'link' has no value. Give --link" in text
    assert "line 4: there is no field 'colour'" in text
    left = words(replace(harbour, link=None), "{title}\n\n? Solve it: {link}\n")
    assert ("Solve" in left.description, left.left_out) == (False, ("link",))


def test_what_is_longer_than_sites_take_is_an_error(harbour: Episode) -> None:
    with pytest.raises(NotAllowedError, match=r"sites take 5000"):
        words(harbour, "{title}\n\n" + "wave " * 1100)
    with pytest.raises(NotAllowedError, match="title is empty"):
        words(harbour, "\n\nText")
