"""
The simplest reason that is found for one digit, or for some marks: a look, or a chain of looks.

Simplest is what takes least effort in all (glances, ``reasoning.effort``). Easy looks are asked first, round
by round; what they find bounds how dear a harder look may be, and every look below that bound is asked in up
to ``FOLLOWED`` rounds, all of them at once, so that no chain of up to so many looks stays out of sight; where
all looks, taken as often as they show anything, do not reach the goal, no chain does. Where all this finds
nothing, what the path of least effort has for the goal counts, what-ifs and all, if it needs
no digit that does not stand; and at last a longer chain, if no digit is much nearer.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from saywhy.reasoning.effort import FLOORS, weighed
from saywhy.reasoning.frame import bits
from saywhy.reasoning.houses import only_digit
from saywhy.reasoning.order import in_order, to_tell
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step
from saywhy.reasoning.sweep import Finder, Sweeper
from saywhy.recording.cheapest import Cheapest
from saywhy.recording.spread import Goal, Spread

__all__ = ["FOLLOWED", "SEARCH", "Chains", "Goal"]

#: A chain of so many looks can be followed. A longer one counts only where no digit is much nearer: it may
#: be so many times as long as the chain to the nearest digit.
FOLLOWED, LONGER = 4, 2
#: Digits that are not on the board may stand so deep in a chain, each resting on the one before.
DEEP = FOLLOWED - 1
#: Every look costs this at least, so a find of the fourth round three times as much before it.
LEAST = min(FLOORS)

#: So many positions are kept in mind.
KEPT = 4


@dataclass(frozen=True)
class Asked:
    """
    What a spread asks.

    Attributes:
        tiers: How many tiers, by round; the last number counts for all later rounds.
        deep: How deep digits are held in mind.
        wide: Whether a round asks all tiers at once, not one after the other until one shows something.
    """

    tiers: tuple[int, ...]
    deep: int
    wide: bool = False


#: Easy looks; then all that is seen at last, without a digit held in mind and with as many as may be; and
#: what is seen in few rounds.
EASY = Asked((2,) * FOLLOWED, 0), Asked((2,) * FOLLOWED, 1)
AT_SIGHT = Asked((len(FLOORS),) * FOLLOWED, 0)
ALL = Asked((len(FLOORS),) * FOLLOWED, DEEP)
WIDE = Asked((len(FLOORS),) * FOLLOWED, DEEP, wide=True)


def _worth(below: float) -> tuple[int, ...]:
    """Give how many tiers are worth asking, by round, for a chain that takes less than so many glances."""
    return tuple(sum(floor + number * LEAST < below for floor in FLOORS) for number in range(FOLLOWED))


#: The search, for people.
SEARCH = (
    f"no chain of up to {FOLLOWED} looks was found, nor one of at most {LONGER} times as many as the nearest "
    "digit takes, nor is it next on the path of least effort"
)


class Chains:
    """Finds chains in positions of one frame."""

    def __init__(self, sweeper: Sweeper, path: Sequence[Step] = ()) -> None:
        self.sweeper, self.frame = sweeper, sweeper.frame
        self._steps = path
        #: For each candidate the step of the path that strikes it out, for each cell the one that fills it.
        self._giver: dict[int, int] = {}
        self._placer: dict[int, int] = {}
        for number, step in enumerate(path):
            for cell, mask in step.struck(self.frame.full).items():
                for place in bits(mask):
                    self._giver.setdefault(cell * self.frame.n + place, number)
            for cell in step.places:
                self._placer.setdefault(cell, number)
        #: What spreads from the positions asked about last, with the tables of its chains.
        self._kept: OrderedDict[tuple[int, int, tuple[int, ...]], dict[Asked, _Kept]] = OrderedDict()

    def to(self, start: Position, goal: Goal) -> list[Step] | None:
        """
        Give the steps of the simplest chain that ends in the goal; None where the search finds none.

        Args:
            start: What stands; not changed.
            goal: A true digit, or digits that are not the cell's.
        """
        best = self._short(start, goal) or self._of_path(start, goal)
        if best is not None:
            return best
        long = self._long(start, goal)
        return long if long is not None and self._near(start, len(long)) else None

    def marks(self, start: Position, goal: Goal) -> list[Step] | None:
        """
        Give looks that strike out all digits of a goal; None where the search finds none.

        Each mark lies within ``FOLLOWED`` rounds of looks; easy looks are taken where they do, so the looks
        are not the fewest in general.
        """
        for asked in (*EASY, WIDE):
            found = self._table(start, goal, asked)
            if found is not None:
                return found.greedy(goal)
        return self._of_path(start, goal)

    def _short(self, start: Position, goal: Goal) -> list[Step] | None:
        """Give the chain of least effort among those of up to ``FOLLOWED`` looks."""
        best: list[Step] | None = None
        below = float("inf")
        for stage in (*EASY, ALL):
            if stage is ALL and best is not None:
                break
            found = self._table(start, goal, stage)
            if found is None and stage is ALL:
                return None
            steps = None if found is None else found.cheapest(goal, FOLLOWED, below)
            if steps:
                best = self._told(start, steps, goal)
                below = min(below, sum(step.effort for step in steps))
        worth = _worth(below)
        if worth[0] > 1 or best is None:
            found = self._table(start, goal, Asked(worth, DEEP, wide=True))
            steps = None if found is None else found.cheapest(goal, FOLLOWED, below)
            if steps:
                best = self._told(start, steps, goal)
        return best

    def easy(self, start: Position, goal: Goal) -> list[Step] | None:
        """Give a chain of up to ``FOLLOWED`` easy looks; None where there is none."""
        for asked in EASY:
            found = self._table(start, goal, asked)
            steps = None if found is None else found.cheapest(goal, FOLLOWED, float("inf"))
            if steps:
                return self._told(start, steps, goal)
        return None

    def _long(self, start: Position, goal: Goal) -> list[Step] | None:
        """Give a chain of any length, of all looks; not the shortest one in general."""
        best: list[Step] | None = None
        for asked in (ALL, *EASY, AT_SIGHT):
            if asked.deep and not goal.digit:
                continue
            found = self._table(start, goal, asked)
            if found is None and asked is ALL:
                return None
            if found is not None:
                steps = self._told(start, found.greedy(goal), goal)
                if best is None or len(steps) < len(best):
                    best = steps
        return best

    def _of_path(self, start: Position, goal: Goal) -> list[Step] | None:
        """Give what the path has for a goal, less what stands; None where further digits are needed."""
        if not goal.digit:
            return self._marks_of_path(start, goal)
        if goal.cell in self._placer:
            steps = self._needed(start, goal, [self._placer[goal.cell]])
            if steps is not None:
                return steps
        # What leaves the cell this digit alone shows it as well.
        bit = 1 << (goal.digit - 1)
        marks = self._marks_of_path(start, Goal(goal.cell, gone=self.frame.full & ~bit))
        if marks is None:
            return None
        here = start.copy()
        for step in marks:
            here.apply(step)
        if here.domain(goal.cell) != bit:
            return None
        return [*marks, weighed(self.frame, only_digit(here, goal.cell, goal.digit))]

    def _marks_of_path(self, start: Position, goal: Goal) -> list[Step] | None:
        """Give what the path has for those digits of a goal that are open; None where it leaves one."""
        n = self.frame.n
        wanted = [
            c for c in (goal.cell * n + place for place in bits(goal.gone)) if start.candidates >> c & 1
        ]
        if any(candidate not in self._giver for candidate in wanted):
            return None
        return self._needed(start, goal, [self._giver[candidate] for candidate in wanted])

    def _needed(self, start: Position, goal: Goal, waiting: list[int]) -> list[Step] | None:
        """Give these steps of the path with all they rest on; None where digits are placed on the way."""
        full, n = self.frame.full, self.frame.n
        needed = set(waiting)
        while waiting:
            for cell, mask in self._steps[waiting.pop()].reason.facts.items():
                for place in bits(full & ~mask):
                    candidate = cell * n + place
                    by = self._giver.get(candidate)
                    if by is not None and by not in needed and start.candidates >> candidate & 1:
                        needed.add(by)
                        waiting.append(by)
        steps = [self._steps[number] for number in sorted(needed)]
        for place, step in enumerate(steps):
            more = {cell for cell in step.places if not start.placed[cell]} - {goal.cell}
            if any(cell in later.reason.facts for later in steps[place + 1 :] for cell in more):
                return None
        return [
            replace(step, places={c: d for c, d in step.places.items() if c == goal.cell}) for step in steps
        ]

    def nearest(self, start: Position) -> tuple[Goal, list[Step]] | None:
        """Give a digit that is seen first from a position, easy looks first, and the chain to it."""
        for asked in (*EASY, AT_SIGHT):
            found = self._first(start, asked)
            if found is not None:
                return found
        return None

    def _first(self, start: Position, asked: Asked) -> tuple[Goal, list[Step]] | None:
        """Give of the digits that a spread shows first the one of least effort, and the chain to it."""
        found = self._spread(start, asked).spread.nearest()
        if found is None:
            return None
        sweep, goals = found
        table = Cheapest(self.frame, sweep)
        chains = [
            (goal, table.cheapest(goal, FOLLOWED, float("inf")) or table.greedy(goal)) for goal in goals
        ]
        goal, steps = min(chains, key=lambda pair: sum(step.effort for step in pair[1]))
        return goal, self._told(start, steps, goal)

    def _near(self, start: Position, length: int) -> bool:
        """Whether no digit is much nearer than a chain is long, harder looks counted in."""
        found = [self._first(start, WIDE), self.nearest(start)]
        return all(near is None or length <= LONGER * len(near[1]) for near in found)

    def _told(self, start: Position, steps: Sequence[Step], goal: Goal) -> list[Step]:
        return to_tell(start, in_order(start, steps)) if goal.digit else list(steps)

    def _spread(self, start: Position, asked: Asked) -> _Kept:
        """Give what spreads from a position, as far as it has been asked for."""
        key = start.candidates, start.marks, tuple(start.placed)
        here = self._kept.setdefault(key, {})
        self._kept.move_to_end(key)
        while len(self._kept) > KEPT:
            self._kept.popitem(last=False)
        if asked not in here:
            most = FOLLOWED if asked.wide else 10_000
            spread = Spread(start, partial(self._tiers, asked), asked.deep, wide=asked.wide, most=most)
            here[asked] = _Kept(spread)
        return here[asked]

    def _tiers(self, asked: Asked, number: int) -> Sequence[Sequence[Finder]]:
        """Give the looks that a round asks, by its number."""
        return self.sweeper.looks[: asked.tiers[min(number, FOLLOWED - 1)]]

    def _table(self, start: Position, goal: Goal, asked: Asked) -> Cheapest | None:
        """Give the tables of a spread up to a goal; None where it does not reach it."""
        kept = self._spread(start, asked)
        sweep = kept.spread.until(goal)
        if sweep is None:
            return None
        if kept.table is None or len(kept.table.sweep.rounds) != len(sweep.rounds):
            kept.table = Cheapest(self.frame, sweep)
        return kept.table


@dataclass
class _Kept:
    """A spread, with the tables of the chains asked for last."""

    spread: Spread
    table: Cheapest | None = None
