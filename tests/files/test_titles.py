"""Titles and setters: plain text, since they end up on pages, cards and terminals."""

from __future__ import annotations

import pytest

from saywhy.files.titles import plain, wrong_with


@pytest.mark.parametrize(
    "title",
    [
        "Harbour lights",
        "5 < 6 & 7 > 3",
        "I <3 arrows",
        "[Hard] Fog, part 2",
        "Rock & roll; and more",
        "Phare d'Ar-Men: l'île",
        "数独の夕べ",
        "مساء الألغاز",
        "\N{FAMILY} \N{WOMAN}\u200d\N{ROCKET}",
        "",
    ],
)
def test_ordinary_titles_of_any_script_are_fine(title: str) -> None:
    assert wrong_with(title) is None
    assert plain(title) == title


@pytest.mark.parametrize(
    "title",
    [
        "two\nlines",
        "tab\tbed",
        "bell\x07",
        "\x1b[31mred",
        "nul\x00",
        "del\x7f",
        "c1\x9b31m",
        "right to left \u202e",
        "isolate \u2066",
        "mark \u200f",
        "byte order \ufeff",
        "line \u2028",
        "private \ue000",
        "half \ud800",
        "tag \U000e0041",
    ],
)
def test_characters_that_steer_a_terminal_or_the_direction_of_text_are_refused(title: str) -> None:
    wrong = wrong_with(title)
    assert wrong is not None
    assert "control or direction character" in wrong[0]
    assert wrong_with(plain(title)) is None


@pytest.mark.parametrize(
    "title",
    [
        "<script>alert(1)</script>",
        "a <b>bold</b> one",
        "</title>",
        "<!-- -->",
        "<?xml?>",
        "<img/src=x onerror=alert(1)>",
        "fish &amp; chips",
        "&#x3c;script>",
        "[bold]x[/bold]",
        "[/]",
    ],
)
def test_markup_is_refused(title: str) -> None:
    wrong = wrong_with(title)
    assert wrong is not None
    assert "markup" in wrong[0]
