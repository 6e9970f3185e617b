"""Long work that can be stopped, is bounded in time and says how far it has come."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic

from saywhy.engine import Cancel

#: Told what is being done, how much of it is done and of how much; 0 of 0 where that is not known.
Tell = Callable[[str, int, int], None]


class StoppedError(Exception):
    """The time is over, or the work was cancelled."""


class Watch:
    """
    The clock of one piece of work.

    Attributes:
        cancel: The flag that stops it, for the engine's queries too.
    """

    def __init__(
        self, seconds: float | None = None, cancel: Cancel | None = None, tell: Tell | None = None
    ) -> None:
        self.cancel = Cancel() if cancel is None else cancel
        self._end = None if seconds is None else monotonic() + seconds
        self._tell = tell

    @property
    def over(self) -> bool:
        """Whether the time is over or the work was cancelled."""
        return self.cancel.is_set or (self._end is not None and monotonic() >= self._end)

    def left(self) -> float | None:
        """
        Give the seconds that are left; None for no limit.

        Raises:
            StoppedError: There are none.
        """
        if self.over:
            raise StoppedError
        return None if self._end is None else max(1e-3, self._end - monotonic())

    def part(self, share: float) -> Watch:
        """Give a watch of a share of what is left, stopped with this one."""
        seconds = self.left()
        return Watch(None if seconds is None else share * seconds, self.cancel, self._tell)

    def say(self, what: str, done: int = 0, of: int = 0) -> None:
        """Tell how far the work has come."""
        if self._tell is not None:
            self._tell(what, done, of)
