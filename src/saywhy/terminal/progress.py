"""How far long work has come, on a terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic

from saywhy.terminal.waiting import PATIENCE_S


@contextmanager
def progress() -> Iterator[Callable[[str, int, int], None] | None]:
    """Give what is to be told how far the work has come; None where nobody is there to see it."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.text import Text

    status = Console(stderr=True).status("")
    begun = monotonic()

    def tell(what: str, done: int, of: int) -> None:
        if monotonic() - begun >= PATIENCE_S:
            status.start()
            status.update(Text(f"{what}: {done} of {of}" if of else what))

    try:
        yield tell
    finally:
        status.stop()
