"""
Make the shipped fonts and their table of widths from the packages that README.md names.

Run by hand when a font changes: ``python make.py FOLDER`` with the folder of the unpacked packages.
Needs fontTools and brotli. Drawing itself reads only ``metrics.json`` and the font files.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from fontTools import subset  # type: ignore
from fontTools.pens.boundsPen import BoundsPen  # type: ignore
from fontTools.ttLib import TTFont  # type: ignore

HERE = Path(__file__).parent

#: File name here, the file in the package, family, style, weight.
FACES = [
    ("besley-bold", "700Bold/Besley_700Bold.ttf", "Besley", "normal", 700),
    ("besley-italic", "400Regular_Italic/Besley_400Regular_Italic.ttf", "Besley", "italic", 400),
    ("libre-franklin-regular", "400Regular/LibreFranklin_400Regular.ttf", "Libre Franklin", "normal", 400),
    ("libre-franklin-semibold", "600SemiBold/LibreFranklin_600SemiBold.ttf", "Libre Franklin", "normal", 600),
]

#: What the web fonts hold: Latin with its accents, quotes, dashes and the signs that rule texts use.
WEB = [*range(0x20, 0x7F), *range(0xA0, 0x180), 0x2009, 0x2013, 0x2014, 0x2018, 0x2019, 0x201C, 0x201D]
WEB += [0x2026, 0x2032, 0x20AC, 0x2212, 0x2260, 0x2264, 0x2265]


def load(source: Path, family: str, style: str, weight: int) -> TTFont:
    """Read a face, drop its hints, and give it plain names and stable dates."""
    font = TTFont(source, recalcTimestamp=False)
    for table in ("fpgm", "prep", "cvt ", "gasp", "DSIG", "STAT"):
        if table in font:
            del font[table]
    name = font["name"]
    words = {400: "Regular", 600: "SemiBold", 700: "Bold"}[weight]
    shown = "Italic" if style == "italic" else words
    for number in (16, 17, 21, 22, 25):
        name.removeNames(nameID=number)
    plain = shown in ("Regular", "Bold", "Italic")
    name.setName(family if plain else f"{family} {shown}", 1, 3, 1, 0x409)
    name.setName(shown if plain else "Regular", 2, 3, 1, 0x409)
    name.setName(f"{family} {shown}", 4, 3, 1, 0x409)
    if not plain:
        name.setName(family, 16, 3, 1, 0x409)
        name.setName(shown, 17, 3, 1, 0x409)
    font["OS/2"].usWeightClass = weight
    return font


def metrics(font: TTFont) -> dict[str, object]:
    """Give widths and heights in thousandths of the type size."""
    em = font["head"].unitsPerEm
    glyphs, advances = font.getBestCmap(), font["hmtx"]
    outlines = font.getGlyphSet()
    pen = BoundsPen(outlines)
    outlines[glyphs[ord("1")]].draw(pen)
    held = [code for code in sorted(glyphs) if 0x20 <= code < 0x500 or code in WEB]
    return {
        "figure": round(pen.bounds[3] * 1000 / em),
        "advances": {chr(code): round(advances[glyphs[code]][0] * 1000 / em) for code in held},
    }


def main(folder: Path) -> None:
    """Write the fonts and the table."""
    table = {}
    for stem, path, family, style, weight in FACES:
        source = next(folder.glob(f"*/package/{path}"))
        font = load(source, family, style, weight)
        font.save(HERE / f"{stem}.ttf")
        table[stem] = metrics(font)
        options = subset.Options(flavor="woff2", layout_features=["kern", "liga"], notdef_outline=True)
        small = subset.Subsetter(options)
        small.populate(unicodes=WEB)
        small.subset(font)
        subset.save_font(font, str(HERE / f"{stem}.woff2"), options)
    text = json.dumps(table, ensure_ascii=False, indent=0, sort_keys=True)
    (HERE / "metrics.json").write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
