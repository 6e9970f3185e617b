"""Titles, credits and names of markers from strangers come out as text in every part of a pack."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date
from xml.etree import ElementTree

import icalendar
import pytest

from saywhy import examples
from saywhy.files import read
from saywhy.publishing.episode import Episode
from saywhy.publishing.pack import manifest
from saywhy.publishing.pieces import Piece, Wish, pieces
from saywhy.reasoning.explain import explain
from saywhy.recording.acts import Marker
from tests.publishing.test_pack import HOSTILE
from tests.publishing.test_recorded import solved

#: Marks that turn the direction of text.
TURNS = re.compile("[\u200e\u200f\u202a-\u202e\u2066-\u2069]")


@pytest.fixture(scope="module")
def made() -> dict[str, Piece]:
    puzzle = read(examples.path("dinghy"))[0]
    episode = Episode(
        replace(puzzle, title=HOSTILE), explain(puzzle), credit=HOSTILE, licence=HOSTILE, next_date=HOSTILE,
        series=HOSTILE, airs=date(2026, 12, 1), link="https://example.org/1", blind=True,
    )  # fmt: skip
    # A name of a marker has at most 200 letters.
    markers = [Marker(t=60.0 + 40 * k, name=HOSTILE[:190] + str(k)) for k in range(3)]
    episode = replace(episode, recording=solved(episode, *markers))
    wish = Wish(path=True)
    found = pieces(episode, wish)
    found.append(Piece("manifest.json", manifest(episode, found, wish)))
    return {piece.name: piece for piece in found}


def test_no_part_holds_markup_or_turns_of_direction(made: dict[str, Piece]) -> None:
    endings = ("html", "txt", "vtt", "srt", "svg", "atom", "ics", "json")
    texts = {name: piece.data.decode() for name, piece in made.items() if name.endswith(endings)}
    assert len(texts) > 12
    for name, text in texts.items():
        assert not TURNS.search(text), name
        if name.endswith((".html", ".vtt", ".svg", ".atom")):
            assert "<script>alert" not in text, name
            assert "&lt;script&gt;alert" in text or name == "spoilers/captions.vtt", name
        assert len(text) < 400 * 1024, name


def test_no_text_of_a_stranger_is_longer_than_its_place(made: dict[str, Piece]) -> None:
    assert len(made["words/title.txt"].data.decode().strip()) <= 100
    assert len(made["words/description.txt"].data) <= 5_000
    assert not set("<>") & set(made["words/description.txt"].data.decode())
    for line in made["words/chapters.txt"].data.decode().splitlines():
        assert len(line) <= 80
    assert all(len(file.get("alt", "")) < 5_000 for file in json.loads(made["manifest.json"].data)["files"])


def test_every_kind_still_reads_as_what_it_is(made: dict[str, Piece]) -> None:
    for name, piece in made.items():
        if name.endswith((".svg", ".atom")):
            ElementTree.fromstring(piece.data)
        elif name.endswith(".vtt"):
            cues = [line for line in piece.data.decode().splitlines() if "-->" in line]
            assert all(re.fullmatch(r"[\d:.]+ --> [\d:.]+", line) for line in cues), name
    [event] = icalendar.Calendar.from_ical(made["calendar.ics"].data).walk("VEVENT")
    assert str(event["summary"]).startswith("<script>alert(1)</script>")
    assert all(len(line) <= 75 for line in made["calendar.ics"].data.split(b"\r\n"))
