"""A whole solve looked at: what was seen late, where it stood still, how it went beside the easiest path."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from saywhy.reasoning.path import Walk
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step
from saywhy.reasoning.words import Teller
from saywhy.recording.acts import AnyAct
from saywhy.recording.chains import Chains
from saywhy.recording.judging import Judged, Move, paused
from saywhy.recording.shown import Shown

#: A digit is seen late where it stood open by one look for so long, seconds ...
LATE_S = 30.0
#: ... and in that time so long went into standing still or into moves that took more, seconds ...
HARM_S = 20.0
#: ... more by so many glances at least.
HARDER = 1.0
#: Standing still: no move for so long, and for so many times the usual pace.
STALL_S, STALL_TIMES = 20.0, 4.0


@dataclass(frozen=True)
class Late:
    """A digit that could have been placed long before: the move, since when, and what it took instead."""

    move: Move
    since: float
    wait_s: float
    harm_s: float


@dataclass(frozen=True)
class Stall:
    """
    A time without a move.

    Attributes:
        start: Its beginning, seconds.
        seconds: Its length.
        broken_by: The move that ended it.
        easiest: What was easiest to see then, in words; empty where nothing was found at all.
        cell: The cell of the digit that it places or leads to; None where there is none.
        looks: How many looks lead to that digit; 1 where the easiest look places it.
    """

    start: float
    seconds: float
    broken_by: Move
    easiest: str = ""
    cell: int | None = None
    looks: int = 1


def still(moves: Sequence[Move]) -> float:
    """Give the time without a move from which on a solve stands still, in seconds."""
    paces = [move.pace_s for move in moves if move.pace_s > 0]
    return max(STALL_S, STALL_TIMES * median(paces)) if paces else STALL_S


def late(judged: Judged, path: Walk, acts: Sequence[AnyAct]) -> list[Late]:
    """
    Give the digits that were seen late, longest wait first; waits are without pauses.

    Only digits that one look showed count, and only where waiting cost something: moves that took more effort
    than the digit would have taken, or standing still after it had been passed over for one that comes after
    it on the path of least effort. A rest before the next move is no missed opening.
    """
    moves = judged.moves
    limit = still(moves)
    rank = {cell: place for place, cell in enumerate(path_order(path))}
    found = []
    for move in moves:
        if move.do != "place" or not move.shown or not move.one_look or move.opening is None:
            continue
        since = max(move.opening.since, _last_lost(moves, move))
        wait = move.t - since - paused(acts, since, move.t)
        if wait < LATE_S or not move.opening.effort:
            continue
        before = [m for m in moves if since < m.t <= move.t and m is not move]
        own = rank.get(move.cells[0], len(rank))
        later = {m.act for m in before if m.do == "place" and rank.get(m.cells[0], -1) > own}
        harder = [m for m in before if m.effort > move.opening.effort + HARDER]
        cost = [m for m in harder if m.pace_s < limit or m.act in later]
        if later and move.pace_s >= limit:
            cost.append(move)
        harm = sum(min(m.pace_s, m.t - since) for m in cost)
        if harm >= HARM_S:
            found.append(Late(move, since, wait, harm))
    return sorted(found, key=lambda item: -item.wait_s)


def _last_lost(moves: Sequence[Move], move: Move) -> float:
    """Give when the cell last lost a digit before this move: until then something stood in it."""
    lost = [m.taken_s for m in moves if m.cells == move.cells and m.do == "place" and m.taken_s is not None]
    return max((t for t in lost if t <= move.t), default=0.0)


def stalls(judged: Judged, shown: Shown, chains: Chains) -> list[Stall]:
    """Give the times at which the solve stood still, longest first, with what was easiest to see."""
    limit = still(judged.moves)
    teller = Teller(judged.frame)
    found = []
    for move in judged.moves[1:]:
        if move.pace_s < limit:
            continue
        position = judged.snapshots[move.act - 1] if move.act else shown.start
        steps = _easiest(position, shown, chains)
        words = teller.tell(position, steps[0]).written if steps else ""
        cell = next(iter(steps[-1].places), None) if steps else None
        found.append(Stall(move.t - move.pace_s, move.pace_s, move, words, cell, len(steps)))
    return sorted(found, key=lambda stall: -stall.seconds)


def _easiest(position: Position, shown: Shown, chains: Chains) -> Sequence[Step]:
    """Give the easiest look that places a digit, else the chain to the nearest digit."""
    opened = shown.one_look(position)
    steps = [
        step
        for cell, finds in opened.items()
        if (step := shown.easiest(cell, finds[0].places[cell], opened)) is not None
    ]
    best = min(steps, key=lambda step: step.effort, default=None)
    if best is not None:
        return [best]
    near = None if position.broken or position.complete else chains.nearest(position)
    return [] if near is None else near[1]


@dataclass(frozen=True)
class Passed:
    """An easy look that was open and passed over for a harder move."""

    cell: int
    digit: int
    since: float
    moves: int


def passed(judged: Judged) -> list[Passed]:
    """
    Give the digits never placed that would have shortened the solve.

    They stood open by one look while at least three harder moves were made.
    """
    placed = {move.cells[0]: move for move in judged.moves if move.do == "place" and move.shown}
    found = []
    for cell, opening in judged.openings.items():
        if cell in placed or not opening.effort:
            continue
        harder = [
            move for move in judged.moves if move.t > opening.since and move.effort > opening.effort + HARDER
        ]
        if len(harder) >= 3:
            digit = judged.shown.position.domain(cell).bit_length()
            found.append(Passed(cell, digit, opening.since, len(harder)))
    return sorted(found, key=lambda item: item.since)


def own_order(moves: Sequence[Move]) -> list[int]:
    """Give the cells in the order in which their last right digit was placed."""
    cells = [move.cells[0] for move in moves if move.do == "place" and move.verdict in ("forced", "guessed")]
    return list(dict.fromkeys(reversed(cells)))[::-1]


def path_order(walk: Walk) -> list[int]:
    """Give the cells in the order of the path of least effort."""
    return [cell for step in walk.steps for cell in step.places]


def agreement(own: Sequence[int], path: Sequence[int]) -> float | None:
    """
    Say how far two orders agree: Kendall's tau, 1 for the same order, 0 for none, -1 for the reverse.

    Source:
        M. G. Kendall, "A New Measure of Rank Correlation", Biometrika 30 (1938).
    """
    rank = {cell: place for place, cell in enumerate(path)}
    ranks = [rank[cell] for cell in own if cell in rank]
    pairs = len(ranks) * (len(ranks) - 1) // 2
    if not pairs:
        return None
    swapped = sum(ranks[a] > ranks[b] for a in range(len(ranks)) for b in range(a + 1, len(ranks)))
    return 1 - 2 * swapped / pairs


def time_by_idea(moves: Sequence[Move]) -> list[tuple[str, float, int]]:
    """Give for each kind of thought the seconds before its moves and their number, most first."""
    found: dict[str, tuple[float, int]] = {}
    for move in moves:
        name = move.idea or ("seen before" if move.shown else move.verdict)
        seconds, number = found.get(name, (0.0, 0))
        found[name] = seconds + move.pace_s, number + 1
    return sorted(((name, *held) for name, held in found.items()), key=lambda item: -item[1])


def speed(judged: Judged, acts_t: Sequence[float]) -> list[tuple[float, int]]:
    """Give after each act that changed it: the time, and how many digits stand that are right."""
    found: list[tuple[float, int]] = [(0.0, 0)]
    for t, board in zip(acts_t, judged.played.boards, strict=True):
        count = len(board.digits)
        if count != found[-1][1]:
            found.append((t, count))
    return found
