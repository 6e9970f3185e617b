"""An episode's facts from the shelf, for whoever makes a pack of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from saywhy.errors import NotAllowedError, Problem
from saywhy.publishing.facts import Facts, moment

if TYPE_CHECKING:
    from saywhy.publishing.episode import Entry
    from saywhy.publishing.messages import Catalogue
    from saywhy.puzzle import Puzzle
    from saywhy.shelf import Shelf


@dataclass(frozen=True)
class Shelved:
    """An episode of the shelf: its puzzle, what is known of it, and what its setter said."""

    puzzle: Puzzle
    facts: Facts


def shelved(shelf: Shelf, number: int, catalogue: Catalogue) -> Shelved:
    """
    Give what the shelf knows of an episode; the series' other episodes that may air come along.

    The shelf's link says where the episode is seen, not where the viewers' page is, so it goes to the feed.

    Args:
        shelf: The shelf.
        number: The episode's number.
        catalogue: The published texts, for the rules of the other episodes.

    Raises:
        NotAllowedError: There is no such episode, or its puzzle has no permission to air.
    """
    from saywhy.files import read_text
    from saywhy.recording.log import read_bytes

    held = shelf.episodes.facts(number)
    if not held.cleared:
        told = held.permission.replace("-", " ")
        what = f"the puzzle of episode e{number} has no permission to air: {told}"
        raise NotAllowedError(Problem(what, "Record its setter's permission on the shelf first"))
    source = f"e{number} of the shelf"
    return Shelved(
        read_text(held.text, source)[0],
        Facts(
            title=held.title or None,
            credit=held.credit,
            blind=None if held.how is None else held.how == "blind",
            licence=held.licence or None,
            airs=held.airs,
            next_date=held.next_airs and held.next_airs[:10],
            recording=None if held.log is None else read_bytes(held.log.encode(), source, salvage=True),
            others=tuple(_others(shelf, number, catalogue)),
        ),
    )


def _others(shelf: Shelf, number: int, catalogue: Catalogue) -> list[Entry]:
    from saywhy.files import puzzle_id, read_text
    from saywhy.publishing.episode import Entry, episode_id, shortened
    from saywhy.rules_text import rules_text

    found = []
    for episode in shelf.episodes.all():
        held = shelf.episodes.facts(episode.id)
        if episode.id == number or held.airs is None or not held.cleared:
            continue
        puzzle = read_text(held.text)[0]
        credit = shortened(puzzle.setter if held.credit is None else held.credit)
        effort = shelf.puzzles.get(episode.puzzle).effort
        found.append(
            Entry(
                id=episode_id(puzzle_id(puzzle)),
                title=shortened(held.title) or catalogue.texts["untitled"],
                by=catalogue.language.say("set by {setter}", setter=credit) if credit else "",
                airs=moment(held.airs),
                link=held.link or None,
                rules=rules_text(puzzle, catalogue.language).written,
                minutes=None if effort is None else float(effort["minutes"]["likely"]),
            )
        )
    return found
