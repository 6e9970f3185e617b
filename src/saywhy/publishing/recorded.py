"""
The talk track in the time of a recording: each beat ends where the host wrote its digits.

What no digit was written for is told with the beat after it. Where the host was quicker than the words, the
first sentences of a beat give way, each as a whole, and its conclusion stays. Markers are shown where they
stand. It is a draft of captions: what the host really said is not in a recording.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from saywhy.drawing.text import clean
from saywhy.publishing.episode import Episode
from saywhy.publishing.talk import Caption, Spoken, length_ms, sentences
from saywhy.recording.acts import AnyAct, Marker, Place


@dataclass(frozen=True)
class _Word:
    """Something that is said: until when or from when, milliseconds."""

    beat: int
    text: str
    at_ms: int
    ends_there: bool


def recorded(episode: Episode) -> tuple[Spoken, ...]:
    """
    Give what is said in the time of the episode's recording.

    Returns:
        Ascending; captions never overlap. Beat 0 is the rules or a marker. Empty without a recording.
    """
    if episode.recording is None:
        return ()
    acts = episode.recording.acts
    words = sorted(
        [
            _Word(0, clean(act.name), round(1000 * act.t), ends_there=False)
            for act in acts
            if isinstance(act, Marker)
        ]
        + _beats(episode, acts),
        key=lambda word: word.at_ms,
    )
    words.insert(0, _Word(0, episode.rules.spoken, 0, ends_there=False))
    found: list[Spoken] = []
    free = 0
    for place, word in enumerate(words):
        after = words[place + 1 :]
        until = word.at_ms if word.ends_there else min((held.at_ms for held in after), default=None)
        captions = _fitted(word, free, until, episode)
        if captions:
            found.append(Spoken(word.beat, word.text, captions[0].start_ms, captions[-1].end_ms, captions))
            free = captions[-1].end_ms
    return tuple(found)


def _beats(episode: Episode, acts: Sequence[AnyAct]) -> list[_Word]:
    """Give the beats whose digits were written, each with when."""
    written: dict[tuple[str, int], int] = {}
    for act in acts:
        if isinstance(act, Place):
            written.setdefault((act.cell, act.digit), round(1000 * act.t))
    name = episode.puzzle.grid.name
    found: list[_Word] = []
    waiting: list[str] = []
    for beat, group in groupby(episode.path.steps, key=lambda told: told.beat):
        waiting.append(clean(episode.path.beats[beat - 1]))
        places = [(name(cell), digit) for told in group for cell, digit in told.step.places.items()]
        times = [written[place] for place in places if place in written]
        if times:
            found.append(_Word(beat, " ".join(waiting), max(times), ends_there=True))
        if places:
            waiting = []
    return found


def _fitted(word: _Word, free: int, until: int | None, episode: Episode) -> tuple[Caption, ...]:
    """Lay captions between what came before and their time; the first or the last give way."""
    limits = episode.limits
    held = [[(lines, length_ms(lines, limits)) for lines in said] for said in sentences(word.text, limits)]
    room = word.at_ms if word.ends_there else until
    start = free if word.ends_there else max(free, word.at_ms)
    while held and room is not None and start + _length(held) > room:
        held.pop(0 if word.ends_there else -1)
    if word.ends_there:
        start = max(free, word.at_ms - _length(held))
    found = []
    for lines, length in (caption for said in held for caption in said):
        found.append(Caption(start, start + length, lines))
        start += length
    return tuple(found)


def _length(held: list[list[tuple[tuple[str, ...], int]]]) -> int:
    return sum(length for said in held for _, length in said)
