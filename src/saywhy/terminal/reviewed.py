"""The card of a review, and what many reviews say of a host."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from saywhy.recording.chapters import clock
from saywhy.recording.tally import answer, tally
from saywhy.terminal.about import counted, heading
from saywhy.terminal.card import Card

if TYPE_CHECKING:
    from saywhy.grid import Grid
    from saywhy.recording.host import Habits
    from saywhy.recording.missed import Missed
    from saywhy.recording.review import Review

#: So many of each sort stand on a card; the report has them all.
MOST = 5


def show(found: Review, source: str, *, viewers: bool) -> None:
    """Print the card; for viewers nothing on it names a cell or a digit."""
    counts = found.counts
    card = Card(heading(found.puzzle, source), not (counts["guessed"] or counts["wrong"]))
    blind = "blind" if found.recording.header.blind else "rehearsed"
    card.add("solve", f"{blind}, {clock(found.length)}, {'finished' if found.finished else 'not finished'}")
    card.add("in numbers", ", ".join(f"{count.number or 'no'} {count.what}" for count in tally(found)))
    card.add("reasons", answer(found))
    if found.recording.damage is not None:
        card.add("damage", "the recording is damaged: this is what stands before it")
    if not viewers:
        _details(card, found)
    if found.agreement is not None:
        card.add("order", f"agrees with the path of least effort by {found.agreement:.2f} (1 is the same)")
    if found.stalls:
        card.add("stood still", f"{clock(sum(stall.seconds for stall in found.stalls))} in all")
    card.add(
        "chapters",
        [f"{clock(chapter.t)} {chapter.title}" for chapter in found.chapters_for(viewers=viewers)]
        or "too short for any",
    )
    if found.certified is not None:
        faults = len(found.certified["faults"])
        card.add(
            "certified",
            f"{counted(found.certified['steps'], 'reason')} proved anew, {counted(faults, 'fault')}",
        )
    card.show()


def _details(card: Card, found: Review) -> None:
    grid = found.puzzle.grid
    for verdict in ("wrong", "guessed"):
        moves = [move for move in found.moves if move.verdict == verdict]
        lines = [f"{clock(move.t)} {move.said}: {move.reason}" for move in moves[:MOST]]
        if len(moves) > MOST:
            lines.append(f"and {len(moves) - MOST} more")
        if lines:
            card.add(verdict, lines)
    if found.late:
        card.add(
            "seen late",
            [
                f"the {item.move.digit} in {grid.name(item.move.cells[0])} had been open since "
                f"{clock(item.since)}; you placed it at {clock(item.move.t)}"
                for item in found.late[:MOST]
            ],
        )
    if found.missed:
        card.add("not used", [_missed(item, grid) for item in found.missed[:MOST]])
    wrongly = [back for back in found.judged.back if back.right]
    if wrongly:
        card.add(
            "right, taken back", [f"{clock(b.t)} {b.move.said}, of {clock(b.move.t)}" for b in wrongly[:MOST]]
        )
    for stall in found.stalls[:1]:
        easiest = f"; easiest then: {stall.easiest}" if stall.easiest else ""
        card.add("longest wait", f"{clock(stall.start)} for {stall.seconds:.0f} s{easiest}")
    for surprise in found.surprises:
        card.add("surprise", f"{surprise.text} ({surprise.odds})")


def _missed(item: Missed, grid: Grid) -> str:
    used = "never used" if item.used_s is None else f"used at {clock(item.used_s)} only"
    return f"{clock(item.t)} {item.told.written} It led to the {item.digit} in {grid.name(item.cell)}; {used}"


def show_host(held: Habits) -> None:
    """Print what many recordings say of their host."""
    card = Card(f"Over {held.recordings} recordings")
    card.add("stood still", [f"{name}: {number} times" for name, number in held.stalls[:MOST]] or "never")
    card.add("pace", [f"{idea}: {seconds:.0f} s at the middle" for idea, seconds in held.paces[:MOST]])
    if held.fit is None:
        card.add("speaking time", "needs ten finished recordings to be fitted")
    else:
        card.add(
            "speaking time",
            f"{held.fit.factor:.2f} times the estimate, off by {held.fit.error:.0%} as a rule",
        )
    card.show()
    click.echo("")
