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
from saywhy.publishing.words import LEAVABLE, UnfilledError, words
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
        "The puzzle: CC BY 4.0.",
        "Next time: on Friday.",
        "Double arrow:",
        "0:00 The rules",
    ):
        assert part in made.description
    assert (made.left_out, made.unfilled) == ((), ())
    assert "DRAFT" not in made.description
    assert "Rehearsed" in words(replace(harbour, blind=False)).description


def test_an_unfilled_or_unknown_field_is_an_error_that_says_how_to_mend_it(harbour: Episode) -> None:
    with pytest.raises(UnfilledError) as caught:
        words(replace(harbour, link=None), "{title}\n\nSolve it: {link}\n{colour}\n", "mine.txt")
    text = str(caught.value)
    assert "mine.txt: line 3: {link} has no value: the address of the viewers' page. Give it (--link" in text
    assert "or leave it out on purpose (--without link); or begin the line with '? '" in text
    assert "line 4: there is no field 'colour'" in text
    left = words(replace(harbour, link=None), "{title}\n\n? Solve it: {link}\n")
    assert ("Solve" in left.description, left.left_out) == (False, ("link",))


def test_the_usual_description_tells_all_fields_that_it_lacks_at_once(harbour: Episode) -> None:
    puzzle = replace(harbour.puzzle, setter="")
    bare = replace(harbour, puzzle=puzzle, link=None, blind=None, licence=None, next_date=None)
    with pytest.raises(UnfilledError) as caught:
        words(bare)
    said = [problem.what.partition(" ")[0] for problem in caught.value.problems]
    assert said == ["{by}", "{link}", "{blind}", "{licence}", "{next}"]
    for problem, option in zip(
        caught.value.problems, ["--setter-credit", "--link", "--blind", "--licence", "--next"], strict=True
    ):
        assert option in problem.mend
        assert "--without" in problem.mend


def test_what_is_left_out_on_purpose_takes_its_line_along_and_nothing_else(harbour: Episode) -> None:
    whole = words(harbour)
    made = words(harbour, without=["link", "next"])
    gone = [line for line in whole.description.splitlines() if line.startswith(("Solve it", "Next time"))]
    assert len(gone) == 2
    kept = [line for line in whole.description.splitlines() if line not in gone]
    assert made.description.split() == " ".join(kept).split()
    assert made.left_out == ("link", "next")
    nobody = words(harbour, without=["setter"])
    assert nobody.title == "Harbour lights"
    assert "Harbour lights, a 9 by 9 sudoku." in nobody.description
    assert nobody.left_out == ("setter",)
    bare = words(replace(harbour, link=None, blind=None), without=LEAVABLE)
    assert "{" not in bare.title + bare.description
    assert "0:00" not in bare.description


def test_a_draft_shows_what_it_lacks_and_says_above_that_it_is_one(harbour: Episode) -> None:
    made = words(replace(harbour, link=None, licence=None), draft=True, without=["next"])
    first, *rest = made.description.splitlines()
    assert first == "DRAFT, not to be published. Not filled in: link, licence."
    assert "The puzzle: [licence: not filled in]." in rest
    assert not any(line.startswith("Next time") for line in rest)
    assert (made.unfilled, made.left_out) == (("link", "licence"), ("next",))
    whole = words(harbour, draft=True)
    assert whole.description.startswith("DRAFT, not to be published.\n")
    with pytest.raises(NotAllowedError, match="no field 'colour'"):
        words(harbour, "{title}\n\n{colour}\n", draft=True)


def test_what_is_longer_than_sites_take_is_an_error(harbour: Episode) -> None:
    with pytest.raises(NotAllowedError, match=r"sites take 5000"):
        words(harbour, "{title}\n\n" + "wave " * 1100)
    with pytest.raises(NotAllowedError, match="title is empty"):
        words(harbour, "\n\nText")


def test_the_document_shows_the_usual_template(harbour: Episode) -> None:
    document = Path(__file__).parents[2].joinpath("docs", "pack.md").read_text(encoding="utf-8")
    assert f"```\n{harbour.texts['template'].strip()}\n```" in document


def test_the_captions_of_a_sentence_are_about_equally_long_and_end_after_commas() -> None:
    assert blocks("Row 7 has its 1 and these three cells can't take it, so in this box it goes here.") == [
        ("Row 7 has its 1 and these", "three cells can't take it,"),
        ("so in this box it goes here.",),
    ]
    text = "A boxed number outside is the total between the 1 and the 9 of that row or column."
    lengths = [len(" ".join(lines)) for lines in blocks(text)]
    assert len(lengths) == 2
    assert min(lengths) > 0.6 * max(lengths)
