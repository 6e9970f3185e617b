"""What a caption may be."""

from __future__ import annotations

from dataclasses import dataclass

from saywhy.errors import NotAllowedError, Problem

#: Least and most of each limit that somebody may ask for.
_BOUNDS = {
    "columns": ("characters a line", 16, 120),
    "lines": ("lines", 1, 4),
    "per_second": ("characters a second", 5, 40),
}


@dataclass(frozen=True)
class Limits:
    """
    What a caption may be.

    Attributes:
        columns: Characters a line.
        lines: Lines.
        per_second: Characters a second, line breaks not counted.
        shortest_s: Least time on screen.
        longest_s: Most time on screen.

    Raises:
        NotAllowedError: A limit with which no captions could be made.

    Source:
        42 characters, two lines, 17 characters a second, at most 7 s (Netflix timed text style guide).
    """

    columns: int = 42
    lines: int = 2
    per_second: float = 17.0
    shortest_s: float = 1.0
    longest_s: float = 7.0

    def __post_init__(self) -> None:
        problems = [
            Problem(
                f"captions cannot have {getattr(self, name):g} {said}",
                f"Ask for {low:g} to {high:g}",
            )
            for name, (said, low, high) in _BOUNDS.items()
            if not low <= getattr(self, name) <= high
        ]
        if problems:
            raise NotAllowedError(problems)


USUAL = Limits()
