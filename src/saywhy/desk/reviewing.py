"""
One review, worked out in a program of its own: it keeps the desk free, and can be stopped at any moment.

``python -m saywhy.desk.reviewing`` reads an ``Order`` from standard input and writes a ``Reviewed`` or a
``Failed``, all as JSON.
"""

from __future__ import annotations

import sys
from typing import Any

import msgspec

from saywhy.errors import SaywhyError
from saywhy.files import read_text
from saywhy.recording import exports, read, sections
from saywhy.recording.host import Evening, evening
from saywhy.recording.report import PARTS
from saywhy.recording.review import review


class Order(msgspec.Struct, frozen=True):
    """What is to be reviewed: a puzzle's text and the file of its recording."""

    text: str
    file: str


class Failed(msgspec.Struct, frozen=True, tag=True):
    """Why there is no review, in words."""

    problem: str


class Reviewed(msgspec.Struct, frozen=True, kw_only=True, tag=True):
    """
    A review as pages and downloads need it.

    Attributes:
        facts: What the replay is told.
        head: HTML: how it went, in figures.
        controls: HTML: the timeline.
        moves: HTML: the moves and what is said of one.
        parts: HTML: the parts of the review in order.
        files: Downloads by name; those for viewers spoil nothing. Chapters and errata only where
            there are any.
        evening: What it adds to the host's habits.
    """

    facts: dict[str, Any]
    head: str
    controls: str
    moves: str
    parts: list[str]
    files: dict[str, str]
    evening: Evening


def reviewed(order: Order) -> Reviewed | Failed:
    """Work out a review."""
    try:
        recording = read(order.file, salvage=True)
        found = review(read_text(order.text)[0], recording)
    except SaywhyError as error:
        return Failed(" ".join(f"{problem.what}. {problem.mend}." for problem in error.problems))
    files = {}
    for viewers in (False, True):
        ending = "-viewers" if viewers else ""
        told = found.for_viewers("") if viewers else found.as_json("")
        files[f"review{ending}.json"] = msgspec.json.encode(told).decode()
        files[f"report{ending}.html"] = exports.html(found, viewers=viewers)
        if errata := exports.errata(found, viewers=viewers):
            files[f"errata{ending}.txt"] = errata
        if found.chapters:
            files[f"chapters{ending}.txt"] = exports.chapter_lines(found, viewers=viewers)
            files[f"chapters{ending}.vtt"] = exports.webvtt(found, viewers=viewers)
    return Reviewed(
        facts=sections.facts(found),
        head=sections.head(found),
        controls=sections.controls(found),
        moves=sections.moves(found),
        parts=[part(found) for part in PARTS],
        files=files,
        evening=evening(found),
    )


def main() -> None:
    """Answer one order."""
    order = msgspec.json.decode(sys.stdin.buffer.read(), type=Order)
    sys.stdout.buffer.write(msgspec.json.encode(reviewed(order)))


if __name__ == "__main__":
    main()
