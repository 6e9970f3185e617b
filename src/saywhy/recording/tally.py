"""What a review comes to, counted in plain words: digits, notes, guesses, errors, what was seen late."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from saywhy.recording.review import Review


@dataclass(frozen=True)
class Count:
    """A number and, agreeing with it, what there are so many of."""

    number: int
    what: str


def tally(found: Review) -> list[Count]:
    """
    Count what was done and what the review found in it.

    Returns:
        Digits placed, notes made, guesses, errors and digits seen late, each even where there is none; then
        digits that were never placed, what was right and taken back, and standstills, where there are any.
    """
    digits = sum(move.do == "place" for move in found.moves)
    verdicts = [move.verdict for move in found.moves]
    always = [
        _count(digits, "digit placed", "digits placed"),
        _count(len(verdicts) - digits, "note made", "notes made"),
        _count(verdicts.count("guessed"), "guess", "guesses"),
        _count(verdicts.count("wrong"), "error", "errors"),
        _count(len(found.late), "digit seen late", "digits seen late"),
    ]
    others = [
        _count(len(found.passed), "digit open and never placed", "digits open and never placed"),
        _count(verdicts.count("undone"), "right and taken back", "right and taken back"),
        _count(len(found.stalls), "standstill", "standstills"),
    ]
    return always + [count for count in others if count.number]


def answer(found: Review) -> str:
    """Say in a sentence whether every digit and every note had its reason when it was written."""
    kinds = [
        ("digit", [m for m in found.moves if m.do == "place"]),
        ("note", [m for m in found.moves if m.do != "place"]),
    ]
    held = [(name, sum(move.shown for move in moves), len(moves)) for name, moves in kinds if moves]
    if not held:
        return "Nothing was written."
    if all(shown == whole for _, shown, whole in held):
        every = " and ".join(f"every {name}" for name, _, _ in held)
        return f"{every.capitalize()} had its reason when it was written."
    parts = [_share(shown, whole, name) for name, shown, whole in held]
    told = " and ".join(parts)
    return f"{told[0].upper()}{told[1:]} had a reason when written."


def _share(shown: int, whole: int, name: str) -> str:
    if shown == whole:
        return f"the one {name}" if whole == 1 else f"all {whole} {name}s"
    return f"no {name}" if not shown else f"{shown} of {whole} {name}s"


def _count(number: int, one: str, more: str) -> Count:
    return Count(number, one if number == 1 else more)
