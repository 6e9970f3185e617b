"""How things of the shelf are told: on a line, on a card, as JSON; nothing here spoils a solve."""

from __future__ import annotations

from typing import Any

import msgspec

from saywhy.rules import all_rules
from saywhy.shelf import Setter, Shelf, ShelfEpisode, ShelfPuzzle, ShelfRecording
from saywhy.terminal.about import counted, measures
from saywhy.terminal.card import Card
from saywhy.terminal.verdict import VERDICTS

#: What is left out of JSON unless it is asked for, since it shows clues or the solve.
SHOWN_ON_REVEAL = {"text", "log", "told"}

#: A verdict in a sentence.
SHORT = {"unique": "one solution", "many": "several solutions", "none": "no solution"}

PUZZLE_HEAD = ("", "title", "setter", "verdict", "effort", "permission")
SETTER_HEAD = ("", "credit", "called", "puzzles", "standing permission")
EPISODE_HEAD = ("", "airs", "title", "state", "how", "")
RECORDING_HEAD = ("", "of", "started", "how", "length")


def told_json(
    shelf: Shelf, held: Setter | ShelfPuzzle | ShelfEpisode | ShelfRecording, *, reveal: bool = False
) -> dict[str, Any]:
    """Give anything of the shelf as ``--json`` prints it."""
    if isinstance(held, ShelfPuzzle):
        return puzzle_json(shelf, held, reveal=reveal)
    kinds = {Setter: "setter", ShelfEpisode: "episode", ShelfRecording: "recording"}
    told = {"kind": kinds[type(held)], **msgspec.to_builtins(held)}
    return told if reveal else {name: of for name, of in told.items() if name not in SHOWN_ON_REVEAL}


def puzzle_json(shelf: Shelf, held: ShelfPuzzle, *, reveal: bool = False) -> dict[str, Any]:
    """Give a puzzle as ``--json`` prints it, with its setter's credit."""
    told = {"kind": "puzzle", **msgspec.to_builtins(held)}
    told["credit"] = credit_of(shelf, held)
    return told if reveal else {name: of for name, of in told.items() if name not in SHOWN_ON_REVEAL}


def credit_of(shelf: Shelf, held: ShelfPuzzle) -> str | None:
    """Give the credit of a puzzle's setter; None where nobody is named."""
    return None if held.setter is None else shelf.setters.get(held.setter).credit


def puzzle_row(shelf: Shelf, held: ShelfPuzzle) -> tuple[str, ...]:
    """Give a puzzle as a row of a list."""
    return (
        f"p{held.id}",
        held.title or "untitled",
        credit_of(shelf, held) or "not named",
        held.verdict or "not judged",
        held.band or "",
        airing(held),
    )


def puzzle_line(shelf: Shelf, held: ShelfPuzzle) -> str:
    """Give a puzzle as a line."""
    from saywhy.files.titles import plain

    number, title, setter, verdict, *rest = puzzle_row(shelf, held)
    named = setter if held.setter is not None else "nobody named"
    parts = [title, named, SHORT.get(verdict, verdict), *rest]
    return plain(f"{number}: {', '.join(part for part in parts if part)}")


def setter_row(held: Setter, puzzles: int) -> tuple[str, ...]:
    """Give a setter as a row of a list."""
    standing = said(held.standing, held.standing_on)
    return f"s{held.id}", held.credit, held.called, counted(puzzles, "puzzle"), standing


def episode_row(shelf: Shelf, held: ShelfEpisode) -> tuple[str, ...]:
    """Give an episode as a row of a list."""
    puzzle = shelf.puzzles.get(held.puzzle)
    title = held.title or puzzle.title or "untitled"
    pinned = "pinned" if held.pinned else ""
    when = (held.airs or "no day").replace("T", " ")
    return f"e{held.id}", when, f"{title} (p{puzzle.id})", held.state.value, held.how or "", pinned


def recording_row(held: ShelfRecording) -> tuple[str, ...]:
    """Give a recording as a row of a list."""
    from saywhy.recording.chapters import clock

    of = f"p{held.puzzle}" if held.episode is None else f"p{held.puzzle}, e{held.episode}"
    how = "blind" if held.blind else "rehearsed"
    return f"r{held.id}", of, held.started[:16].replace("T", " "), how, clock(held.seconds)


def airing(held: ShelfPuzzle) -> str:
    """Say whether a puzzle may air, and by which word."""
    if held.cleared and held.permission != "granted":
        return "may air, by the setter's standing permission"
    if held.cleared:
        return f"may air, {said(held.permission, held.permission_on)}"
    return f"may not air, {said(held.permission, held.permission_on)}"


def said(permission: str, on: str | None) -> str:
    """Give a word on airing with its day: ``granted on 2026-11-25``."""
    return permission.replace("-", " ") + (f" on {on}" if on else "")


def puzzle_card(shelf: Shelf, held: ShelfPuzzle) -> Card:
    """Give the card of a puzzle; nothing on it names a cell or a digit."""
    credit = credit_of(shelf, held)
    title = held.title or f"p{held.id}"
    card = Card(f"{title}, by {credit}" if credit else title, {True: True, False: None}[held.cleared])
    card.add("number", f"p{held.id}, setter s{held.setter}" if held.setter is not None else f"p{held.id}")
    card.add("verdict", VERDICTS[held.verdict] if held.verdict else "not judged yet")
    card.add("size", measures(held.puzzle))
    if held.rules:
        known = all_rules()
        card.add("rules", ", ".join(known[name].title if name in known else name for name in held.rules))
    if held.effort is not None:
        from saywhy.reasoning.profile import whole_minutes

        minutes = whole_minutes(held.effort["minutes"]["likely"])
        card.add("effort", f"{held.band}, about {counted(minutes, 'minute')} of talk")
    card.add("permission", airing(held))
    if held.permission_words:
        card.add("their words", held.permission_words.split("\n"))
    came = f"{held.received}, {held.source}" if held.source else held.received
    card.add("received", came)
    for label, text in (("licence", held.licence), ("remarks", held.remarks)):
        if text:
            card.add(label, text.split("\n"))
    _likes(shelf, card, held)
    episodes = shelf.episodes.all(puzzle=held.id)
    if episodes:
        card.add("episodes", ["  ".join(filter(None, episode_row(shelf, each))) for each in episodes])
    recordings = shelf.recordings.all(puzzle=held.id)
    if recordings:
        card.add("recordings", ["  ".join(recording_row(each)) for each in recordings])
    return card


def _likes(shelf: Shelf, card: Card, held: ShelfPuzzle) -> None:
    """Tell which other puzzles are this one again, or are of the same shapes."""
    again = [p for p in shelf.puzzles.alike(held.same) if p.id != held.id] if held.same else []
    if again:
        card.add("the same as", ", ".join(f"p{p.id} {p.title}".strip() for p in again))
    near = [p for p in shelf.puzzles.alike(held.near, "near") if p.id != held.id] if held.near else []
    near = [p for p in near if p not in again]
    if near:
        card.add("same shapes as", ", ".join(f"p{p.id} {p.title}".strip() for p in near))


def setter_card(shelf: Shelf, held: Setter) -> Card:
    """Give the card of a setter."""
    card = Card(held.credit, None)
    card.add("number", f"s{held.id}")
    for label, text in (("called", held.called), ("contact", held.contact)):
        if text:
            card.add(label, text)
    card.add("permission", f"for all puzzles: {said(held.standing, held.standing_on)}")
    if held.standing_words:
        card.add("their words", held.standing_words.split("\n"))
    if held.remarks:
        card.add("remarks", held.remarks.split("\n"))
    puzzles = shelf.puzzles.all(setter=held.id)
    if puzzles:
        card.add("puzzles", [puzzle_line(shelf, each) for each in puzzles])
    return card


def episode_card(shelf: Shelf, held: ShelfEpisode) -> Card:
    """Give the card of an episode."""
    puzzle = shelf.puzzles.get(held.puzzle)
    card = Card(held.title or puzzle.title or f"e{held.id}", {True: True, False: None}[puzzle.cleared])
    card.add("number", f"e{held.id}")
    card.add("puzzle", puzzle_line(shelf, puzzle))
    when = held.airs.replace("T", " ") if held.airs else "no day"
    card.add("state", f"{held.state}, {when}{', pinned' if held.pinned else ''}")
    for label, text in (("solved", held.how or ""), ("link", held.link)):
        if text:
            card.add(label, text)
    if held.remarks:
        card.add("remarks", held.remarks.split("\n"))
    recordings = shelf.recordings.all(episode=held.id)
    if recordings:
        card.add("recordings", ["  ".join(recording_row(each)) for each in recordings])
    return card
