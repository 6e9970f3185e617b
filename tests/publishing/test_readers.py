"""Print, feed, calendar and pictures, each by a reader that shares no code with what wrote it."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from io import BytesIO
from pathlib import Path
from uuid import UUID

import feedparser  # type: ignore[import-untyped]
import ics  # type: ignore[import-untyped]
import pypdfium2  # type: ignore[import-untyped]
import pytest
from PIL import Image

from saywhy import examples
from saywhy.drawing import board_png
from saywhy.drawing.text import BOLD
from saywhy.files import read
from saywhy.publishing.episode import Entry, Episode
from saywhy.publishing.feed import atom, calendar, series
from saywhy.publishing.paper import PAPERS, Paper, sheet
from saywhy.publishing.pictures import thumbnail_svg
from saywhy.reasoning.explain import explain
from tests.publishing.test_pack import HOSTILE

OTHER = Entry(
    id=UUID("b6c6a1d5-9c3f-5f0e-8a39-5f3f5d3f7f12"),
    title="Low <tide>; second, part",
    by="set by gulls",
    airs=date(2026, 12, 5),
    link="https://example.org/low-tide",
    rules=("Every row.",),
    minutes=None,
)


@pytest.mark.parametrize("whole", [False, True], ids=["puzzle", "with-path"])
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("hostile", [False, True], ids=["plain", "hostile"])
def test_a_checker_of_pdf_ua_1_finds_no_fault_in_print(
    harbour: Episode, paper: Paper, whole: bool, hostile: bool, tmp_path: Path
) -> None:
    """The checker is outloud, which reads by pikepdf and PyMuPDF: Matterhorn checkpoints and WCAG 2.2."""
    if hostile:
        harbour = replace(harbour, puzzle=replace(harbour.puzzle, title=HOSTILE), credit=HOSTILE)
    file = tmp_path / "sheet.pdf"
    file.write_bytes(sheet(harbour, paper, path=whole))
    command = [str(Path(sys.executable).with_name("outloud")), "--json", "-", "--fail-on", "never", str(file)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    found = json.loads(done.stdout[done.stdout.index("{") :])
    [told] = found["results"]
    assert (told["verdict"], told["counts"]["error"], told["counts"]["warning"]) == ("pass", 0, 0), told[
        "findings"
    ]
    assert told["stats"]["tagged"]


@pytest.mark.parametrize("name", ["customs-house", "dinghy"])
@pytest.mark.parametrize("paper", PAPERS)
def test_small_and_large_grids_fit_their_paper(name: str, paper: Paper) -> None:
    found = Path(__file__).parent / "puzzles" / f"{name}.toml"
    puzzle = read(found if found.exists() else examples.path(name))[0]
    episode = Episode(puzzle, explain(puzzle), link="https://example.org/" + "x" * 200)
    document = pypdfium2.PdfDocument(sheet(episode, paper))
    assert len(document) == 1
    picture = document[0].render(scale=1).to_pil().convert("L")
    wide, tall = picture.size
    # Nothing is printed in the outermost 10 mm.
    for edge in ((0, 0, wide, 28), (0, tall - 28, wide, tall), (0, 0, 28, tall), (wide - 28, 0, wide, tall)):
        assert picture.crop(edge).getextrema() == (255, 255)
    longer = pypdfium2.PdfDocument(sheet(episode, paper, path=True))
    text = "".join(page.get_textpage().get_text_range() for page in list(longer)[1:])
    assert "Solution" in text
    assert len(longer) > 1


def test_a_second_reader_of_feeds_finds_every_episode_the_latest_first(harbour: Episode) -> None:
    episode = replace(harbour, others=(OTHER,))
    held = feedparser.parse(BytesIO(atom(series(episode), "Harbour evenings <1>")))
    assert (held.bozo, held.version) == (False, "atom10")
    assert held.feed.title == "Harbour evenings <1>"
    assert [entry.id for entry in held.entries] == [f"urn:uuid:{OTHER.id}", f"urn:uuid:{harbour.uuid}"]
    assert [entry.link for entry in held.entries] == [OTHER.link, harbour.link]
    assert held.entries[0].title == "Low <tide>; second, part, set by gulls"
    assert held.feed.updated == "2026-12-05T00:00:00Z"


def test_a_second_reader_of_calendars_finds_times_and_days(harbour: Episode) -> None:
    episode = replace(harbour, others=(OTHER,))
    held = ics.Calendar(calendar(series(episode), "Harbour evenings", harbour.texts).decode())
    found = {event.uid: event for event in held.events}
    own, other = found[str(harbour.uuid)], found[str(OTHER.id)]
    assert own.begin.datetime == datetime(2026, 12, 1, 18, tzinfo=UTC)
    assert timedelta(minutes=2) < own.duration < timedelta(minutes=90)
    assert other.all_day
    assert other.begin.date() == date(2026, 12, 5)
    assert other.name == "Low <tide>; second, part: a puzzle solved aloud"


def test_an_episode_of_the_series_comes_once_with_its_own_words(harbour: Episode) -> None:
    old = replace(OTHER, id=harbour.uuid)
    assert [entry.title for entry in series(replace(harbour, others=(old, OTHER)))] == [
        harbour.title,
        OTHER.title,
    ]


@pytest.mark.parametrize("name", examples.names())
def test_a_thumbnail_is_legible_at_240_pixels(name: str) -> None:
    """Legible: the title's capitals are at least seven pixels high then (common practice, no source)."""
    puzzle = read(examples.path(name))[0]
    svg = thumbnail_svg(Episode(puzzle, explain(puzzle)))
    sizes = [float(size) for size in re.findall(r'font-weight="700"[^>]*font-size="([\d.]+)"', svg)]
    titles = [size for size in sizes if size >= 60]
    assert titles
    assert min(titles) * BOLD.figure * 240 / 1280 >= 7
    data = board_png(svg, 1280)
    assert len(data) <= 2_000_000
    with Image.open(BytesIO(data)) as picture:
        assert picture.size == (1280, 720)
