"""
The whole pack in one folder, with a manifest; built beside it and moved into place when all is there.

What spoils the solve lies in the folder ``spoilers`` and nowhere else, but for the viewers' page, which
holds its hints sealed until they are asked for.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from saywhy.drawing import board_png, board_svg
from saywhy.errors import NotAllowedError, Problem
from saywhy.publishing.captions import subrip, transcript, webvtt
from saywhy.publishing.chapters import chapters
from saywhy.publishing.episode import Episode
from saywhy.publishing.feed import atom, calendar, series
from saywhy.publishing.page import page
from saywhy.publishing.paper import sheet
from saywhy.publishing.pictures import (
    board_alt,
    frames,
    png,
    stills,
    thumbnail_alt,
    thumbnail_svg,
    walk_webp,
)
from saywhy.publishing.recorded import recorded
from saywhy.publishing.talk import Spoken, talk
from saywhy.publishing.words import words
from saywhy.recording.chapters import description
from saywhy.recording.chapters import webvtt as chapter_cues

MANIFEST = "manifest.json"
SPOILERS = "spoilers"
BOARD_PX = 1600
MOST_THUMBNAIL = 2_000_000


@dataclass(frozen=True)
class Piece:
    """One file of the pack: its name, its bytes, and for a picture its description in words."""

    name: str
    data: bytes
    alt: str | None = None


def pieces(episode: Episode, template: str | None = None, *, source: str | None = None) -> list[Piece]:
    """
    Make everything that an episode needs.

    Args:
        episode: The episode.
        template: Template of title and description; None for the usual one.
        source: Its file name, for errors.
    """
    said = words(episode, template, source)
    track = talk(episode)
    alt, thumb_alt = board_alt(episode), thumbnail_alt(episode)
    found = [
        Piece("index.html", page(episode)),
        _text("words/title.txt", said.title + "\n"),
        _text("words/description.txt", said.description),
        _text("words/rules.txt", "\n".join(episode.rules.written) + "\n\n" + episode.rules.spoken + "\n"),
        *_chapters(episode, track),
        Piece("pictures/thumbnail.png", board_png(thumbnail_svg(episode), 1280), thumb_alt),
    ]
    for theme in ("light", "dark"):
        svg = board_svg(episode.shown, theme=theme, language=episode.catalogue.language)
        found.append(Piece(f"pictures/board-{theme}.svg", svg.encode(), alt))
        found.append(Piece(f"pictures/board-{theme}.png", board_png(svg, BOARD_PX), alt))
    found += [
        Piece("print/a4.pdf", sheet(episode, "a4")),
        Piece("print/letter.pdf", sheet(episode, "us-letter")),
    ]
    if entries := series(episode):
        name = episode.series or episode.texts["series"]
        found += [
            Piece("feed.atom", atom(entries, name, episode.language)),
            Piece("calendar.ics", calendar(entries, name, episode.texts)),
        ]
    drawn = stills(episode)
    pictures = frames(drawn)
    found += [
        _text(f"{SPOILERS}/captions.vtt", webvtt(track, episode.language)),
        _text(f"{SPOILERS}/captions.srt", subrip(track)),
        _text(f"{SPOILERS}/transcript.txt", transcript(track)),
        *_recorded(episode),
        *(
            Piece(f"{SPOILERS}/stills/beat-{still.beat:03}.png", png(picture), still.alt)
            for still, picture in zip(drawn.held, pictures, strict=True)
        ),
        Piece(f"{SPOILERS}/walk.webp", walk_webp(pictures, track), episode.texts["walk_alt"]),
    ]
    return sorted(found, key=lambda piece: piece.name)


def _chapters(episode: Episode, track: Sequence[Spoken]) -> list[Piece]:
    """Make the chapters as lines and as WebVTT; none where there is too little for three."""
    held = chapters(episode, track)
    if not held:
        return []
    acts = episode.recording.acts if episode.recording else ()
    end = acts[-1].t if acts else track[-1].end_ms / 1000
    return [
        _text("words/chapters.txt", description(held)),
        _text("words/chapters.vtt", chapter_cues(held, end)),
    ]


def _recorded(episode: Episode) -> list[Piece]:
    """Make captions in the time of the recording, where there is one."""
    said = recorded(episode)
    if not said:
        return []
    return [
        _text(f"{SPOILERS}/recording.vtt", webvtt(said, episode.language)),
        _text(f"{SPOILERS}/recording.srt", subrip(said)),
    ]


def with_path(episode: Episode) -> list[Piece]:
    """Make the printed sheets that go on with solution and path."""
    return [
        Piece(f"{SPOILERS}/a4-with-path.pdf", sheet(episode, "a4", path=True)),
        Piece(f"{SPOILERS}/letter-with-path.pdf", sheet(episode, "us-letter", path=True)),
    ]


def manifest(episode: Episode, held: list[Piece]) -> bytes:
    """Give the manifest: every file with its size, its SHA-256, whether it spoils, and its description."""
    files = [
        {
            "name": piece.name,
            "bytes": len(piece.data),
            "sha256": hashlib.sha256(piece.data).hexdigest(),
            "spoils": piece.name.startswith(f"{SPOILERS}/"),
            **({} if piece.alt is None else {"alt": piece.alt}),
        }
        for piece in sorted(held, key=lambda piece: piece.name)
    ]
    said = {
        "format": 1,
        "puzzle": episode.name,
        "id": str(episode.uuid),
        "title": episode.title,
        "files": files,
    }
    return (json.dumps(said, indent=1, ensure_ascii=False) + "\n").encode()


def build(
    episode: Episode,
    folder: Path,
    template: str | None = None,
    *,
    source: str | None = None,
    path: bool = False,
) -> list[Piece]:
    """
    Write the pack into a folder; it stands there whole, or nothing has changed.

    Args:
        episode: The episode.
        folder: A new or empty folder, or one that holds an earlier pack, which gives way.
        template: Template of title and description; None for the usual one.
        source: Its file name, for errors.
        path: Whether printed sheets with solution and path are made too.

    Raises:
        NotAllowedError: The folder holds something else, cannot be written, or a part cannot be made.
    """
    _check(folder)
    held = [*pieces(episode, template, source=source), *(with_path(episode) if path else [])]
    _written(folder, lambda where: _write(where, held, manifest(episode, held)))
    return held


def _check(folder: Path) -> None:
    if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
        raise NotAllowedError(Problem("this is not a folder", "Name a new one"), str(folder))
    if folder.is_dir() and any(folder.iterdir()) and not (folder / MANIFEST).is_file():
        what = "the folder holds something that is not a pack"
        raise NotAllowedError(Problem(what, "Name a new folder, or an earlier pack"), str(folder))


def _written(folder: Path, write: Callable[[Path], None]) -> None:
    """Have a folder written beside its place and moved there; an earlier one goes only then."""
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        workshop = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    except OSError as error:
        raise _refused(error, folder) from error
    try:
        fresh = workshop / "new"
        fresh.mkdir()
        write(fresh)
        if folder.exists():
            folder.rename(workshop / "old")
        try:
            os.replace(fresh, folder)  # noqa: PTH105 - a folder onto a name that is free
        except OSError:
            if (workshop / "old").exists():
                (workshop / "old").rename(folder)
            raise
    except OSError as error:
        raise _refused(error, folder) from error
    finally:
        shutil.rmtree(workshop, ignore_errors=True)


def _write(where: Path, held: list[Piece], listing: bytes) -> None:
    for piece in held:
        out = where / piece.name
        out.parent.mkdir(parents=True, exist_ok=True)
        out.write_bytes(piece.data)
    (where / MANIFEST).write_bytes(listing)


def _refused(error: OSError, folder: Path) -> NotAllowedError:
    reason = (error.strerror or str(error)).lower()
    return NotAllowedError(
        Problem(f"the pack cannot be written: {reason}", "Name another folder"), str(folder)
    )


def _text(name: str, text: str) -> Piece:
    assert len(text) < 5_000_000, "texts come from bounded puzzles"
    return Piece(name, text.encode())
