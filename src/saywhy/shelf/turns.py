"""Whose turn it is to write to the shelf: one program at a time, and the one that waits longest next."""

from __future__ import annotations

import os
import time
from contextlib import suppress
from pathlib import Path

from saywhy.shelf.folder import lock, unlock


class Turns:
    """
    A lock that is handed on.

    Whoever waits holds the place of the next one, so that a program that writes again and again does not
    take the lock anew each time before a waiting one looks.

    Args:
        folder: Where its two files are.
    """

    def __init__(self, folder: Path) -> None:
        self._writer = os.open(folder / "shelf.lock", os.O_RDWR | os.O_CREAT, 0o600)
        self._next = os.open(folder / "shelf.next", os.O_RDWR | os.O_CREAT, 0o600)

    def take(self, wait_s: float) -> bool:
        """Wait for the turn, and say whether it came in this time."""
        until = time.monotonic() + wait_s
        if not lock(self._next, wait_s):
            return False
        try:
            if not lock(self._writer, max(until - time.monotonic(), 0.0)):
                return False
        finally:
            unlock(self._next)
        with suppress(OSError, AttributeError):
            os.ftruncate(self._writer, 0)
            os.pwrite(self._writer, f"{os.getpid()}\n".encode(), 0)
        return True

    def give(self) -> None:
        """Give the turn to whoever waits."""
        unlock(self._writer)

    def holder(self) -> int | None:
        """Give the process that wrote last, as a rule the one that writes; None where that is not known."""
        try:
            held = os.pread(self._writer, 20, 0).strip()
        except (OSError, AttributeError):
            return None
        return int(held) if held.isdigit() else None

    def close(self) -> None:
        """Let go."""
        os.close(self._writer)
        os.close(self._next)
