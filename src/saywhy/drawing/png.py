"""PNG from SVG, by typst with the shipped typefaces and no others."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

from saywhy.drawing.text import FACES, FONTS

if TYPE_CHECKING:
    import typst

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
    held = typst_fonts()
    known = set(held.families())
    asked = set(re.findall(r"'([^']+)'", " ".join(re.findall(r'font-family="([^"]*)"', svg))))
    if asked - known:
        raise FontMissingError(f"typefaces not in the package: {', '.join(sorted(asked - known))}.")
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "page.typ"
        fitted, height_px = _fitted(svg, width_px)
        (Path(folder) / "board.svg").write_text(fitted, encoding="utf-8")
        source.write_text(
            f"#set page(width: {width_px}pt, height: {height_px}pt, margin: 0pt, fill: none)\n"
            f'#image("board.svg", width: {width_px}pt, height: {height_px}pt)\n',
            encoding="utf-8",
        )
        made = typst.compile(str(source), format="png", ppi=72, font_paths=held, ignore_system_fonts=True)
    if not isinstance(made, bytes):
        raise TypeError("one page was expected")
    return made


def typst_fonts() -> typst.Fonts:
    """Give typst the shipped typefaces and no others."""
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])


def _fitted(svg: str, width_px: int) -> tuple[str, int]:
    """
    Give the SVG a size in whole pixels, and its height.

    Typst rounds a picture's size up and then drops rows of pixels to make it fit; a size in whole pixels,
    with the drawing stretched by less than one, leaves nothing to round.
    """
    found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)" width="[\d.]+" height="[\d.]+"', svg)
    if found is None:
        raise ValueError("the SVG is not one that board_svg made: no viewBox, width and height")
    across, tall = float(found[1]), float(found[2])
    height_px = max(1, round(width_px * tall / across))
    size = f'viewBox="0 0 {found[1]} {found[2]}" width="{width_px}" height="{height_px}"'
    root = f'{size} preserveAspectRatio="none"'
    return svg[: found.start()] + root + svg[found.end() :], height_px
