"""The exhaustive part of repair: every single change, then every two, each decided by the engine."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from saywhy.setting.bench import Bench, Tried, Witness, single_bits

#: Solutions kept as witnesses before the search begins.
POOL = 200
#: Of so many seeds some further solutions are taken where there are more, since neighbours in a search
#: are alike; and so many of each.
SEEDS, EACH = 12, 5
#: Nodes for a try, tier by tier: what is not decided within one is tried again in the next.
TIERS = (500, 10_000, 200_000, None)


class Search:
    """
    A search for the fewest changes.

    Changes are named by their places on the bench. What is known of them: a change under which two
    witnesses live is no mending, nor is one that leaves a clash as it is; only the rest is tried.

    Attributes:
        bench: The puzzle with its changes.
        base: What the puzzle has as it stands: no solution, or several.
        pool: Witnesses found so far.
        verdicts: What each single change makes of the puzzle, as far as it is known.
        open: Changes that are not decided.
    """

    def __init__(self, bench: Bench, base: Tried) -> None:
        self.bench = bench
        self.base = base
        self.none = not base.found
        self.pool: list[Witness] = []
        self.whole = False  # whether the pool holds every solution of the puzzle as it stands
        self.verdicts: dict[int, str] = {}
        self.open: list[int] = []
        self._seen: set[tuple[int, ...]] = set()
        self._relaxed: dict[int, bool] = {}
        self._clashes: dict[int, int] = {}

    def singles(self) -> list[int]:
        """
        Decide every single change.

        Returns:
            Those that make the puzzle unique, in the order of the bench. ``open`` holds what was not decided
            when the time was over.
        """
        bench = self.bench
        bench.watch.say("Looking at the solutions that there are")
        if not self.none:
            self._fill()
        waiting = list(range(len(bench.changes)))
        for tier in TIERS:
            self.open, waiting = waiting, []
            total = len(self.open)
            while self.open:
                place = self.open[0]
                if len(self.open) % 16 == 0:
                    bench.watch.say("Trying each single change", total - len(self.open), total)
                verdict = self._single(place, tier)
                self.open.pop(0)
                if verdict == "undecided":
                    waiting.append(place)
                else:
                    self.verdicts[place] = verdict
            if not waiting:
                break
        return sorted(place for place, verdict in self.verdicts.items() if verdict == "unique")

    def _single(self, place: int, nodes: int | None) -> str:
        bench = self.bench
        living = sum(w.alive >> place & 1 for w in self.pool if not w.broken & ~bench.touches[place])
        if living > 1:
            return "many"
        if self.whole and bench.changes[place].adds and not bench.is_linked(place):
            return "unique" if living else "none"
        if self.none and not bench.is_linked(place) and not self.relaxed(bench.touches[place]):
            return "none"
        tried = bench.tried([place], nodes=nodes)
        self._learn(tried)
        return tried.verdict

    def relaxed(self, touched: int) -> bool:
        """Say whether there is a solution without these members."""
        if touched not in self._relaxed:
            tried = self.bench.keep(self.bench.everyone & ~touched, limit=1)
            self._relaxed[touched] = tried.found > 0
            self._learn(tried)
        return self._relaxed[touched]

    def pairs(self, first: Iterable[int], second: int, most: int, found: Callable[[int, int], None]) -> None:
        """
        Decide every two changes, where no single one suffices.

        Args:
            first: Changes.
            second: Mask of changes to go with them; two that are in both are tried once.
            most: Enough.
            found: Told two that make the puzzle unique.

        Raises:
            StoppedError: The time is over; pairs are left.
        """
        bench, places = self.bench, list(first)
        by_member = self._by_member()
        for number, place in enumerate(places):
            bench.watch.say("Trying every two changes", number, len(places))
            rest = second & ~(1 << place)
            second = rest
            for other in range(len(bench.changes)):
                if rest >> other & 1 and bench.changes[place].clashes(bench.changes[other]):
                    rest &= ~(1 << other)
            rest = self._not_idle(place, rest, by_member)
            ones = twos = 0
            for held in self.pool:
                if held.alive >> place & 1 and not held.broken & ~bench.touches[place]:
                    ones, twos = ones | held.alive, twos | ones & held.alive
            rest &= ~twos
            while rest:
                other = (rest & -rest).bit_length() - 1
                rest &= rest - 1
                if self.none and not self.relaxed(bench.touches[place] | bench.touches[other]):
                    continue
                tried = bench.tried([place, other])
                if tried.verdict == "unique":
                    found(place, other)
                    most -= 1
                    if not most:
                        return
                for held in self._learn(tried):
                    if held.alive >> place & 1 and not held.broken & ~bench.touches[place]:
                        ones, twos = ones | held.alive, twos | ones & held.alive
                rest &= ~twos

    def _not_idle(self, place: int, others: int, by_member: dict[int, int]) -> int:
        """Drop the changes that leave a clash as it is where this one is made."""
        bench = self.bench
        if bench.is_linked(place):
            return others
        touched = bench.touches[place]
        if self.none and not self.relaxed(touched):
            if touched not in self._clashes:
                self._clashes[touched] = bench.clash(without=touched)
            clash = self._clashes[touched]
        elif self.verdicts.get(place) == "none":
            clash = bench.clash([place])
        else:
            return others
        useful = sum({1 << k for k in range(len(bench.changes)) if bench.is_linked(k)})
        for member, changes in by_member.items():
            if member & clash:
                useful |= changes
        return others & useful

    def _by_member(self) -> dict[int, int]:
        found: dict[int, int] = {}
        for place, touched in enumerate(self.bench.touches):
            for member in single_bits(touched):
                found[member] = found.get(member, 0) | 1 << place
        return found

    def _fill(self) -> None:
        """Fill the pool with solutions of the puzzle as it stands."""
        tried = self.bench.tried((), limit=POOL + 1)
        self.whole = tried.decided and tried.found <= POOL
        self._learn(tried)
        if not self.whole:
            for seed in range(1, SEEDS + 1):
                self._learn(self.bench.tried((), limit=EACH, seed=self.bench.seed + seed))

    def _learn(self, tried: Tried) -> list[Witness]:
        """Keep what a try found, and give what is new."""
        fresh = []
        for filling in tried.fillings:
            if filling not in self._seen:
                self._seen.add(filling)
                held = self.bench.witness(filling)
                if held is not None:
                    fresh.append(held)
        self.pool += fresh
        return fresh
