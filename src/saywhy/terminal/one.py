"""Commands that take one puzzle."""

from __future__ import annotations

from itertools import islice

from saywhy.errors import AmbiguousError, Problem
from saywhy.files import Entry, entries


def one_puzzle(path: str) -> Entry:
    """Give the one puzzle of a file; an entry with an error where it holds several."""
    held = list(islice(entries(path), 2))
    if len(held) == 1 or held[0].puzzle is None:
        return held[0]
    problem = Problem("the file holds several puzzles", f"Name one by its line, such as {held[1].source}")
    return Entry(path, error=AmbiguousError(problem, path))
