"""The pictures of an episode: thumbnail, boards, a still of each beat, and the walk through all of them."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from itertools import groupby
from pathlib import Path
from typing import cast

from saywhy.drawing import board_svg, describe
from saywhy.drawing.png import typst_fonts
from saywhy.drawing.text import BOLD, ITALIC, Face, escaped, typeset, wrapped
from saywhy.drawing.theme import ThemeName, theme
from saywhy.marks import Mark, Role
from saywhy.publishing.episode import Episode
from saywhy.publishing.talk import Spoken

WIDE, TALL = 1280, 720
#: Width of a still and of the walk, pixels.
STILL_PX = 512
_ROOT = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)" width="[\d.]+" height="[\d.]+"')


@dataclass(frozen=True)
class Still:
    """The board as it stands when a beat has been told (0: before the first), and its description."""

    beat: int
    svg: str
    alt: str


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
    size, lines = _fitted(typeset(episode.title), BOLD, room, 112, 60, 4)
    credit_size, credit = _fitted(typeset(episode.by), ITALIC, room, 52, 40, 2)
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
    return episode.texts["board_alt"].format(board=describe(episode.puzzle))


def thumbnail_alt(episode: Episode) -> str:
    """Describe the thumbnail in words that spoil nothing."""
    head = ", ".join(filter(None, (episode.title, episode.by)))
    return f"{head}. {board_alt(episode)}"


def stills(episode: Episode) -> tuple[Still, ...]:
    """Draw the board before the first beat and after each."""
    puzzle = episode.puzzle
    found = [Still(0, board_svg(puzzle, key=False, title=False), board_alt(episode))]
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
        svg = board_svg(puzzle, key=False, title=False, marks=marks, digits=digits)
        text = episode.texts["still_alt"].format(
            beat=beat, text=" ".join(told.told.written for told in steps)
        )
        found.append(Still(beat, svg, text))
    return tuple(found)


def pngs(svgs: Sequence[str], width_px: int) -> list[bytes]:
    """Turn drawings of one size into PNGs, all in one go."""
    import typst

    if not svgs:
        return []
    found = _ROOT.search(svgs[0])
    if found is None:
        raise ValueError("not a drawing of ours: no viewBox, width and height")
    height_px = round(width_px * float(found[2]) / float(found[1]))
    size = f"width: {width_px}pt, height: {height_px}pt"
    with tempfile.TemporaryDirectory() as folder:
        for number, svg in enumerate(svgs):
            root = rf'viewBox="0 0 \1 \2" width="{width_px}" height="{height_px}" preserveAspectRatio="none"'
            (Path(folder) / f"{number}.svg").write_text(_ROOT.sub(root, svg, count=1), encoding="utf-8")
        source = Path(folder) / "pages.typ"
        source.write_text(
            f"#set page({size}, margin: 0pt, fill: none)\n"
            + "#pagebreak()\n".join(f'#image("{number}.svg", {size})\n' for number in range(len(svgs))),
            encoding="utf-8",
        )
        made = typst.compile(
            str(source), format="png", ppi=72, font_paths=typst_fonts(), ignore_system_fonts=True
        )
    return [made] if isinstance(made, bytes) else cast("list[bytes]", made)


def walk_webp(frames: Sequence[bytes], track: Sequence[Spoken]) -> bytes:
    """
    Join stills to an animation in time with the talk: each stays while its beat is told and thought about.

    Args:
        frames: PNGs, one for each part of the track.
        track: The talk track in time.
    """
    from PIL import Image

    pictures = []
    for data in frames:
        with Image.open(BytesIO(data)) as held:
            pictures.append(held.convert("RGB"))
    ends = [*(spoken.start_ms for spoken in track[1:]), track[-1].end_ms + 2_000]
    lengths = [end - spoken.start_ms for spoken, end in zip(track, ends, strict=True)]
    out = BytesIO()
    pictures[0].save(
        out,
        "WEBP",
        save_all=True,
        append_images=pictures[1:],
        duration=lengths,
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


def _fitted(  # noqa: PLR0913, PLR0917
    words: str, face: Face, room: float, largest: int, least: int, most: int
) -> tuple[int, list[str]]:
    """Set text as large as it fits in so many lines without breaking a word; at the least size it is cut."""
    if not words:
        return least, []
    for size in range(largest, least, -4):
        whole = all(face.width(word, size) <= room for word in words.split())
        lines = wrapped(words, face, size, room, most)
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
