"""Chapters: of the recording where there is one, else of the talk track; their titles spoil nothing."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.publishing.episode import Episode
from saywhy.publishing.talk import Spoken
from saywhy.recording import chapters as recorded
from saywhy.recording.chapters import Chapter


def chapters(episode: Episode, track: Sequence[Spoken]) -> list[Chapter]:
    """Give chapters that video sites take; none where there is too little for three."""
    texts = episode.texts
    if episode.recording is not None:
        names = recorded.Names(
            texts["opening"],
            texts["first_digit"],
            texts["quarter"],
            texts["half"],
            texts["last"],
            texts["solved"],
        )
        return recorded.chapters(episode.recording.acts, names)
    last = len(track) - 1
    wanted = [
        (0, "opening"), (1, "begin"), (last // 4, "quarter"), (last // 2, "half"),
        (last - last // 4, "last"), (last, "end"),
    ]  # fmt: skip
    found = [Chapter(track[min(at, last)].start_ms / 1000, texts[name]) for at, name in wanted]
    return recorded.spaced(found, track[-1].end_ms / 1000)
