"""Which puzzles of an inbox are the same again, or look alike; in it and on the shelf."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from saywhy.inbox.judgement import Judgement

#: Gives what the shelf holds of a key: ``(title or number, setter's credit)`` each.
OnShelf = Callable[[str, str], Sequence[tuple[str, str]]]


@dataclass(frozen=True)
class Likeness:
    """
    What a puzzle is like.

    Attributes:
        same: The earlier puzzle of the inbox that it is again, turned, mirrored, relabelled or told
            otherwise; None where it is the first.
        near: The earlier one that it looks like but for digits and numbers; None where it is the same as
            one, or like none.
        shelf: Puzzles of the shelf that it is again: titles with credits.
        shelf_near: Puzzles of the shelf that it looks like.
        own: Whether all that are the same puzzle, later ones too, came from its own setter.
    """

    same: Judgement | None = None
    near: Judgement | None = None
    shelf: tuple[str, ...] = ()
    shelf_near: tuple[str, ...] = ()
    own: bool = True

    @property
    def again(self) -> bool:
        """Whether it is the same puzzle as another."""
        return self.same is not None or bool(self.shelf)


def alike(judgements: Sequence[Judgement], on_shelf: OnShelf = lambda _key, _by: ()) -> list[Likeness]:
    """
    Say of each puzzle what it is like.

    Args:
        judgements: In the order in which they count as earlier.
        on_shelf: Called with a key and with ``same`` or ``near``.
    """
    first: dict[str, Judgement] = {}
    first_near: dict[str, Judgement] = {}
    found = []
    for judgement in judgements:
        if judgement.same is None or judgement.near is None:
            found.append(Likeness())
            continue
        same, near = first.get(judgement.same), first_near.get(judgement.near)
        there = on_shelf(judgement.same, "same")
        there_near = () if same or there else on_shelf(judgement.near, "near")
        setters = [credit for _, credit in there] + ([same.setter] if same else [])
        own = all(_one(judgement.setter, setter) for setter in setters)
        if same is not None and same.file == judgement.file and not there:
            own = True  # lines of one file come from one sender
        found.append(
            Likeness(
                same,
                None if same or there else near,
                tuple(_credited(*held) for held in there),
                tuple(_credited(*held) for held in there_near),
                own,
            )
        )
        first.setdefault(judgement.same, judgement)
        first_near.setdefault(judgement.near, judgement)
    # Where one of them came from somebody else, it is not settled whose any of them is.
    open_ = {
        judgement.same
        for judgement, like in zip(judgements, found, strict=True)
        if judgement.same is not None and not like.own
    }
    return [
        replace(like, own=False) if judgement.same in open_ else like
        for judgement, like in zip(judgements, found, strict=True)
    ]


def _one(a: str, b: str) -> bool:
    """Say whether two credits are one person's, as far as that can be told."""
    return bool(a.strip()) and a.strip().casefold() == b.strip().casefold()


def _credited(title: str, credit: str) -> str:
    return f"{title} by {credit}" if credit else title
