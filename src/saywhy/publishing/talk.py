"""
The talk track in time: when each beat is spoken, cut into captions.

Source:
    A pace of about 150 words a minute (National Center for Voice and Speech).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from saywhy.drawing.text import clean
from saywhy.publishing.episode import Episode
from saywhy.publishing.limits import USUAL, Limits
from saywhy.reasoning.profile import GLANCE_S, PAUSE_S, RATE_WPM

#: Cost of ending a caption amid a phrase, against the square of how far it is from its share of the words.
CUT = 0.3


@dataclass(frozen=True)
class Caption:
    """One caption: times in whole milliseconds, and its lines."""

    start_ms: int
    end_ms: int
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Spoken:
    """What is said of one beat (0: the rules), from when to when, with its captions."""

    beat: int
    text: str
    start_ms: int
    end_ms: int
    captions: tuple[Caption, ...]


@lru_cache(maxsize=4)
def talk(episode: Episode) -> tuple[Spoken, ...]:
    """Give the talk track in time: the rules, then every beat."""
    limits = episode.limits
    hardest = {0: 0.0}
    for told in episode.path.steps:
        hardest[told.beat] = max(hardest.get(told.beat, 0.0), told.step.effort)
    found: list[Spoken] = []
    now = 0
    for beat, text in enumerate((episode.rules.spoken, *episode.path.beats)):
        start = now
        captions = []
        for lines in blocks(text, limits):
            length = length_ms(lines, limits)
            captions.append(Caption(now, now + length, lines))
            now += length
        found.append(Spoken(beat, clean(text), start, now, tuple(captions)))
        now += round(1000 * (PAUSE_S + GLANCE_S * hardest[beat]))
    return tuple(found)


def blocks(text: str, limits: Limits = USUAL) -> list[tuple[str, ...]]:
    """Cut a text into captions: the lines of one, and the captions of a sentence, are about equally long."""
    return [lines for sentence in sentences(text, limits) for lines in sentence]


def sentences(text: str, limits: Limits = USUAL) -> list[list[tuple[str, ...]]]:
    """Give the captions of a text sentence by sentence; what a colon announces has captions of its own."""
    return [
        [lines for part in re.split(r"(?<=:)\s+", sentence) for lines in _even(part, limits)]
        for sentence in re.split(r"(?<=[.?!])\s+", clean(text))
        if sentence
    ]


def _even(part: str, limits: Limits) -> list[tuple[str, ...]]:
    """Cut a part of a sentence into as few captions as hold it, after commas where that is about even."""
    words = [piece for word in part.split() for piece in _pieces(word, limits.columns)]
    if not words:
        return []
    #: From each word to the end: captions, unevenness, and how far the first of them goes.
    best: list[tuple[int, float, int]] = [(0, 0.0, 0)] * (len(words) + 1)
    fewest = _fewest(words, limits)
    share = len(" ".join(words)) / fewest
    for begin in reversed(range(len(words))):
        found = []
        for end in range(begin + 1, len(words) + 1):
            if _lines(words[begin:end], limits) is None:
                break
            count, uneven, _ = best[end]
            pause = end == len(words) or words[end - 1][-1] in ",;"
            off = (len(" ".join(words[begin:end])) / share - 1) ** 2 + (0 if pause else CUT)
            found.append((count + 1, uneven + off, end))
        best[begin] = min(found)
    made, at = [], 0
    while at < len(words):
        end = best[at][2]
        made.append(_lines(words[at:end], limits) or tuple(words[at:end]))
        at = end
    return made


def _fewest(words: list[str], limits: Limits) -> int:
    """Give how many captions words need."""
    count, here = 1, 0
    for end in range(1, len(words) + 1):
        if _lines(words[here:end], limits) is None:
            count, here = count + 1, end - 1
    return count


def _pieces(word: str, columns: int) -> list[str]:
    return [word[at : at + columns] for at in range(0, len(word), columns)]


def _lines(words: list[str], limits: Limits) -> tuple[str, ...] | None:
    """Lay words out in as few lines as they need, evenly; None where they do not fit."""
    whole = " ".join(words)
    if len(whole) <= limits.columns:
        return (whole,)
    for width in range(-(-len(whole) // limits.lines), limits.columns + 1):
        lines = [""]
        for word in words:
            longer = f"{lines[-1]} {word}".strip()
            if len(longer) <= width:
                lines[-1] = longer
            else:
                lines.append(word)
        if len(lines) <= limits.lines and max(map(len, lines)) <= limits.columns:
            return tuple(lines)
    return None


def length_ms(lines: tuple[str, ...], limits: Limits) -> int:
    """Give how long a caption stays, milliseconds: as long as it is spoken, and long enough to be read."""
    words = sum(len(line.split()) for line in lines)
    letters = sum(map(len, lines))
    seconds = max(words * 60 / RATE_WPM, letters / limits.per_second, limits.shortest_s)
    return -int(-1000 * max(min(seconds, limits.longest_s), letters / limits.per_second) // 1)
