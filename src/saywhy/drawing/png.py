"""PNG from SVG, by typst with the shipped typefaces and no others."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path

from saywhy.drawing.text import FACES, FONTS

WIDEST = 8000


class FontMissingError(RuntimeError):
    """A typeface of the package is not there, so a picture would come out in the wrong letters."""


def board_png(svg: str, width_px: int) -> bytes:
    """
    Turn an SVG of :func:`board_svg` into a PNG.

    Args:
        svg: The SVG.
        width_px: Width of the picture in pixels, 16 to 8000; the height follows.

    Raises:
        FontMissingError: A shipped typeface is missing, or the SVG asks for another.
        ValueError: The width is out of bounds.
    """
    import typst

    if not 16 <= width_px <= WIDEST:
        raise ValueError(f"a picture is 16 to {WIDEST} pixels wide, not {width_px}")
    files = [FONTS / f"{face.stem}.ttf" for face in FACES]
    missing = [path.name for path in files if not path.is_file()]
    if missing:
        raise FontMissingError(f"typefaces missing from the package: {', '.join(missing)}. Install it again.")
    held = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
    known = set(held.families())
    asked = set(re.findall(r"'([^']+)'", " ".join(re.findall(r'font-family="([^"]*)"', svg))))
    if asked - known:
        raise FontMissingError(f"typefaces not in the package: {', '.join(sorted(asked - known))}.")
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "board.svg").write_text(svg, encoding="utf-8")
        source = Path(folder) / "page.typ"
        source.write_text(
            f"#set page(width: auto, height: auto, margin: 0pt, fill: none)\n"
            f'#image("board.svg", width: {width_px}pt)\n',
            encoding="utf-8",
        )
        made = typst.compile(str(source), format="png", ppi=72, font_paths=held, ignore_system_fonts=True)
    if not isinstance(made, bytes):
        raise TypeError("one page was expected")
    return made
