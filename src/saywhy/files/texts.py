"""A text file of somebody's, read no further than it may be long."""

from __future__ import annotations

from pathlib import Path

from saywhy.errors import Problem, UnreadableError


def read_short(path: str | Path, most: int, noun: str, mend: str) -> str:
    """
    Give the text of a file.

    Args:
        path: The file.
        most: Most bytes; no more are read, whatever the file is.
        noun: What it is, with its article: ``the template``.
        mend: What to do where it is not that, a sentence without its full stop.

    Raises:
        UnreadableError: It cannot be opened, is longer, or is not text in UTF-8.
    """
    try:
        with Path(path).open("rb") as file:
            held = file.read(most + 1)
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise UnreadableError(Problem(f"{noun} cannot be read: {reason}", mend), str(path)) from None
    if len(held) > most:
        size = f"{most // 1024} KiB" if most < 1024 * 1024 else f"{most // 1024 // 1024} MiB"
        raise UnreadableError(Problem(f"{noun} is longer than {size}", mend), str(path))
    try:
        return held.decode("utf-8-sig")
    except UnicodeDecodeError:
        what = f"{noun} cannot be read: this is not text in UTF-8"
        raise UnreadableError(Problem(what, mend), str(path)) from None
