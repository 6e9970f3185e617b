"""What is said of something that is not on the shelf: what is, or how the first of its kind comes there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal

from saywhy.errors import NotAllowedError, Problem

Kind = Literal["puzzle", "setter", "episode", "recording"]
#: How the first of each kind comes on the shelf.
FIRST: dict[str, str] = {
    "puzzle": "The shelf holds no puzzle yet: put one there with saywhy shelf add FILE",
    "setter": "The shelf knows no setter yet: add one with saywhy shelf setter NAME",
    "episode": "The shelf holds no episode yet: plan one with saywhy shelf air PUZZLE --on DAY",
    "recording": "The shelf holds no recording yet: keep one with saywhy shelf keep PUZZLE RECORDING",
}


def absent(rows: Callable[[str], list[Any]], kind: Kind, number: int) -> NotAllowedError:
    """
    Give the error for a number that nothing on the shelf has.

    Args:
        rows: Asks the shelf.
        kind: What was asked for.
        number: Its number.
    """
    what = f"there is no {kind} {kind[0]}{number} on the shelf"
    more = "" if kind == "puzzle" else f" {kind}s"
    held = rows(f"SELECT 1 FROM {kind} LIMIT 1")
    mend = f"saywhy shelf list{more} names those that are there" if held else FIRST[kind]
    return NotAllowedError(Problem(what, mend))
