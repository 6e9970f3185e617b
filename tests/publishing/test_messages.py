"""A second language is a file: a made-up one goes through the whole pack and leaves no English behind."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import icalendar
import pypdfium2  # type: ignore[import-untyped]
import pytest
from playwright.sync_api import Browser

from saywhy import examples
from saywhy.errors import NotAllowedError, UnreadableError
from saywhy.files import read
from saywhy.language import ENGLISH, Language, pattern
from saywhy.publishing.episode import Episode
from saywhy.publishing.messages import Catalogue, blank, english
from saywhy.publishing.messages import read as read_catalogue
from saywhy.publishing.page import page
from saywhy.publishing.pieces import Piece, Wish, pieces
from saywhy.puzzle import Puzzle
from saywhy.reasoning.answer import nudge
from saywhy.reasoning.explain import explain
from saywhy.recording.acts import AnyAct, Finish, Header, Place
from saywhy.recording.log import Recording
from tests.desk.browsers import DESKTOP
from tests.publishing.sight import Sight

#: What is the same in both languages: fields, and the lines of the template.
_KEPT = re.compile(r"(\{\w*\}|\n)")
_WORD = re.compile(r"[A-Za-z]{2,}")
#: Every word of the made-up language ends so.
MARK = "ø"
#: English that is no published text: tags of languages, the program's own id, addresses, names of keys.
NO_TEXT = {"en", "saywhy", "episodes", "http", "https", "example", "org", "qo", "Ctrl", "CSS"}


def made_up(text: str) -> str:
    """Say a text in the made-up language: every word reversed, with a letter that English lacks."""
    return "".join(
        part if _KEPT.fullmatch(part) else _WORD.sub(lambda word: word[0][::-1] + MARK, part)
        for part in _KEPT.split(text)
    )


def translated(puzzles: list[Puzzle], folder: Path) -> Path:
    """Write the made-up language's file, from the one that is given to translators."""
    lines = []
    for line in blank(puzzles).splitlines():
        name, equals, text = line.partition(" = ")
        if name == "language":
            lines.append('language = "qo"')
        elif equals:
            # Names of sentences hold " = " never; a text is JSON, which is TOML too.
            lines.append(f"{name} = {json.dumps(made_up(json.loads(text)), ensure_ascii=False)}")
        else:
            lines.append(line)
    file = folder / "qo.toml"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file


def strange(text: str, but: str = "") -> list[str]:
    """Give the words of a text that are not of the made-up language, but for those of another text."""
    known = set(re.findall(r"[^\W\d_]+", but)) | NO_TEXT
    bare = re.sub(MARK + r"[A-Z]\b", MARK, text)  # the cap of a key stands close to its name
    words = re.findall(r"[^\W\d_]{2,}", bare)
    return [word for word in words if not word.endswith(MARK) and word not in known]


@pytest.fixture(scope="module")
def puzzle() -> Puzzle:
    return replace(read(examples.path("dinghy"))[0], title="Øresund", setter="gråspurv")


@pytest.fixture(scope="module")
def catalogue(puzzle: Puzzle, tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    return read_catalogue(translated([puzzle], tmp_path_factory.mktemp("qo")))


@pytest.fixture(scope="module")
def episode(puzzle: Puzzle, catalogue: Catalogue) -> Episode:
    from datetime import date

    path = explain(puzzle)
    acts: list[AnyAct] = [
        *(
            Place(t=30.0 + 9 * n, cell=puzzle.grid.name(cell), digit=digit)
            for n, (cell, digit) in enumerate(
                (cell, digit) for told in path.steps for cell, digit in told.step.places.items()
            )
        ),
        Finish(t=900.0),
    ]
    recording = Recording(
        Header(format=1, puzzle="0" * 64, blind=True, started="2026-11-25T20:00:00Z"), tuple(acts)
    )
    return Episode(
        puzzle, path, link="https://example.org/1", blind=True, licence="CC 4", airs=date(2026, 12, 1),
        next_date=date(2026, 12, 5), recording=recording, catalogue=catalogue,
    )  # fmt: skip


@pytest.fixture(scope="module")
def made(episode: Episode) -> dict[str, Piece]:
    return {piece.name: piece for piece in pieces(episode, Wish(path=True))}


@pytest.fixture(scope="module")
def own(episode: Episode) -> str:
    """What stays as it is: title and credit, and the reasoning's own sentences."""
    steps = [f"{told.told.written} {told.told.text}" for told in episode.path.steps]
    nudges = [nudge(episode.puzzle, told, strength) for told in episode.path.steps for strength in (1, 2)]
    return " ".join([episode.title, episode.setter, "CC", *episode.path.beats, *steps, *nudges])


@pytest.mark.parametrize(
    "name",
    ["words/title.txt", "words/description.txt", "words/rules.txt", "words/chapters.txt",
     "spoilers/transcript.txt", "spoilers/captions.srt", "spoilers/recording.srt"],
)  # fmt: skip
def test_no_english_is_left_in_the_words(made: dict[str, Piece], own: str, name: str) -> None:
    text = made[name].data.decode()
    assert MARK in text
    assert strange(text, own) == []


@pytest.mark.parametrize("name", ["words/chapters.vtt", "spoilers/captions.vtt", "spoilers/recording.vtt"])
def test_no_english_is_left_in_the_cues(made: dict[str, Piece], own: str, name: str) -> None:
    text = made[name].data.decode()
    cues = [line for line in text.splitlines()[3:] if "-->" not in line and not line.startswith("chapter-")]
    assert strange("\n".join(cues), own) == []


def test_no_english_is_left_in_the_pictures_and_their_descriptions(made: dict[str, Piece], own: str) -> None:
    for name, piece in made.items():
        if piece.alt is not None:
            assert strange(piece.alt, own) == [], name
    for name in ("pictures/board-light.svg", "pictures/board-dark.svg"):
        svg = made[name].data.decode()
        shown = re.findall(r"<text[^>]*>([^<]*)</text>", svg) + re.findall(r'aria-label="([^"]*)"', svg)
        assert len(shown) > 10
        assert strange(" ".join(shown), own) == []


def test_no_english_is_left_in_feed_and_calendar(made: dict[str, Piece], own: str) -> None:
    from xml.etree import ElementTree

    feed = ElementTree.fromstring(made["feed.atom"].data)
    texts = [
        held.text or "" for held in feed.iter() if held.tag.rpartition("}")[2] in ("title", "name", "content")
    ]
    assert len(texts) == 4
    [event] = icalendar.Calendar.from_ical(made["calendar.ics"].data).walk("VEVENT")
    assert strange(" ".join([*texts, str(event["summary"]), str(event["description"])]), own) == []


@pytest.mark.parametrize("name", ["print/a4.pdf", "spoilers/letter-with-path.pdf"])
def test_no_english_is_left_in_print(made: dict[str, Piece], own: str, name: str) -> None:
    document = pypdfium2.PdfDocument(made[name].data)
    text = " ".join(page.get_textpage().get_text_range() for page in document)
    joined = re.sub(r"(?:\ufffe|-\r?\n|\u00ad)", "", text)
    assert strange(joined, own + own.replace("'", "\u2019")) == []


def test_no_english_is_left_on_the_viewers_page(
    browser: Browser, episode: Episode, own: str, tmp_path: Path
) -> None:
    file = tmp_path / "index.html"
    file.write_bytes(page(episode))
    assert b'<html lang="qo">' in file.read_bytes()
    held = Sight(browser, file.as_uri(), DESKTOP, "light")
    sight = held.page
    seen: list[str] = []

    def look() -> None:
        seen.append(sight.locator("body").inner_text())
        seen.extend(sight.evaluate("[...document.querySelectorAll('[aria-label]')].map(x => x.ariaLabel)"))

    look()
    sight.locator("[data-cell='0']").focus()
    for key in ("1", "o", "2", "t", "Shift+ArrowRight", "3", "s", "9", "Enter", "i", "4", "l", "h", "u", "e",
                "d", "Delete", "Control+z", "Control+y", "1", "c", "n", "m"):  # fmt: skip
        sight.keyboard.press(key)
        look()
    sight.evaluate("confirm = (said) => { window.asked = said; return true; }")
    sight.locator("#again").click()
    seen.append(sight.evaluate("asked"))
    for key in ("n", "m", "m"):
        sight.locator("[data-cell='0']").focus()
        sight.keyboard.press(key)
        look()
    for rule in sight.locator("[data-example]").all():
        rule.click()
    sight.locator("#reveal").click()
    sight.locator("#talk li").first.wait_for()
    look()
    assert strange(" ".join(seen), own + " WebVTT") == []
    assert held.wrong == []
    held.context.close()


def test_what_the_page_holds_for_its_script_is_in_the_language_too(episode: Episode) -> None:
    html = page(episode).decode()
    facts = json.loads(re.findall(r'id="facts">(.*?)</script>', html)[0].replace("\\u003c", "<"))
    assert strange(re.sub(r"\{\w+\}", "", " ".join(facts["texts"].values()))) == []


def test_a_catalogue_with_gaps_tells_all_of_them_at_once(puzzle: Puzzle, tmp_path: Path) -> None:
    file = translated([puzzle], tmp_path)
    text = file.read_text(encoding="utf-8")
    text = re.sub(r"^event = .*$", 'event = "{titel}"', text, flags=re.MULTILINE)
    text = re.sub(r"^(page_help|undo|\"no regions\") = .*\n", "", text, flags=re.MULTILINE)
    text = re.sub(r'^"(page_help|undo|event)" = .*\n', "", text, flags=re.MULTILINE)
    file.write_text(text, encoding="utf-8")
    with pytest.raises(NotAllowedError) as caught:
        read_catalogue(file)
    said = str(caught.value)
    for part in ("'event'", "'page_help'", "'undo'", "'no regions'"):
        assert part in said


def test_a_sentence_that_the_language_lacks_is_named(catalogue: Catalogue) -> None:
    other = read(examples.path(examples.FIRST))[0]
    with pytest.raises(NotAllowedError, match=r"has no words for .*Add them to its \[sentences\]"):
        _ = Episode(other, explain(other), catalogue=catalogue).rules


def test_a_file_that_is_no_catalogue_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="cannot be read"):
        read_catalogue(tmp_path / "none.toml")
    (tmp_path / "wild.toml").write_text("language = 3\n[texts]\nrules = 4\n")
    with pytest.raises(NotAllowedError, match="has no tag"):
        read_catalogue(tmp_path / "wild.toml")


def test_every_shipped_rule_is_said_by_sentences_that_a_table_can_hold() -> None:
    puzzles = [read(examples.path(name))[0] for name in examples.names()]
    text = blank(puzzles)
    for puzzle in puzzles:
        for line in Episode(puzzle, explain(puzzle)).rules.written:
            part = line.partition(": ")[2] or line
            assert json.dumps(pattern(part), ensure_ascii=False) in text


def test_numbers_of_a_sentence_may_change_their_places() -> None:
    assert pattern("Between 1 and 16.") == "Between {1} and {2}."
    other = Language("qo", {"Between {1} and {2}.": "{2} > x > {1}"})
    assert other.sentence("Between 1 and 16.") == "16 > x > 1"
    assert ENGLISH.sentence("Between 1 and 16.") == "Between 1 and 16."


def test_the_board_in_english_says_what_its_own_module_says() -> None:
    name, source = english().board_module()
    assert name == "#app/board/words.js"
    from saywhy import board

    original = board.files()["board/words.js"].decode()
    assert re.sub(r"\s", "", source) == re.sub(r"\s", "", original)
