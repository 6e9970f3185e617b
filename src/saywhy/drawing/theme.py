"""
Paper, ink and the eight line inks, for light, dark and grey.

A drawing names tokens (``ink-3``, ``paper``); each element carries the token as a class and the
theme's colour as an attribute. So a file is right on its own, and a page's style sheet
(:func:`theme_css`) can give the same file another theme.

Source of the inks: our own assignment, found by searching for eight printing inks that stay at
least 18 apart (CIE76, in Lab) to normal eyes and under the three dichromacies of Machado, Oliveira
and Fernandes (IEEE TVCG 15, 2009), at a contrast of 3.5 or more on the paper. The tests compute
both again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

ThemeName = Literal["light", "dark", "grey"]

INKS = 8

#: Share of ink in the pale tint of that ink.
_TINT = {"light": 0.20, "dark": 0.30, "grey": 0.18}

_PAPER: dict[str, dict[str, str]] = {
    "light": {
        "paper": "#fbf8f1",
        "ink": "#1f1b16",
        "soft": "#5c554b",
        "rule": "#8b8375",
        "placed": "#1c4f9c",
        "note": "#4a443c",
        "dot-open": "#ffffff",
        "dot-filled": "#14110d",
        "dot-edge": "#14110d",
        "look": "#f7e39b",
        "look-edge": "#7a5c00",
        "because": "#0f6d73",
        "result": "#b02a12",
    },
    "dark": {
        "paper": "#1a1c20",
        "ink": "#efe9dc",
        "soft": "#b9b2a4",
        "rule": "#7c7a76",
        "placed": "#9cc7ff",
        "note": "#c9c2b4",
        "dot-open": "#f7f2e6",
        "dot-filled": "#000000",
        "dot-edge": "#f7f2e6",
        "look": "#4d4315",
        "look-edge": "#e6c64a",
        "because": "#4fc7c3",
        "result": "#ff8a66",
    },
    "grey": {
        "paper": "#ffffff",
        "ink": "#111111",
        "soft": "#4d4d4d",
        "rule": "#858585",
        "placed": "#3d3d3d",
        "note": "#3d3d3d",
        "dot-open": "#ffffff",
        "dot-filled": "#000000",
        "dot-edge": "#000000",
        "look": "#e2e2e2",
        "look-edge": "#4d4d4d",
        "because": "#4d4d4d",
        "result": "#000000",
    },
}

_INKS: dict[str, tuple[str, ...]] = {
    "light": ("#654b9e", "#711601", "#3a86de", "#a57e24", "#33533a", "#d55b82", "#6a0a59", "#167936"),
    "dark": ("#89a4ff", "#ab6d25", "#4fdbff", "#e2c463", "#65807b", "#fc85ba", "#a163b2", "#28975c"),
    "grey": ("#4f4f4f", "#1e1e1e", "#7d7d7d", "#8c8c8c", "#363636", "#6e6e6e", "#2a2a2a", "#5e5e5e"),
}


@dataclass(frozen=True)
class Theme:
    """
    One theme.

    Attributes:
        name: ``light``, ``dark`` or ``grey``.
        colours: Token to ``#rrggbb``.
    """

    name: ThemeName
    colours: Mapping[str, str]

    def __getitem__(self, token: str) -> str:
        return self.colours[token]


def mixed(under: str, over: str, share: float) -> str:
    """Give the colour between two, ``share`` being the part of the second, channel by channel."""
    parts = [
        round(int(under[k : k + 2], 16) * (1 - share) + int(over[k : k + 2], 16) * share) for k in (1, 3, 5)
    ]
    return "#" + "".join(f"{part:02x}" for part in parts)


@cache
def theme(name: ThemeName) -> Theme:
    """
    Give a theme by name.

    Raises:
        ValueError: There is no such theme.
    """
    if name not in _PAPER:
        raise ValueError(f"no theme {name!r}; there are {', '.join(_PAPER)}")
    colours = dict(_PAPER[name])
    for number, ink in enumerate(_INKS[name], 1):
        colours[f"ink-{number}"] = ink
        colours[f"tint-{number}"] = mixed(colours["paper"], ink, _TINT[name])
    return Theme(name, colours)


THEMES: tuple[ThemeName, ...] = ("light", "dark", "grey")


def luminance(colour: str) -> float:
    """
    Give the relative luminance of ``#rrggbb``, 0 to 1.

    Source:
        WCAG 2.2, definition of relative luminance.
    """
    channels = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """
    Give the contrast ratio of two colours, 1 to 21.

    Source:
        WCAG 2.2, definition of contrast ratio.
    """
    dim, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dim + 0.05)


def theme_css(light: ThemeName = "light", dark: ThemeName = "dark") -> str:
    """
    Give a style sheet for pages that hold boards inline: tokens as variables, and the classes that use them.

    ``:root[data-theme=...]`` chooses a theme by name; without it the reader's own preference does, and
    print is grey. Any variable ``--board-TOKEN`` may be set by the page.
    """

    def variables(name: ThemeName) -> str:
        return "".join(f"--board-{token}:{colour};" for token, colour in theme(name).colours.items())

    lines = [
        f":root{{{variables(light)}}}",
        f"@media (prefers-color-scheme:dark){{:root{{{variables(dark)}}}}}",
        *(f':root[data-theme="{name}"]{{{variables(name)}}}' for name in THEMES),
        f"@media print{{:root,:root[data-theme]{{{variables('grey')}}}}}",
    ]
    for token, colour in theme(light).colours.items():
        lines.append(f".saywhy-board .f-{token}{{fill:var(--board-{token},{colour})}}")
        lines.append(f".saywhy-board .s-{token}{{stroke:var(--board-{token},{colour})}}")
    return "\n".join(lines) + "\n"
