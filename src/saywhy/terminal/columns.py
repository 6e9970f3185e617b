"""Lists in text: columns set out under each other, clean of what could steer a terminal."""

from __future__ import annotations

import sys
import unicodedata
from collections.abc import Sequence

import click

from saywhy.files.titles import plain


def show_columns(head: Sequence[str], rows: Sequence[Sequence[str]], none: str) -> None:
    """
    Print rows under a head; the head is left out where nobody sits at a terminal.

    Args:
        head: The head.
        rows: The rows.
        none: What is said where there are none: beside the output, so that a pipe gets nothing.
    """
    if not rows:
        click.echo(none, err=True)
        return
    cleaned = [[plain(text) for text in row] for row in rows]
    shown = [list(head), *cleaned] if sys.stdout.isatty() else cleaned
    widths = [max(map(_width, column)) for column in zip(*shown, strict=True)]
    for place, row in enumerate(shown):
        padded = [text + " " * (width - _width(text)) for text, width in zip(row, widths, strict=True)]
        line = "  ".join(padded).rstrip()
        click.echo(click.style(line, dim=True) if place == 0 and len(shown) > len(cleaned) else line)


def _width(text: str) -> int:
    """Give how many places a text takes on a terminal."""
    return sum(
        0 if unicodedata.combining(letter) else 2 if unicodedata.east_asian_width(letter) in "WF" else 1
        for letter in text
    )
