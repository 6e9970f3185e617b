"""A sign of life on a terminal while long work goes on."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

#: Work that takes no longer than this shows nothing: a flicker tells nobody anything.
PATIENCE_S = 0.7


@contextmanager
def waiting(what: str) -> Iterator[None]:
    """Show what is going on where it takes longer than a moment and someone is there to see it."""
    if not sys.stderr.isatty():
        yield
        return
    shown: list[Callable[[], None]] = []
    timer = threading.Timer(PATIENCE_S, lambda: shown.append(_show(what)))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
        timer.join()
        for stop in shown:
            stop()


def _show(what: str) -> Callable[[], None]:
    from rich.console import Console
    from rich.text import Text

    status = Console(stderr=True).status(Text(what))
    status.start()
    return status.stop
