"""Why an episode stands where it stands, and what would break if it stood elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

from saywhy.plan.demand import Demand
from saywhy.plan.result import queue
from saywhy.plan.series import Line, Series, day_words
from saywhy.plan.wishes import Fill, Request, Wish
from saywhy.plan.wishes.wish import TOLD


class Reasons:
    """
    The reasons of one plan.

    Args:
        series: The series.
        wishes: All wishes.
        line: What stands in each slot.
    """

    def __init__(self, series: Series, wishes: Sequence[Wish], line: Line) -> None:
        self.series = series
        self.wishes = tuple(wishes)
        self.line = line

    @cached_property
    def _by_slot(self) -> dict[int, list[tuple[Wish, Demand]]]:
        found: dict[int, list[tuple[Wish, Demand]]] = {slot: [] for slot in range(len(self.series.slots))}
        for wish, demands in self._asked:
            for demand in demands if wish.firm else ():
                for slot in demand.slots:
                    found[slot].append((wish, demand))
        return found

    @cached_property
    def _asked(self) -> list[tuple[Wish, list[Demand]]]:
        return [(wish, wish.demands(self.series)) for wish in self.wishes]

    @cached_property
    def _queue(self) -> dict[int, int]:
        return queue(self.series)

    def not_kept(self) -> list[str]:
        """Say which wishes are not kept, firm ones first; a slot that stays empty is told by ``empty``."""
        found = list[str]()
        for wish in sorted(self.wishes, key=lambda wish: not wish.firm):
            missed = [] if isinstance(wish, Fill) else wish.missed(self.series, self.line)
            more = [f"{wish.words}: {len(missed) - TOLD} more such"] if len(missed) > TOLD else []
            found += [*missed[:TOLD], *more]
        return found

    def why(self, slot: int) -> list[str]:
        """Give the reasons for what stands in a slot, a sentence each without its full stop."""
        number = self.line[slot]
        if number is None:
            return [self._why_empty(slot)]
        if slot in self.series.fixed:
            return ["it was recorded or published, and stays"]
        found = []
        for wish, demands in self._asked:
            found += self._wished(wish, demands, slot, number)
        if not self.series.fresh and self.series.planned.get(number) == self.series.slots[slot].day:
            found.append("it was planned for this day before, and nothing asks for another")
        received = self.series.candidates[number].received
        if received is not None:
            older = self._older(slot, number)
            if not older:
                found.append(f"it came on {day_words(received)}: no other that could stand here waits longer")
            else:
                who = self.series.candidates[older[0]].called
                found.append(
                    f"it came on {day_words(received)}; {who} waits longer, but no better plan has it here"
                )
        return list(dict.fromkeys(found))

    def _why_empty(self, slot: int) -> str:
        """Say why nothing stands in a slot, of the puzzle that has waited longest."""
        placed = {held for held in self.line if held is not None}
        waiting = sorted(set(self.series.open) - placed, key=self._queue.__getitem__)
        if not waiting:
            return "every puzzle that may air has its day"
        broken = [self._broken({slot: number}) for number in waiting]
        if None in broken:
            called = self.series.candidates[waiting[broken.index(None)]].called
            return f"{called} could stand here: with more work allowed a better plan may have it"
        words = f"{self.series.candidates[waiting[0]].called} waits, but would break a wish: {broken[0]}"
        more = len(waiting) - 1
        return words + (f"; {more} more {'waits' if more == 1 else 'wait'}" if more else "")

    def _wished(self, wish: Wish, demands: Sequence[Demand], slot: int, number: int) -> list[str]:
        """Give how a wish speaks for a candidate in a slot."""
        if isinstance(wish, Request):
            blocks = [block for demand in demands[:1] for block in demand.blocks]
            here = any(number in block.candidates and slot in block.slots for block in blocks)
            return [wish.words] if here and not wish.only_not_before else []
        return [
            demand.words
            for demand in demands
            if slot in demand.slots
            and 0 < demand.least < len(self.series.open)
            and any(slot in block.slots and number in block.candidates for block in demand.blocks)
            and any(len(block.candidates) < len(self.series.open) for block in demand.blocks)
        ]

    def _older(self, slot: int, number: int) -> list[int]:
        """Give candidates outside the plan that came earlier and could stand here, the oldest first."""
        placed = {held for held in self.line if held is not None}
        rank = self._queue
        earlier = sorted(
            (n for n in self.series.open if n not in placed and rank[n] < rank[number]), key=rank.__getitem__
        )
        return [other for other in earlier if self._broken({slot: other}) is None]

    def elsewhere(self, slot: int) -> dict[int, str | None]:
        """
        Say of every other free slot what would break if the two changed places.

        Its own pin does not count: who moves it by hand has let go of that.

        Returns:
            By slot, the sentence without its full stop; None where nothing would break.
        """
        own = self.line[slot]
        pin = next(
            (
                w
                for w in self.wishes
                if isinstance(w, Request) and w.pin and self.series.number(w.puzzle) == own
            ),
            None,
        )
        return {
            other: self._broken({slot: self.line[other], other: own}, pin)
            for other in self.series.free
            if other != slot
        }

    def _broken(self, changed: dict[int, int | None], but: Wish | None = None) -> str | None:
        line = tuple(changed.get(slot, held) for slot, held in enumerate(self.line))
        for slot in changed:
            for wish, demand in self._by_slot[slot]:
                if wish is not but and demand.shortfall(line) > demand.shortfall(self.line):
                    return demand.words
        return None
