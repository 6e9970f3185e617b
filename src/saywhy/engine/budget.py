"""How long a query may take, and how to stop one from outside."""

from __future__ import annotations

from dataclasses import dataclass

from saywhy.engine._native import Cancel

__all__ = ["Budget", "Cancel"]


@dataclass(frozen=True)
class Budget:
    """
    The most that a query may spend; what comes first ends it.

    Attributes:
        seconds: Wall-clock time, looked at every few dozen nodes; None for no limit.
        nodes: Digits tried in the search; repeatable from run to run. None for no limit.
    """

    seconds: float | None = None
    nodes: int | None = None


#: No limit at all.
UNLIMITED = Budget()
