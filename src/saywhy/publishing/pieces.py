"""
Every file of a pack.

What spoils the solve lies in the folder ``spoilers`` and nowhere else, but for the viewers' page, which
holds its hints sealed until they are asked for.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from saywhy.drawing import board_png, board_svg
from saywhy.publishing import film
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
from saywhy.publishing.words import Words, words
from saywhy.recording.chapters import description
from saywhy.recording.chapters import webvtt as chapter_cues

SPOILERS = "spoilers"
BOARD_PX = 1600
#: Steps of the making that ``told`` hears of, without films.
STAGES = ("words", "page", "pictures", "print", "stills", "walk")

Told = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Piece:
    """One file of the pack: its name, its bytes, and for a picture its description in words."""

    name: str
    data: bytes
    alt: str | None = None

    @property
    def spoils(self) -> bool:
        """Whether it shows something of the solve."""
        return self.name.startswith(f"{SPOILERS}/")


@dataclass(frozen=True)
class Wish:
    """
    What a host asks of a pack beside the episode itself.

    Attributes:
        template: Template of title and description; None for the usual one.
        source: Its file name, for errors.
        path: Whether printed sheets with solution and path are made too.
        films: Kinds of films to make; they need the extra ``video``.
        without: Fields of the template that are left out on purpose.
        draft: Whether the pack is for a look alone: what its description lacks is told in it.
    """

    template: str | None = None
    source: str | None = None
    path: bool = False
    films: tuple[film.Kind, ...] = ()
    without: tuple[str, ...] = ()
    draft: bool = False

    def words(self, episode: Episode) -> Words:
        """
        Give title and description.

        Raises:
            NotAllowedError: As for ``saywhy.publishing.words.words``.
        """
        return words(episode, self.template, self.source, without=self.without, draft=self.draft)


def pieces(episode: Episode, wish: Wish, told: Told | None = None) -> list[Piece]:
    """
    Make everything that an episode needs, in the order of names.

    Args:
        episode: The episode.
        wish: What the host asks for.
        told: Hears before each stage its name, its number from 0 and how many there are; what it raises
            ends the making.

    Raises:
        NotAllowedError: Words, page or films cannot be made.
    """
    if wish.films:
        film.needed()
    stages = (*STAGES, *wish.films)
    makers = _makers(episode, wish)
    found: list[Piece] = []
    for number, name in enumerate(stages):
        if told is not None:
            told(name, number, len(stages))
        found += next(makers)
    told_of = {piece.name: piece.alt for piece in found if piece.spoils and piece.alt is not None}
    found.append(_text(f"{SPOILERS}/pictures.json", json.dumps(told_of, indent=1, ensure_ascii=False) + "\n"))
    return sorted(found, key=lambda piece: piece.name)


def _makers(episode: Episode, wish: Wish) -> Iterator[list[Piece]]:
    """Make the pieces, stage by stage."""
    track = talk(episode)
    yield [*_words(episode, wish, track), *_feed(episode)]
    yield [Piece("index.html", page(episode))]
    yield _pictures(episode)
    yield _prints(episode, wish)
    drawn = stills(episode)
    pictures = frames(drawn)
    yield [
        Piece(f"{SPOILERS}/stills/beat-{still.beat:03}.png", png(picture), still.alt)
        for still, picture in zip(drawn.held, pictures, strict=True)
    ]
    alt = episode.texts["walk_alt"]
    yield [Piece(f"{SPOILERS}/walk.webp", walk_webp(pictures, track), alt)]
    large = frames(drawn, film.FILM_PX) if wish.films else []
    for kind in wish.films:
        yield [Piece(f"{SPOILERS}/walk.{kind}", film.film(large, track, kind), alt)]


def _words(episode: Episode, wish: Wish, track: Sequence[Spoken]) -> list[Piece]:
    said = wish.words(episode)
    found = [
        _text("words/title.txt", said.title + "\n"),
        _text("words/description.txt", said.description),
        _text("words/rules.txt", "\n".join(episode.rules.written) + "\n\n" + episode.rules.spoken + "\n"),
        _text(f"{SPOILERS}/captions.vtt", webvtt(track, episode.language)),
        _text(f"{SPOILERS}/captions.srt", subrip(track)),
        _text(f"{SPOILERS}/transcript.txt", transcript(track)),
    ]
    if held := chapters(episode, track):
        acts = episode.recording.acts if episode.recording else ()
        end = acts[-1].t if acts else track[-1].end_ms / 1000
        found.append(_text("words/chapters.txt", description(held)))
        found.append(_text("words/chapters.vtt", chapter_cues(held, end)))
    if said_then := recorded(episode):
        found.append(_text(f"{SPOILERS}/recording.vtt", webvtt(said_then, episode.language)))
        found.append(_text(f"{SPOILERS}/recording.srt", subrip(said_then)))
    return found


def _feed(episode: Episode) -> list[Piece]:
    entries = series(episode)
    if not entries:
        return []
    name = episode.series or episode.texts["series"]
    return [
        Piece("feed.atom", atom(entries, name, episode.language)),
        Piece("calendar.ics", calendar(entries, name, episode.texts)),
    ]


def _pictures(episode: Episode) -> list[Piece]:
    alt = board_alt(episode)
    found = [Piece("pictures/thumbnail.png", board_png(thumbnail_svg(episode), 1280), thumbnail_alt(episode))]
    for theme in ("light", "dark"):
        svg = board_svg(episode.shown, theme=theme, language=episode.catalogue.language)
        found.append(Piece(f"pictures/board-{theme}.svg", svg.encode(), alt))
        found.append(Piece(f"pictures/board-{theme}.png", board_png(svg, BOARD_PX), alt))
    return found


def _prints(episode: Episode, wish: Wish) -> list[Piece]:
    found = [
        Piece("print/a4.pdf", sheet(episode, "a4")),
        Piece("print/letter.pdf", sheet(episode, "us-letter")),
    ]
    if wish.path:
        found += [
            Piece(f"{SPOILERS}/a4-with-path.pdf", sheet(episode, "a4", path=True)),
            Piece(f"{SPOILERS}/letter-with-path.pdf", sheet(episode, "us-letter", path=True)),
        ]
    return found


def _text(name: str, text: str) -> Piece:
    return Piece(name, text.encode())
