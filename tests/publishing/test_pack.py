"""The whole pack: complete, the same twice, nothing half-written, hostile texts as text, outside readers."""

from __future__ import annotations

import base64
import hashlib
import json
import os
import re
import subprocess
import sys
import time
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import icalendar
import pypdfium2  # type: ignore[import-untyped]
import pytest
from PIL import Image

from saywhy import examples
from saywhy.errors import NotAllowedError
from saywhy.files import read
from saywhy.publishing import Wish, build
from saywhy.publishing import pack as pack_module
from saywhy.publishing.episode import Episode
from saywhy.publishing.feed import ATOM, atom, calendar, series
from saywhy.publishing.page import MOST_BYTES, facts, page
from saywhy.publishing.paper import PAPERS, sheet
from saywhy.publishing.pictures import thumbnail_svg
from saywhy.publishing.talk import talk
from saywhy.reasoning.explain import explain

HOSTILE = '<script>alert(1)</script> \u202egnp.exe\u2066 ]] "&\' $page_still #eval("1") ' + "x" * 10_000


@pytest.fixture(scope="module")
def packed(harbour: Episode, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("packs") / "pack"
    build(harbour, folder, Wish(path=True))
    return folder


def contents(folder: Path) -> dict[str, bytes]:
    return {str(file.relative_to(folder)): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def test_the_manifest_names_every_file_with_its_checksum_and_what_spoils(packed: Path) -> None:
    held = contents(packed)
    said = json.loads(held.pop("manifest.json"))
    assert {file["name"]: file["sha256"] for file in said["files"]} == {
        name: hashlib.sha256(data).hexdigest() for name, data in held.items()
    }
    assert all(file["spoils"] == file["name"].startswith("spoilers/") for file in said["files"])
    told = json.loads(held["spoilers/pictures.json"])
    for file in said["files"]:
        if re.search(r"\.(png|svg|webp)$", file["name"]):
            assert told[file["name"]] if file["spoils"] else file["alt"]


def test_building_twice_gives_the_same_bytes_and_an_earlier_pack_gives_way(
    packed: Path, harbour: Episode
) -> None:
    before = contents(packed)
    again = replace(harbour, path=explain(harbour.puzzle))
    build(again, packed, Wish(path=True))
    assert contents(packed) == before
    assert [entry.name for entry in packed.parent.iterdir()] == ["pack"]


def test_a_failure_leaves_nothing_half_written(
    packed: Path, harbour: Episode, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(where: Path, held: object, listing: bytes) -> None:
        (where / "index.html").write_bytes(b"half")
        raise OSError(28, "No space left on device")

    before = contents(packed)
    monkeypatch.setattr(pack_module, "_write", full)
    monkeypatch.setattr(pack_module, "pieces", lambda *_, **__: [])
    for folder in (packed, tmp_path / "fresh"):
        with pytest.raises(NotAllowedError, match="no space left"):
            build(harbour, folder)
    assert contents(packed) == before
    assert [entry.name for entry in packed.parent.iterdir()] == ["pack"]
    assert list(tmp_path.iterdir()) == []


def test_a_folder_with_something_else_in_it_is_left_alone(harbour: Episode, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine")
    with pytest.raises(NotAllowedError, match="not a pack"):
        build(harbour, tmp_path)
    assert [entry.name for entry in tmp_path.iterdir()] == ["letter.txt"]


def test_pictures_have_their_sizes_and_the_walk_lasts_as_long_as_the_talk(
    packed: Path, harbour: Episode
) -> None:
    thumbnail = (packed / "pictures" / "thumbnail.png").read_bytes()
    assert len(thumbnail) <= 2_000_000
    assert Image.open(BytesIO(thumbnail)).size == (1280, 720)
    with Image.open(packed / "spoilers" / "walk.webp") as walk:
        track = talk(harbour)
        lengths = []
        for frame in range(getattr(walk, "n_frames", 1)):
            walk.seek(frame)
            walk.load()
            lengths.append(walk.info["duration"])
    assert len(list((packed / "spoilers" / "stills").iterdir())) == len(harbour.path.beats) + 1
    assert abs(sum(lengths) - track[-1].end_ms - 2_000) <= len(track)


def test_nothing_outside_the_spoilers_tells_a_digit_of_the_solve(packed: Path, harbour: Episode) -> None:
    texts = {name: data for name, data in contents(packed).items() if not name.startswith("spoilers/")}
    open_files = texts.pop("manifest.json").decode()
    open_texts = "".join(data.decode() for name, data in texts.items() if not name.endswith((".png", ".pdf")))
    solution = "".join(map(str, harbour.solution))
    for step in harbour.path.steps:
        assert step.told.written not in open_texts + open_files
        assert step.told.text not in open_texts + open_files
    assert solution not in open_texts
    assert ",".join(map(str, harbour.solution)) not in open_texts
    assert re.search(r"\br\d+c\d+\b", open_files) is None


def test_the_feed_is_what_rfc_4287_asks_for(harbour: Episode) -> None:
    feed = ElementTree.fromstring(atom(series(harbour), "Harbour evenings"))
    for held in (feed, feed.find(f"{{{ATOM}}}entry")):
        assert held is not None
        for name in ("id", "title", "updated"):
            assert len(held.findall(f"{{{ATOM}}}{name}")) == 1
        assert re.fullmatch(r"urn:uuid:[0-9a-f-]{36}", held.findtext(f"{{{ATOM}}}id") or "")
        assert held.findtext(f"{{{ATOM}}}updated") == "2026-12-01T18:00:00Z"
    assert feed.findtext(f"{{{ATOM}}}author/{{{ATOM}}}name") == "Harbour evenings"


def test_the_calendar_reads_back_and_ids_stay_when_words_change(harbour: Episode) -> None:
    data = calendar(series(harbour), "Harbour evenings", harbour.texts)
    [event] = icalendar.Calendar.from_ical(data).walk("VEVENT")
    assert event.decoded("dtstart") == harbour.airs
    assert str(event["uid"]) == str(harbour.uuid) == str(replace(harbour, credit="Someone else").uuid)
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))


def test_the_pdf_is_tagged_says_that_it_is_accessible_and_reads_back(harbour: Episode) -> None:
    for paper, size in (("a4", (595, 842)), ("us-letter", (612, 792))):
        data = sheet(harbour, paper)  # type: ignore[arg-type]
        document = pypdfium2.PdfDocument(data)
        assert len(document) == 1
        assert tuple(round(side) for side in document[0].get_size()) == size
        text = document[0].get_textpage().get_text_range()
        assert "Harbour lights" in text
        assert "Double arrow" in text
        assert b"/MarkInfo" in data
        assert b"pdfuaid:part" in data
        picture = document[0].render(scale=1).to_pil().convert("RGB")
        assert all(r == g == b for _, (r, g, b) in picture.getcolors(1_000_000)), "grey-safe"
    assert len(pypdfium2.PdfDocument(sheet(harbour, "a4", path=True))) > 1


@pytest.fixture(scope="module")
def ferry() -> Episode:
    """An episode with a long title and eight rules, four of them beside the grid."""
    puzzle = read(Path(__file__).parent / "puzzles" / "long-mooring-line.toml")[0]
    return Episode(puzzle, explain(puzzle), link="https://example.org/evening/long-mooring-line")


def test_a_puzzle_with_many_rules_is_printed_on_one_page_with_all_of_them(ferry: Episode) -> None:
    for paper in PAPERS:
        document = pypdfium2.PdfDocument(sheet(ferry, paper))
        assert len(document) == 1
        text = document[0].get_textpage().get_text_range()
        assert "White dot:" in text
        assert "long-mooring-line" in text.replace("\u200b", "")


def test_each_rule_of_the_page_begins_with_its_name(ferry: Episode) -> None:
    html = page(ferry).decode()
    assert "<p>Every row, every column and every box" in html
    assert re.findall(r"<p><strong>([^<]*):</strong> \S", html) == [
        *(
            "Arrow",
            "Arrow",
            "Little killer",
            "Skyscraper",
            "Sandwich",
            "Quadruple",
            "Killer cage",
            "White dot",
        )
    ]


def test_a_long_title_stands_on_the_thumbnail_whole(ferry: Episode) -> None:
    words = " ".join(re.findall(r'font-weight="700"[^>]*>([^<]*)</text>', thumbnail_svg(ferry)))
    assert ferry.title in words


def test_hostile_titles_and_credits_come_out_as_text_everywhere(harbour: Episode) -> None:
    puzzle = replace(harbour.puzzle, title=HOSTILE)
    hostile = Episode(puzzle, harbour.path, credit=HOSTILE, link=harbour.link, airs=harbour.airs,
                      series=HOSTILE, licence=HOSTILE, next_date=HOSTILE, blind=True)  # fmt: skip
    html = page(hostile).decode()
    assert "<script>alert" not in html
    assert "&lt;script&gt;alert(1)" in html
    assert html.count("<script") == 2
    entry = ElementTree.fromstring(atom(series(hostile), HOSTILE)).findtext(
        f"{{{ATOM}}}entry/{{{ATOM}}}title"
    )
    assert (entry or "").startswith("<script>alert(1)</script>")
    [event] = icalendar.Calendar.from_ical(calendar(series(hostile), HOSTILE, hostile.texts)).walk("VEVENT")
    assert str(event["summary"]).startswith("<script>")
    ElementTree.fromstring(thumbnail_svg(hostile))
    text = pypdfium2.PdfDocument(sheet(hostile))[0].get_textpage().get_text_range()
    assert "script" in text
    assert "eval" in text
    from saywhy.publishing.words import words

    said = words(hostile)
    assert len(said.title) <= 100
    assert not set("<>") & set(said.title + said.description)
    for made in (html, said.title, said.description, thumbnail_svg(hostile), text):
        assert not re.search("[\u202a-\u202e\u2066-\u2069]", made)


@pytest.mark.parametrize(
    "link", ["javascript:alert(1)", "https://", "https://a b.example/", 'https://x/"', "x" * 600]
)
def test_a_link_that_is_no_web_address_is_refused(harbour: Episode, link: str) -> None:
    with pytest.raises(NotAllowedError, match="not a web address"):
        replace(harbour, link=link)


def test_the_page_is_small_and_asks_for_nothing(harbour: Episode) -> None:
    html = page(harbour)
    assert len(html) <= MOST_BYTES
    assert "connect-src" not in html.decode()
    assert "default-src 'none'" in html.decode()
    assert not re.search(rb'(?:src|href)="(?!data:)', html)
    assert not {"solution"} & set(facts(harbour))


@pytest.mark.parametrize("name", examples.names())
def test_every_example_packs_in_six_seconds(name: str, tmp_path: Path) -> None:
    puzzle = read(examples.path(name))[0]
    began = time.process_time()
    build(Episode(puzzle, explain(puzzle)), tmp_path / "pack", Wish(draft=True))
    assert time.process_time() - began <= 6


def test_the_command_says_what_spoils_and_bad_input_ends_with_2(tmp_path: Path) -> None:
    def run(*words: str) -> subprocess.CompletedProcess[str]:
        command = [sys.executable, "-m", "saywhy", "pack", str(examples.path(examples.FIRST)), *words]
        return subprocess.run(command, capture_output=True, text=True, check=False)

    bad = run("-o", str(tmp_path / "pack"), "--link", "not a link")
    assert (bad.returncode, (tmp_path / "pack").exists()) == (2, False)
    assert "--link: the link is not a web address" in bad.stderr
    late = run("-o", str(tmp_path / "pack"), "--airs", "soon")
    assert late.returncode == 2
    assert "the time of airing cannot be read" in late.stderr
    lacking = run("-o", str(tmp_path / "pack"), "--blind", "--without", "next")
    assert (lacking.returncode, lacking.stdout, list(tmp_path.iterdir())) == (2, "", [])
    told = lacking.stderr.splitlines()
    assert len(told) == 3
    for line, field in zip(told, ("link", "licence"), strict=False):
        assert f"description: {{{field}}} has no value" in line
        assert f"(--{field} " in line
        assert f"(--without {field})" in line
    assert told[2] == "For a look without them, add --draft."


def test_a_draft_says_in_description_manifest_and_output_that_it_is_one(tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    command = [sys.executable, "-m", "saywhy", "pack", str(examples.path("dinghy")), "-o", str(pack)]
    done = subprocess.run([*command, "--draft"], capture_output=True, text=True, check=True)
    assert (
        "This is a draft, and its description and manifest say so; not filled in: link, blind" in done.stdout
    )
    said = json.loads((pack / "manifest.json").read_bytes())
    assert (said["draft"], said["unfilled"]) == (True, ["link", "blind", "licence", "next"])
    assert (pack / "words" / "description.txt").read_text().startswith("DRAFT, not to be published.")
    # The finished pack takes its place, and nothing of the draft is left.
    words = ["--link", "https://example.org/d", "--blind", "--licence", "CC 0", "--next", "on Friday"]
    done = subprocess.run([*command, *words], capture_output=True, text=True, check=True)
    assert "This is a draft" not in done.stdout
    said = json.loads((pack / "manifest.json").read_bytes())
    assert (said["draft"], said["unfilled"]) == (False, [])
    assert "DRAFT" not in (pack / "words" / "description.txt").read_text()


def test_the_policy_of_the_page_names_its_code_by_hash_and_lets_nothing_else_in(harbour: Episode) -> None:
    html = page(harbour).decode()
    [policy] = re.findall(r'http-equiv="Content-Security-Policy" content="([^"]+)"', html)
    allowed = dict(part.strip().split(" ", 1) for part in policy.split(";"))
    assert allowed["default-src"] == allowed["base-uri"] == allowed["form-action"] == "'none'"
    [script] = re.findall(r'<script type="module">(.*?)</script>', html, re.DOTALL)
    [style] = re.findall(r"<style>(.*?)</style>", html, re.DOTALL)
    for kind, text in (("script-src", script), ("style-src", style)):
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert allowed[kind] == f"'sha256-{digest}'"
    assert set(allowed) == {"default-src", "script-src", "style-src", "font-src", "base-uri", "form-action"}


def test_a_build_that_is_interrupted_while_it_changes_places_keeps_the_earlier_pack(
    packed: Path, harbour: Episode, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    before = contents(packed)
    monkeypatch.setattr(pack_module, "pieces", lambda *_, **__: [])
    monkeypatch.setattr(os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        build(harbour, packed)
    assert contents(packed) == before
    assert [entry.name for entry in packed.parent.iterdir()] == ["pack"]


def test_progress_is_told_stage_by_stage_and_what_it_raises_ends_the_making(
    harbour: Episode, tmp_path: Path
) -> None:
    class StopError(Exception):
        pass

    seen: list[tuple[str, int, int]] = []

    def told(name: str, number: int, of: int) -> None:
        seen.append((name, number, of))
        if name == "pictures":
            raise StopError

    with pytest.raises(StopError):
        build(harbour, tmp_path / "pack", told=told)
    assert [number for _, number, _ in seen] == [0, 1, 2]
    assert list(tmp_path.iterdir()) == []
