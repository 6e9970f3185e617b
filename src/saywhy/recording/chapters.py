"""
Chapters of an episode: what video sites take, and those of a recording, its markers or else its own beats.

Source:
    Video sites ask for a first chapter at 0:00, at least three, each at least ten seconds long, in ascending
    order (YouTube Help); W3C WebVTT for the cues.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from saywhy.files.titles import plain
from saywhy.recording.acts import AnyAct, Finish, Marker, Place

LEAST_S = 10.0
FEWEST = 3
LONGEST_TITLE = 70
#: What the desk calls a marker that says where to cut: no chapter of what is left.
RETAKE = "Retake"


@dataclass(frozen=True)
class Chapter:
    """A chapter: its beginning in seconds and its title."""

    t: float
    title: str


@dataclass(frozen=True)
class Names:
    """What chapters that nobody named are called."""

    rules: str = "Rules"
    first: str = "The first digit"
    quarter: str = "A quarter in"
    half: str = "Half way"
    last: str = "The last quarter"
    solved: str = "Solved"


USUAL = Names()


def chapters(acts: Sequence[AnyAct], names: Names = USUAL) -> list[Chapter]:
    """
    Give chapters that video sites take; nothing in them spoils.

    Args:
        acts: The recording's.
        names: What chapters without a marker are called.

    Returns:
        Ascending whole seconds, the first at 0. Empty where the recording is too short for three.
    """
    end = acts[-1].t if acts else 0.0
    wanted = _marked(acts)
    if not wanted or wanted[0].t >= LEAST_S:
        wanted.insert(0, Chapter(0.0, names.rules))
    else:
        wanted[0] = Chapter(0.0, wanted[0].title)
    more = [*wanted, *_beats(acts, names)]
    return (spaced(wanted, end) if len(wanted) >= FEWEST else []) or spaced(more, end)


def _marked(acts: Sequence[AnyAct]) -> list[Chapter]:
    """Give the markers but for cuts; those of one name are told apart by letters."""
    found = [
        Chapter(act.t, _title(act.name)) for act in acts if isinstance(act, Marker) and act.name != RETAKE
    ]
    often = Counter(chapter.title for chapter in found)
    seen: Counter[str] = Counter()
    for place, chapter in enumerate(found):
        if often[chapter.title] > 1:
            found[place] = replace(chapter, title=f"{chapter.title} {_letter(seen[chapter.title])}")
            seen[chapter.title] += 1
    return found


def _beats(acts: Sequence[AnyAct], names: Names) -> list[Chapter]:
    """Give the beginning of the solve, its quarters and its end, by the digits placed."""
    placed = [act.t for act in acts if isinstance(act, Place)]
    if not placed:
        return []
    titles = (names.first, names.quarter, names.half, names.last)
    found = [Chapter(placed[len(placed) * k // 4], title) for k, title in enumerate(titles)]
    ends = [act.t for act in acts if isinstance(act, Finish)]
    return [*found, *(Chapter(t, names.solved) for t in ends[-1:])]


def spaced(wanted: Sequence[Chapter], end: float) -> list[Chapter]:
    """
    Keep chapters that are long enough; whole seconds, as they are written.

    Args:
        wanted: In any order; one of them at 0.
        end: Length of the video, seconds.

    Returns:
        Ascending; of two with one title the first. Empty where fewer than three are left.
    """
    kept: list[Chapter] = []
    for chapter in sorted(wanted, key=lambda chapter: chapter.t):
        t = float(int(chapter.t))
        if any(chapter.title == other.title for other in kept):
            continue
        if (not kept or t - kept[-1].t >= LEAST_S) and (t == 0 or end - t >= LEAST_S):
            kept.append(Chapter(t, chapter.title))
    return kept if len(kept) >= FEWEST else []


def _title(name: str) -> str:
    text = " ".join(plain(name).split()) or "Marker"
    return text if len(text) <= LONGEST_TITLE else text[: LONGEST_TITLE - 3].rstrip() + "..."


#: What a title must not hold where viewers may not be told anything: a figure, or a name of a cell.
_FIGURE = re.compile(r"\d|\b(one|two|three|four|five|six|seven|eight|nine|ten)s?\b", re.IGNORECASE)


def hushed(held: Sequence[Chapter]) -> list[Chapter]:
    """Give chapters without what could spoil: a title that holds a figure becomes that of its place."""
    return [
        replace(chapter, title=f"Part {_letter(place)}") if _FIGURE.search(chapter.title) else chapter
        for place, chapter in enumerate(held)
    ]


def _letter(place: int) -> str:
    return chr(ord("A") + place) if place < 26 else _letter(place // 26 - 1) + _letter(place % 26)


def clock(t: float) -> str:
    """Give a time as ``m:ss`` or ``h:mm:ss``."""
    minutes, seconds = divmod(int(t), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"


def description(held: Sequence[Chapter]) -> str:
    """Give the lines for a video's description, time first."""
    return "".join(f"{clock(chapter.t)} {chapter.title}\n" for chapter in held)


def webvtt(held: Sequence[Chapter], end: float) -> str:
    """Give the chapters as a WebVTT file; each lasts until the next begins."""
    text = "WEBVTT\n"
    for number, chapter in enumerate(held, 1):
        until = held[number].t if number < len(held) else max(end, chapter.t + 1)
        title = chapter.title.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
        text += f"\nchapter-{number}\n{_stamp(chapter.t)} --> {_stamp(until)}\n{title}\n"
    return text


def _stamp(t: float) -> str:
    whole = round(t * 1000)
    return f"{whole // 3600000:02}:{whole // 60000 % 60:02}:{whole // 1000 % 60:02}.{whole % 1000:03}"
