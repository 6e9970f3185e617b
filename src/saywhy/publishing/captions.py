"""
Captions and transcript of the talk track.

Source:
    W3C WebVTT: cue times with three decimals, ``&`` and ``<`` escaped, no arrow in the text.
"""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.publishing.talk import Spoken


def webvtt(track: Sequence[Spoken], language: str = "en") -> str:
    """Give the talk track as WebVTT."""
    cues = [
        f"{number}\n{stamp(cue.start_ms)} --> {stamp(cue.end_ms)}\n" + "\n".join(map(_escaped, cue.lines))
        for number, cue in enumerate((cue for spoken in track for cue in spoken.captions), 1)
    ]
    return "\n\n".join(["WEBVTT\nKind: captions\nLanguage: " + language, *cues]) + "\n"


def subrip(track: Sequence[Spoken]) -> str:
    """Give the talk track as SubRip, which has a comma before the thousandths and no markup of ours."""
    cues = [
        f"{number}\n{stamp(cue.start_ms, ',')} --> {stamp(cue.end_ms, ',')}\n"
        + "\n".join(
            line.replace("-->", "→").replace("<", "\u2039").replace(">", "\u203a") for line in cue.lines
        )
        for number, cue in enumerate((cue for spoken in track for cue in spoken.captions), 1)
    ]
    return "\n\n".join(cues) + "\n"


def transcript(track: Sequence[Spoken]) -> str:
    """Give the talk track as text, each beat with the time at which it begins."""
    return "\n\n".join(f"{clock(spoken.start_ms)}  {spoken.text}" for spoken in track) + "\n"


def stamp(time_ms: int, point: str = ".") -> str:
    """Give a time as ``hh:mm:ss.ttt``."""
    seconds, thousandths = divmod(time_ms, 1000)
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{point}{thousandths:03}"


def clock(time_ms: int) -> str:
    """Give a time as lists of chapters write it: ``m:ss``, with hours where there are any."""
    seconds = time_ms // 1000
    minutes = f"{seconds // 60 % 60:02}" if seconds >= 3600 else f"{seconds // 60}"
    return f"{f'{seconds // 3600}:' if seconds >= 3600 else ''}{minutes}:{seconds % 60:02}"


def _escaped(line: str) -> str:
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
