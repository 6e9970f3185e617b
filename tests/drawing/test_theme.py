"""The themes: contrast, and inks that stay apart for every kind of eye."""

from __future__ import annotations

import re
from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from saywhy.drawing import board_svg, theme_css
from saywhy.drawing.theme import INKS, THEMES, ThemeName, contrast, mixed, theme
from tests.drawing.boards import LEDGER, MOORINGS, MOORINGS_MARKS, root

#: What sees how: severity 1.0 of Machado, Oliveira and Fernandes, "A physiologically-based model for
#: simulation of color vision deficiency", IEEE TVCG 15 (2009); matrices for linear RGB, from memory.
EYES = {
    "usual": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.01182, 0.04294, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.3039),
    ),
}

WORDS = ("ink", "soft", "placed", "note")
GRAPHICS = ("rule", "dot-edge", "look-edge", "because", "result", *(f"ink-{k}" for k in range(1, INKS + 1)))


def lab(colour: str, eye: str) -> NDArray[np.float64]:
    """Give CIE Lab (D65) of a colour as an eye sees it."""
    coded = np.array([int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)])
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    seen = np.clip(np.array(EYES[eye]) @ linear, 0, 1)
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    x, y, z = np.cbrt((to_xyz @ seen) / np.array([0.9505, 1.0, 1.089]) + 1e-12)
    return np.array([116 * y - 16, 500 * (x - y), 200 * (y - z)])


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [("#000000", "#ffffff", 21.0), ("#0072b2", "#ffffff", 5.19), ("#e69f00", "#ffffff", 2.25)],
)
def test_contrast_is_that_of_wcag(one: str, other: str, ratio: float) -> None:
    # Okabe and Ito's blue and orange on white: contrast computed by independent enumeration.
    assert contrast(one, other) == pytest.approx(ratio, abs=0.01)


@pytest.mark.parametrize("name", THEMES)
def test_text_has_contrast_aa_on_the_paper_and_on_every_tint(name: ThemeName) -> None:
    colours = theme(name)
    for token in WORDS:
        assert contrast(colours[token], colours["paper"]) >= 4.5, token
    for number in range(1, INKS + 1):
        assert contrast(colours["ink"], colours[f"tint-{number}"]) >= 4.5
    for token in ("ink", "placed", "note"):
        assert contrast(colours[token], colours["look"]) >= 4.5, token


@pytest.mark.parametrize("name", THEMES)
def test_letters_on_tabs_and_dots_have_contrast_aa(name: ThemeName) -> None:
    colours = theme(name)
    for token in ("look-edge", "because", "result"):
        assert contrast(colours["paper"], colours[token]) >= 4.5, token
    assert contrast(colours["dot-open"], colours["dot-filled"]) >= 4.5


@pytest.mark.parametrize("name", THEMES)
def test_everything_drawn_has_contrast_three_on_the_paper(name: ThemeName) -> None:
    colours = theme(name)
    for token in GRAPHICS:
        assert contrast(colours[token], colours["paper"]) >= 3, token


@pytest.mark.parametrize("name", THEMES)
def test_the_border_of_a_look_shows_against_its_wash(name: ThemeName) -> None:
    colours = theme(name)
    assert contrast(colours["look-edge"], colours["look"]) >= 3


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("name", ["light", "dark"])
def test_inks_stay_apart_for_every_eye(name: ThemeName, eye: str) -> None:
    seen = [lab(theme(name)[f"ink-{number}"], eye) for number in range(1, INKS + 1)]
    assert min(float(np.linalg.norm(a - b)) for a, b in combinations(seen, 2)) >= 18


def test_inks_of_the_grey_theme_are_eight_greys() -> None:
    greys = {theme("grey")[f"ink-{number}"] for number in range(1, INKS + 1)}
    assert len(greys) == INKS
    assert all(grey[1:3] == grey[3:5] == grey[5:7] for grey in greys)


def test_mixing_goes_from_the_one_colour_to_the_other() -> None:
    assert mixed("#000000", "#ffffff", 0) == "#000000"
    assert mixed("#000000", "#ffffff", 1) == "#ffffff"
    assert mixed("#000000", "#ff8000", 0.5) == "#804000"


def test_an_unknown_theme_is_refused_with_those_that_are() -> None:
    with pytest.raises(ValueError, match="light, dark, grey"):
        theme("sepia")  # type: ignore[arg-type, unused-ignore]


def test_every_colour_of_a_drawing_can_be_set_by_a_style_sheet() -> None:
    sheet = theme_css()
    svg = board_svg(LEDGER, marks=MOORINGS_MARKS, digits={1: 2}, notes={2: [3]})
    for element in root(svg).iter():
        classes = element.get("class", "").split()
        for attribute, letter in (("fill", "f"), ("stroke", "s")):
            if element.get(attribute, "none") != "none":
                (token,) = (name[2:] for name in classes if name.startswith(f"{letter}-"))
                assert element.get(attribute) == theme("light")[token]
                assert f".saywhy-board .{letter}-{token}{{" in sheet


def test_the_style_sheet_holds_each_theme_and_prints_in_grey() -> None:
    sheet = theme_css()
    for name in THEMES:
        assert f':root[data-theme="{name}"]{{--board-paper:{theme(name)["paper"]};' in sheet
    (printed,) = re.findall(r"@media print\{(.*)\}", sheet)
    assert f"--board-ink-1:{theme('grey')['ink-1']};" in printed


def test_the_themes_differ_in_nothing_but_colours() -> None:
    shapes = {
        re.sub(r"#[0-9a-f]{6}", "#", board_svg(MOORINGS, theme=name, marks=MOORINGS_MARKS)) for name in THEMES
    }
    assert len(shapes) == 1
