"""The pictures of an episode: thumbnail, boards, a still of each beat, and the walk through all of them."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, cast

from PIL.Image import Dither, Quantize

from saywhy.drawing import board_svg
from saywhy.drawing.plates import Plates
from saywhy.drawing.png import typst_fonts
from saywhy.drawing.text import BOLD, ITALIC, Face, escaped, typeset, wrapped
from saywhy.drawing.theme import ThemeName, theme
from saywhy.marks import Mark, Role
from saywhy.publishing.episode import Episode
from saywhy.publishing.talk import Spoken

if TYPE_CHECKING:
    from PIL.Image import Image

WIDE, TALL = 1280, 720
#: Width of a still and of the walk, pixels.
STILL_PX = 512
#: Colours of a still.
COLOURS = 128
#: How long the last picture stays after the last word.
AFTER_MS = 2_000
_ROOT = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)" width="[\d.]+" height="[\d.]+"')


@dataclass(frozen=True)
class Still:
    """
    The board as it stands when a beat has been told (0: before the first).

    Attributes:
        beat: The beat.
        under: What lies under the print, an SVG.
        over: What lies over it, an SVG.
        alt: Its description.
    """

    beat: int
    under: str
    over: str
    alt: str


@dataclass(frozen=True)
class Stills:
    """The stills of an episode, which share what is printed of the board; ``size`` is in page units."""

    printed: str
    size: tuple[int, int]
    held: tuple[Still, ...]


def thumbnail_svg(episode: Episode, name: ThemeName = "light") -> str:
    """Draw the thumbnail: the empty board beside title and credit, 1280 by 720."""
    colours = theme(name)
    board, across, down = _board(episode, name)
    high = 656.0
    wide = min(high * across / down, 700.0)
    high = wide * down / across
    left, top = 40.0, (TALL - high) / 2
    column = left + wide + 44
    room = WIDE - column - 44
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {TALL}" '
        f'width="{WIDE}" height="{TALL}">',
        f'<path d="M0 0h{WIDE}v{TALL}h-{WIDE}Z" fill="{colours["paper"]}"/>',
        f'<path d="M0 0h{WIDE}v18h-{WIDE}Z" fill="{colours["ink"]}"/>',
        f'<svg x="{left:.1f}" y="{top + 6:.1f}" width="{wide:.1f}" height="{high:.1f}" '
        f'viewBox="0 0 {across:g} {down:g}">{board}</svg>',
    ]
    size, lines = _fitted(typeset(episode.title), BOLD, room, ((112, 60, 4), (60, 52, 5), (52, 44, 6)))
    credit_size, credit = _fitted(typeset(episode.by), ITALIC, room, ((52, 40, 2),))
    leading = size * 1.12
    block = leading * len(lines) + (34 + credit_size * 1.2 * len(credit) if credit else 0)
    base = (TALL - block) / 2 + size * 0.86 + 6
    for line in lines:
        parts.append(_line(column, base, line, BOLD, size, colours["ink"]))
        base += leading
    if credit:
        rule = base - size * 0.86 + 6
        parts.append(
            f'<path d="M{column:.1f} {rule:.1f}h{room:.1f}v7h-{room:.1f}Z" fill="{colours["result"]}"/>'
        )
        base = rule + 26 + credit_size * 0.86
        for line in credit:
            parts.append(_line(column, base, line, ITALIC, credit_size, colours["ink"]))
            base += credit_size * 1.2
    return "\n".join([*parts, "</svg>"]) + "\n"


def board_alt(episode: Episode) -> str:
    """Describe the board in words that spoil nothing."""
    return episode.texts["board_alt"].format(board=episode.described)


def thumbnail_alt(episode: Episode) -> str:
    """Describe the thumbnail in words that spoil nothing."""
    head = ", ".join(filter(None, (episode.title, episode.by)))
    return episode.texts["thumbnail_alt"].format(head=head, board=board_alt(episode))


def stills(episode: Episode) -> Stills:
    """Draw the board before the first beat and after each."""
    plates = Plates(episode.puzzle)
    found = [Still(0, plates.under(()), plates.over((), {}), board_alt(episode))]
    digits: dict[int, int] = {}
    for beat, group in groupby(episode.path.steps, key=lambda told: told.beat):
        steps = list(group)
        for told in steps:
            digits.update(told.step.places)
        marks: list[Mark] = []
        for number, told in enumerate(steps):
            kept = (
                told.told.marks if number == 0 else [lit for lit in told.told.marks if lit.role == "result"]
            )
            marks += [Mark(lit.group, lit.cells, cast(Role, lit.role)) for lit in kept]
        text = episode.texts["still_alt"].format(
            beat=beat, text=" ".join(told.told.written for told in steps)
        )
        found.append(Still(beat, plates.under(marks), plates.over(marks, digits), text))
    return Stills(plates.printed, plates.size, tuple(found))


def frames(drawn: Stills, width_px: int = STILL_PX) -> list[Image]:
    """Turn stills into pictures, all in one go; the height is even, as films need it."""
    import typst
    from pypdfium2 import PdfDocument  # type: ignore[import-untyped]

    across, tall = drawn.size
    size = f"width: {width_px}pt, height: {2 * round(width_px * tall / across / 2)}pt"
    pages = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)

        def plate(file: str, svg: str) -> str:
            (folder / file).write_text(svg, encoding="utf-8")
            return f'#place(image("{file}", {size}, fit: "stretch"))'

        printed = plate("printed.svg", drawn.printed)
        for number, still in enumerate(drawn.held):
            under, over = (plate(f"{part}{number}.svg", getattr(still, part)) for part in ("under", "over"))
            pages.append("\n".join((under, printed, over)))
        source = folder / "pages.typ"
        head = f"#set page({size}, margin: 0pt, fill: none)\n"
        source.write_text(head + "\n#pagebreak()\n".join(pages), encoding="utf-8")
        made = typst.compile(str(source), format="pdf", font_paths=typst_fonts(), ignore_system_fonts=True)
    document = PdfDocument(made)
    try:
        return [page.render(rev_byteorder=True).to_pil().convert("RGB") for page in document]
    finally:
        document.close()


def png(frame: Image) -> bytes:
    """Give a picture as a PNG of few colours, which is enough for a drawing."""
    few = frame.quantize(COLOURS, method=Quantize.FASTOCTREE, dither=Dither.NONE)
    out = BytesIO()
    few.save(out, "PNG")
    return out.getvalue()


def lengths_ms(track: Sequence[Spoken]) -> list[int]:
    """Give how long each part of the talk has its picture: while it is told and thought about."""
    ends = [*(spoken.start_ms for spoken in track[1:]), track[-1].end_ms + AFTER_MS]
    return [end - spoken.start_ms for spoken, end in zip(track, ends, strict=True)]


def walk_webp(pictures: Sequence[Image], track: Sequence[Spoken]) -> bytes:
    """
    Join pictures to an animation in time with the talk.

    Args:
        pictures: One for each part of the track.
        track: The talk track in time.
    """
    out = BytesIO()
    pictures[0].save(
        out,
        "WEBP",
        save_all=True,
        append_images=list(pictures[1:]),
        duration=lengths_ms(track),
        loop=0,
        quality=60,
        method=0,
        kmin=0,
        kmax=0,
    )
    return out.getvalue()


def _board(episode: Episode, name: ThemeName) -> tuple[str, float, float]:
    """Give the inside of the board's drawing, its width and its height."""
    svg = board_svg(episode.puzzle, theme=name, key=False, title=False)
    found = _ROOT.search(svg)
    assert found is not None, "board_svg writes its size"
    inside = svg[svg.index(">", found.end()) + 1 : svg.rindex("</svg>")]
    return inside, float(found[1]), float(found[2])


def _fitted(
    words: str, face: Face, room: float, steps: Sequence[tuple[int, int, int]]
) -> tuple[int, list[str]]:
    """
    Set text as large as it fits without breaking a word; at the least size it is cut.

    Args:
        words: The text.
        face: Typeface.
        room: Width.
        steps: Largest and least size and how many lines there may be, tried one after the other.
    """
    least, most = steps[-1][1:]
    if not words:
        return least, []
    for largest, smallest, many in steps:
        for size in range(largest, smallest - 4, -4):
            whole = all(face.width(word, size) <= room for word in words.split())
            lines = wrapped(words, face, size, room, many)
            if whole and not lines[-1].endswith("…"):
                return size, lines
    return least, wrapped(words, face, least, room, most)


def _line(  # noqa: PLR0913, PLR0917
    x: float, y: float, words: str, face: Face, size: float, colour: str
) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-family="{face.css}" font-weight="{face.weight}" '
        f'font-style="{face.style}" font-size="{size}" fill="{colour}">{escaped(words)}</text>'
    )
