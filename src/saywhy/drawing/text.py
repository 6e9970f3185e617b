"""The shipped typefaces, widths of text, line breaks, and text from strangers made safe to draw."""

from __future__ import annotations

import json
import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from xml.sax.saxutils import escape

FONTS = Path(__file__).parent / "fonts"

#: Combining marks kept on one letter; more would climb over the lines above.
_MARKS = 3


@dataclass(frozen=True)
class Face:
    """
    One shipped face.

    Attributes:
        stem: Its file name in the folder of fonts, without ending.
        family: Its family.
        weight: 400, 600 or 700.
        style: ``normal`` or ``italic``.
        fallback: The generic family after it.
    """

    stem: str
    family: str
    weight: int
    style: str = "normal"
    fallback: str = "sans-serif"

    @property
    def css(self) -> str:
        """The value of ``font-family``; the sister family stands in for letters that this one lacks."""
        sister = "Libre Franklin" if self.family == "Besley" else "Besley"
        return f"'{self.family}','{sister}',{self.fallback}"

    @property
    def figure(self) -> float:
        """Height of the figures for type of size 1."""
        height = _metrics()[self.stem]["figure"]
        return float(height) / 1000  # type: ignore[arg-type]

    def width(self, words: str, size: float) -> float:
        """Give the width of a line; letters that the face lacks count as one em, so never too little."""
        advances = _advances(self.stem)
        found = [advances.get(letter) for letter in words]
        if None in found:
            found = [
                (0 if unicodedata.combining(letter) else 1000) if width is None else width
                for letter, width in zip(words, found, strict=True)
            ]
        return sum(width or 0 for width in found) * size / 1000


BOLD = Face("besley-bold", "Besley", 700, fallback="serif")
ITALIC = Face("besley-italic", "Besley", 400, "italic", "serif")
PLAIN = Face("libre-franklin-regular", "Libre Franklin", 400)
STRONG = Face("libre-franklin-semibold", "Libre Franklin", 600)

FACES = (BOLD, ITALIC, PLAIN, STRONG)


@cache
def _metrics() -> dict[str, dict[str, object]]:
    held: dict[str, dict[str, object]] = json.loads((FONTS / "metrics.json").read_text(encoding="utf-8"))
    return held


@cache
def _advances(stem: str) -> dict[str, int]:
    return _metrics()[stem]["advances"]  # type: ignore[return-value]


def clean(words: str) -> str:
    """
    Give text that cannot reach beyond its own line.

    Control characters, direction overrides, lone surrogates and non-characters go; white space becomes single
    blanks; piles of combining marks are cut to three.
    """
    if words.isascii() and words.isprintable() and "  " not in words:
        return words.strip()
    kept: list[str] = []
    marks = 0
    for letter in unicodedata.normalize("NFC", words):
        kind = unicodedata.category(letter)
        if letter.isspace() or kind in ("Zl", "Zp"):
            letter, marks = " ", 0  # noqa: PLW2901
        elif kind in ("Cc", "Cf", "Cs", "Cn"):
            continue
        elif kind in ("Mn", "Me"):
            marks += 1
            if marks > _MARKS:
                continue
        else:
            marks = 0
        if letter != " " or (kept and kept[-1] != " "):
            kept.append(letter)
    return "".join(kept).strip()


def typeset(words: str) -> str:
    """Give cleaned text with the quotes and apostrophes of print."""
    text = clean(words)
    for straight, opening, closing in (("'", "\u2018", "\u2019"), ('"', "\u201c", "\u201d")):
        text = re.sub(rf"(?<![^\s(]){straight}(?=\S)", opening, text).replace(straight, closing)
    return text


def escaped(words: str) -> str:
    """Give cleaned text as XML."""
    return escape(clean(words))


def wrapped(words: str, face: Face, size: float, width: float, most: int) -> list[str]:
    """
    Break text into lines.

    Args:
        words: The text; cleaned here.
        face: Typeface.
        size: Type size.
        width: No line is broader, in the unit of ``size``.
        most: No more lines than this; what does not fit ends in an ellipsis.
    """
    lines: list[str] = []
    here = ""
    # A line holds fewer letters than this, so the rest of a very long text need not be measured.
    reach = most * (int(width / (0.15 * size)) + 2)
    for word in clean(words[: 4 * reach])[:reach].split(" "):
        longer = f"{here} {word}" if here else word
        if face.width(longer, size) <= width:
            here = longer
            continue
        if here:
            lines.append(here)
        here = word
        while face.width(here, size) > width and len(lines) <= most:
            fits = max(k for k in range(1, len(here) + 1) if k == 1 or face.width(here[:k], size) <= width)
            if fits == len(here):
                break
            lines.append(here[:fits])
            here = here[fits:]
        if len(lines) > most:
            break
    if here:
        lines.append(here)
    if len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and face.width(last.rstrip() + "…", size) > width:
        last = last[:-1]
    return [*lines[: most - 1], last.rstrip(" ,;:") + "…"]
