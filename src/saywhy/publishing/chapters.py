"""
Chapters: of the recording where there is one, else of the talk track; their titles spoil nothing.

Source:
    Video sites: the first at 0:00, at least three, ascending, each at least 10 s (YouTube Help).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from saywhy.drawing.text import clean
from saywhy.publishing.captions import clock
from saywhy.publishing.episode import Episode
from saywhy.publishing.talk import Spoken
from saywhy.recording.acts import Marker

LEAST_MS = 10_000
FEWEST = 3
LONGEST_TITLE = 70


@dataclass(frozen=True)
class Chapter:
    """A chapter: where it begins, in whole seconds told in milliseconds, and its title."""

    start_ms: int
    title: str


def chapters(episode: Episode, track: Sequence[Spoken]) -> tuple[Chapter, ...]:
    """Give chapters that video sites take; none where the talk is too short for three."""
    texts = episode.texts
    if episode.recording is not None:
        acts = episode.recording.acts
        marked = [
            (round(1000 * act.t), clean(act.name)[:LONGEST_TITLE]) for act in acts if isinstance(act, Marker)
        ]
        if len(marked) >= FEWEST - 1:
            end = round(1000 * acts[-1].t)
            return _spaced([(0, texts["opening"]), *marked], end)
    last = len(track) - 1
    wanted = [
        (0, "opening"), (1, "begin"), (last // 4, "quarter"), (last // 2, "half"),
        (last - last // 4, "last"), (last, "end"),
    ]  # fmt: skip
    return _spaced([(track[min(at, last)].start_ms, texts[name]) for at, name in wanted], track[-1].end_ms)


def listed(held: Sequence[Chapter]) -> str:
    """Give chapters as a description lists them, one a line, time first."""
    return "\n".join(f"{clock(chapter.start_ms)} {chapter.title}" for chapter in held)


def _spaced(wanted: Sequence[tuple[int, str]], end_ms: int) -> tuple[Chapter, ...]:
    kept: list[Chapter] = []
    for start, title in wanted:
        at = start // 1000 * 1000
        if title and (not kept or at - kept[-1].start_ms >= LEAST_MS) and end_ms - at >= LEAST_MS:
            kept.append(Chapter(at, title))
    return tuple(kept) if len(kept) >= FEWEST else ()
