"""What a review gives out as files: the report, chapters, cues and errata."""

from __future__ import annotations

from saywhy.errors import NotAllowedError, Problem
from saywhy.files.titles import plain
from saywhy.recording import chapters
from saywhy.recording.chapters import FEWEST, LEAST_S
from saywhy.recording.report import report
from saywhy.recording.review import Review


def html(found: Review, *, viewers: bool = False) -> str:
    """Give the report as one HTML page that needs no other file; for viewers without what spoils."""
    return report(found, viewers=viewers)


def chapter_lines(found: Review, *, viewers: bool = False) -> str:
    """
    Give the chapters for a video's description; for viewers without titles that could spoil.

    Raises:
        NotAllowedError: The recording does not give the three that video sites ask for.
    """
    _some(found)
    return chapters.description(found.chapters_for(viewers=viewers))


def webvtt(found: Review, *, viewers: bool = False) -> str:
    """
    Give the chapters as WebVTT; for viewers without titles that could spoil.

    Raises:
        NotAllowedError: The recording does not give the three that video sites ask for.
    """
    _some(found)
    return chapters.webvtt(found.chapters_for(viewers=viewers), found.length)


def _some(found: Review) -> None:
    if found.chapters:
        return
    asked = f"video sites ask for {FEWEST} chapters of {LEAST_S:.0f} s or more"
    if found.length < FEWEST * LEAST_S:
        what = f"{asked}, and the recording lasts {chapters.clock(found.length)}"
        raise NotAllowedError(Problem(what, "Leave chapters out for this one"))
    what = f"{asked}, and too few markers and digits of the recording lie that far apart"
    raise NotAllowedError(
        Problem(what, "Set markers farther apart when it is recorded, or leave chapters out")
    )


def errata(found: Review, *, viewers: bool = False) -> str:
    """Give the errata for a video's description; for viewers times alone. Empty where all was so."""
    lines = []
    for move in found.moves:
        if move.verdict not in ("wrong", "guessed"):
            continue
        time = chapters.clock(move.t)
        if move.verdict == "wrong":
            mended = "" if move.taken_s is None else f" Mended at {chapters.clock(move.taken_s)}."
            said = "Something was noted that is not so." if viewers else f"Not so: {move.said}. {move.reason}"
            lines.append(f"{time} {said}{mended}")
        elif not move.rests_on:
            later = "" if move.shown_s is None else f" It is shown at {chapters.clock(move.shown_s)}."
            said = "Something was said" if viewers else f"{move.said} is right, but was said"
            lines.append(f"{time} {said} before it had been shown.{later}")
    return "Errata\n" + "\n".join(map(plain, lines)) + "\n" if lines else ""
