"""Long work: a sign of life on a terminal, and Ctrl-C that stops it at once."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from saywhy.engine import Cancel

Answer = TypeVar("Answer")

#: Work that takes no longer than this shows nothing: a flicker tells nobody anything.
PATIENCE_S = 0.7


def stoppable(work: Callable[[Cancel], Answer]) -> Answer:
    """
    Do work of the engine so that Ctrl-C stops it: the native search does not hear signals itself.

    Args:
        work: Given the flag that stops the engine, gives the answer.

    Raises:
        KeyboardInterrupt: Ctrl-C was pressed; the work has ended.
    """
    from saywhy.engine import Cancel

    cancel = Cancel()
    answers: list[Answer] = []
    errors: list[BaseException] = []

    def run() -> None:
        try:
            answers.append(work(cancel))
        except BaseException as error:
            errors.append(error)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    try:
        thread.join()
    except KeyboardInterrupt:
        cancel.set()
        thread.join()
        raise
    if errors:
        raise errors[0]
    return answers[0]


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
