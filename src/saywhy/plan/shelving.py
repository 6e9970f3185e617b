"""The plan and the shelf: what there is to plan with, and a plan that is taken."""

from __future__ import annotations

from datetime import date, datetime

from saywhy.errors import NotAllowedError, Problem
from saywhy.plan.families import families
from saywhy.plan.outcome import Outcome
from saywhy.plan.series import Candidate
from saywhy.plan.stock import Standing, Stock
from saywhy.shelf import Setter, Shelf, ShelfEpisode, ShelfPuzzle, State

#: The sheet of wishes in the host's folder.
SHEET = "plan.toml"
#: What the deed of taking a plan is called.
TAKEN = "a plan was taken"


def stock_of(shelf: Shelf) -> Stock:
    """Give what stands on a shelf: puzzles are called p1, p2, ..., setters by their credit."""
    with shelf.at_one_moment():
        puzzles = sorted(shelf.puzzles.all(), key=lambda held: held.id)
        setters = {held.id: held for held in shelf.setters.all()}
        episodes = shelf.episodes.all()
    standing = {held.puzzle for held in episodes if held.state is not State.PLANNED}
    candidates, withheld = [], dict[str, str]()
    for held in puzzles:
        setter = setters.get(held.setter) if held.setter is not None else None
        why = _withheld(held)
        if why is None or held.id in standing:
            candidates.append(_candidate(held, setter))
        if why is not None:
            withheld |= {name: why for name in (f"p{held.id}", held.title) if name}
            if setter is not None:
                withheld.setdefault(setter.credit, "none of theirs may air")
    return Stock(tuple(candidates), withheld, tuple(_standing(held) for held in episodes))


def take(shelf: Shelf, outcome: Outcome) -> int:
    """
    Write a plan to the shelf, as one deed that can be taken back.

    Returns:
        How many episodes were planned, moved or taken off.

    Raises:
        NotAllowedError: A puzzle may not air any more, or its episode has changed meanwhile.
    """
    series = outcome.series
    pins = outcome.pins()
    done = 0
    with shelf.deed(TAKEN):
        episodes = shelf.episodes.all()
        held = {episode.puzzle: episode for episode in episodes if episode.state is State.PLANNED}
        used = {episode.puzzle for episode in episodes}
        for change in outcome.changes():
            number = int(series.candidates[change.candidate].name[1:])
            episode = held.get(number)
            if (change.before is None and number in used) or (change.before is not None and episode is None):
                called = series.candidates[change.candidate].called
                what = f"the episode of {called} was changed since this was planned"
                raise NotAllowedError(Problem(what, "Plan again, and take that"))
            if change.after is None:
                if episode is not None:
                    shelf.episodes.remove(episode.id)
                    done += 1
                continue
            pinned = change.candidate in pins
            slot = series.slot_of(change.after)
            moment = None if slot is None else series.slots[slot].at
            airs = change.after.isoformat() if moment is None else moment.isoformat(timespec="minutes")
            if episode is None:
                shelf.episodes.plan(number, airs, pinned=pinned)
                done += 1
            elif change.kind == "moved" or (episode.airs != airs and not episode.pinned):
                shelf.episodes.move(episode.id, airs, pinned=pinned)
                done += 1
            elif episode.pinned != pinned:
                shelf.episodes.pin(episode.id, pinned)
                done += 1
    return done


def _withheld(held: ShelfPuzzle) -> str | None:
    if held.verdict in ("none", "many"):
        return "it has no solution" if held.verdict == "none" else "it has more than one solution"
    if not held.cleared:
        return f"it has no permission to air: {held.permission.replace('-', ' ')}"
    return None


def _candidate(held: ShelfPuzzle, setter: Setter | None) -> Candidate:
    minutes = None if held.effort is None else held.effort.get("minutes", {}).get("likely")
    return Candidate(
        f"p{held.id}",
        held.title,
        "" if setter is None else setter.credit,
        families(held.rules),
        held.band,
        minutes,
        date.fromisoformat(held.received),
    )


def _standing(held: ShelfEpisode) -> Standing:
    airs: date | datetime | None = None
    if held.airs is not None:
        airs = date.fromisoformat(held.airs) if len(held.airs) <= 10 else datetime.fromisoformat(held.airs)
    return Standing(f"p{held.puzzle}", airs, held.state.value, held.pinned, f"e{held.id}")
