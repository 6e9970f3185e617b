"""Widths, line breaks, and text from strangers."""

from __future__ import annotations

import json
import re
import unicodedata

import pytest
import typst
from hypothesis import given
from hypothesis import strategies as st

from saywhy.drawing.text import BOLD, FACES, FONTS, PLAIN, STRONG, Face, clean, escaped, typeset, wrapped

SAMPLE = "0123456789 Harbour lights: 45 fathoms, 'slack' water & £3 — Ångström 10 ≥4"


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.stem)
def test_widths_are_those_that_typst_measures(face: Face) -> None:
    # Typst reads the font files by itself; kerning and ligatures are off, as the table knows none.
    source = (
        f"#set text(font: {json.dumps(face.family)}, weight: {face.weight}, style: {json.dumps(face.style)}, "
        f"size: 100pt, kerning: false, ligatures: false, fallback: false)\n"
        f"#context [#metadata(measure(text({json.dumps(SAMPLE, ensure_ascii=False)})).width.pt()) <width>]"
    )
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
    answer = typst.query(source.encode(), "<width>", field="value", one=True, font_paths=fonts)
    assert face.width(SAMPLE, 100) == pytest.approx(float(answer), rel=0.002)


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.stem)
def test_every_face_is_shipped_for_print_and_for_the_web_with_its_licence(face: Face) -> None:
    assert (FONTS / f"{face.stem}.ttf").stat().st_size > 20_000
    web = (FONTS / f"{face.stem}.woff2").read_bytes()
    assert web[:4] == b"wOF2"
    assert len(web) < 25_000
    licence = FONTS / f"OFL-{face.family.replace(' ', '')}.txt"
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence.read_text(encoding="utf-8")


def test_letters_that_a_face_lacks_count_as_broad() -> None:
    assert PLAIN.width("你", 10) == 10
    assert PLAIN.width("\u0333", 10) == 0


def test_cleaning_drops_what_could_reach_beyond_its_line() -> None:
    assert clean("a\u202eb\u2066c\x00d\x1be\ud800f\u200bg") == "abcdefg"
    assert clean("  one\n\ttwo\u2028three  ") == "one two three"
    assert clean("a" + "\u0333" * 50) == "a" + "\u0333" * 3


def test_cleaning_keeps_letters_of_all_scripts() -> None:
    for words in ("Ångström", "Αθήνα", "привет", "你好", "שלום", "L'été"):
        assert clean(words) == unicodedata.normalize("NFC", words)


@given(st.text())
def test_cleaned_text_stays_as_it_is_when_cleaned_again(words: str) -> None:
    assert clean(clean(words)) == clean(words)


@given(st.text())
def test_escaped_text_holds_no_markup(words: str) -> None:
    held = escaped(words)
    assert "<" not in held
    assert not re.search(r"&(?!amp;|lt;|gt;)", held)


@given(st.text(min_size=1), st.integers(60, 400), st.integers(1, 4))
def test_no_line_is_broader_than_asked(words: str, width: int, most: int) -> None:
    lines = wrapped(words, STRONG, 14, width, most)
    assert len(lines) <= most
    assert all(STRONG.width(line, 14) <= width for line in lines)


def test_a_text_that_fits_keeps_every_word() -> None:
    words = "Two cells joined by an X make 10, wherever the mark stands."
    lines = wrapped(words, PLAIN, 14, 140, 9)
    assert len(lines) > 2
    assert " ".join(lines) == words


def test_what_does_not_fit_ends_in_an_ellipsis() -> None:
    lines = wrapped("harbour " * 1000, BOLD, 30, 500, 2)
    assert len(lines) == 2
    assert lines[1].endswith("…")


def test_a_word_without_blanks_is_broken() -> None:
    lines = wrapped("x" * 10_000, BOLD, 30, 500, 2)
    assert len(lines) == 2
    assert lines[0] == "x" * len(lines[0])


def test_quotes_and_apostrophes_are_those_of_print() -> None:
    assert typeset("""The lamp trimmer's 'ledger' ("short")""") == (
        "The lamp trimmer\u2019s \u2018ledger\u2019 (\u201cshort\u201d)"
    )
    assert typeset("cells can't") == "cells can\u2019t"


def test_an_empty_text_has_no_line() -> None:
    assert wrapped("", BOLD, 30, 500, 2) == []
    assert wrapped(" \u200b ", BOLD, 30, 500, 2) == []
