"""
Trim: which givens and clues of a puzzle are not needed, and what of them may go together.

A puzzle never loses its one solution: each trimming is proved from its own puzzle.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Literal

from saywhy.engine import Budget, Cancel, prove
from saywhy.puzzle import Puzzle
from saywhy.reasoning.profile import BANDS, Profile
from saywhy.setting.bench import Bench, single_bits
from saywhy.setting.symmetry import SYMMETRIES, symmetries
from saywhy.setting.trim_band import within
from saywhy.setting.trim_parts import Part, Trimmed, Trimming, measured, pattern, without
from saywhy.setting.trim_sets import Sets
from saywhy.setting.watch import StoppedError, Tell, Watch

Wish = Literal["fewest", "pretty", "all"]
Only = Literal["givens", "clues", "both"]

#: Nodes to see whether a thing is needed; where they do not suffice it stays, and nothing is proved.
EACH_NODES = 100_000
#: Most trimmings that are listed where all are wished for.
MOST = 100
#: Most trimmings whose effort is measured where all are wished for.
MOST_MEASURED = 5


def trim(  # noqa: PLR0913 - one question, said in full
    puzzle: Puzzle,
    *,
    wish: Wish = "fewest",
    only: Only = "both",
    keep_clues: Collection[int] = (),
    keep_givens: Collection[int] = (),
    band: str | None = None,
    effort: bool = True,
    seconds: float | None = None,
    cancel: Cancel | None = None,
    tell: Tell | None = None,
    seed: int = 0,
) -> Trimmed:
    """
    Find what of a puzzle is not needed, and trim it as wished.

    Args:
        puzzle: The puzzle.
        wish: ``fewest``: as few givens as can be, and then as few clues; ``pretty``: every clue stays and
            the givens keep (or get) a symmetry, as few as can be; ``all``: every trimming after which nothing
            is to spare.
        only: What may go.
        keep_clues: Places of clues that stay.
        keep_givens: Cells whose givens stay.
        band: The band of effort that the trimmed puzzle is to have: less goes where it would be harder.
        effort: Whether to measure the effort; a band needs it.
        seconds: Wall time for the search, and half as much again for the effort; None for no limit.
        cancel: A flag that stops it; what was found by then is given.
        tell: Told how far it has come.
        seed: Changes the order of what is tried, and so which of equally good trimmings is found.

    Raises:
        RuleError: A rule is not allowed on this grid.
        ValueError: There is no such band.
    """
    if band is not None and band not in {name for _, name in BANDS}:
        raise ValueError(f"there is no band {band!r}")
    watch = Watch(seconds, cancel, tell)
    work = _Work(puzzle, watch, seed)
    try:
        found = work.run(wish, only, set(keep_clues), set(keep_givens))
    except StoppedError:
        found = work.found
    if found.verdict != "unique" or not (effort or band):
        return found
    share = 2 if band is None else 1  # a band takes a path for each thing that is left out
    time = Watch(None if seconds is None else seconds / share, watch.cancel, tell)
    found = replace(found, effort=_path(puzzle, time))
    if band is not None:
        return within(found, band, work.parts, time, seed)
    trimmings = [
        replace(trimming, effort=_path(trimming.puzzle, time)) if number < MOST_MEASURED else trimming
        for number, trimming in enumerate(found.trimmings)
    ]
    return replace(found, trimmings=tuple(trimmings))


class _Work:
    """One trimming; ``found`` is always fit to be given."""

    def __init__(self, puzzle: Puzzle, watch: Watch, seed: int) -> None:
        self.puzzle = puzzle
        self.watch = watch
        self.seed = seed
        self.bench = Bench(puzzle, watch, seed=seed)
        self.solution: tuple[int, ...] = ()
        self.found = Trimmed(puzzle, "undecided")
        self.parts: list[Part] = []
        self.sure = True  # whether what was found needed is known to be

    def run(self, wish: Wish, only: Only, keep_clues: set[int], keep_givens: set[int]) -> Trimmed:
        """Find what may go."""
        bench = self.bench
        self.watch.say("Counting the solutions")
        base = bench.tried(())
        self.found = replace(self.found, verdict=base.verdict)
        if base.verdict != "unique":
            return self.found
        [self.solution] = base.fillings
        stays = bench.fixed | sum(1 << place for place in keep_clues)
        stays |= sum(bench.given(cell) for cell in keep_givens)
        clues = (1 << len(self.puzzle.clues)) - 1
        stays |= {"givens": clues, "clues": bench.everyone & ~clues, "both": 0}[only]
        if wish == "pretty":
            stays |= clues
        spare = self._spare(bench.everyone & ~stays)
        self.found = replace(self.found, spare_rules=self._spare_rules())
        if wish == "pretty":
            self._pretty(stays)
        elif wish == "all":
            self._all(spare)
        else:
            self._fewest(spare, spare & ~clues)
        return self.found

    def _spare(self, free: int) -> int:
        """Give the members without which, one by one, there is still one solution."""
        spare, left, total = 0, free, free.bit_count()
        while left:
            member = left & -left
            self.watch.say("Leaving out each in turn", total - left.bit_count(), total)
            verdict = self.bench.keep(self.bench.everyone & ~member, nodes=EACH_NODES).verdict
            if verdict == "unique":
                spare |= member
            self.sure &= verdict != "undecided"
            left ^= member
        clues, givens = self.bench.members(spare)
        self.found = replace(self.found, spare_clues=tuple(clues), spare_givens=tuple(givens))
        self.parts = [Part(givens=(cell,)) for cell in givens] + [Part(clues=(place,)) for place in clues]
        return spare

    def _spare_rules(self) -> tuple[str, ...]:
        found = []
        for name in self.puzzle.rules:
            rest = tuple(other for other in self.puzzle.rules if other != name)
            if self._unique(replace(self.puzzle, rules=rest)):
                found.append(name)
        for name in self.puzzle.all_given:
            rest = tuple(other for other in self.puzzle.all_given if other != name)
            if self._unique(replace(self.puzzle, all_given=rest)):
                found.append(f"all-given {name}")
        return tuple(found)

    def _unique(self, puzzle: Puzzle) -> bool:
        proof = prove(puzzle, Budget(seconds=self.watch.left()), self.watch.cancel, self.seed)
        return proof.verdict == "unique"

    def _sets(self, always: int, elements: int | Sequence[int]) -> Sets:
        held = single_bits(elements) if isinstance(elements, int) else elements
        return Sets(self.bench, self.solution, always, held, self.seed)

    def _fewest(self, spare: int, spare_givens: int) -> None:
        """As few givens as can be, then as few clues as these givens allow."""
        if not spare:
            self.found = replace(self.found, proved=self.sure)
            return
        self.watch.say("Looking for the fewest givens")
        needed = self.bench.everyone & ~spare
        sets = self._sets(self.bench.everyone & ~spare_givens, spare_givens)
        chosen, least = sets.fewest()
        proved = chosen.bit_count() == least
        givens = sets.members(chosen) & spare_givens
        fixed = (needed & ~((1 << len(self.puzzle.clues)) - 1)).bit_count()
        self._take(needed | givens | spare & ~spare_givens)
        self.found = replace(self.found, least=fixed + least)
        self.watch.say("Looking for the fewest clues")
        sets = self._sets(needed | givens, spare & ~spare_givens)
        chosen, least = sets.fewest()
        self.found = replace(self.found, trimmings=())
        self._take(sets.members(chosen))
        self.found = replace(self.found, proved=self.sure and proved and chosen.bit_count() == least)

    def _all(self, spare: int) -> None:
        """Everything after which nothing is to spare."""
        self.watch.say("Looking for every way to trim")
        sets = self._sets(self.bench.everyone & ~spare, spare)
        chosen, whole = sets.minimal(MOST)
        for held in chosen:
            self._take(sets.members(held))
        givens = {
            place: len([d for d in t.puzzle.givens if d]) for place, t in enumerate(self.found.trimmings)
        }
        order = sorted(givens, key=lambda place: (givens[place], -self.found.trimmings[place].size))
        best_first = tuple(self.found.trimmings[place] for place in order)
        self.found = replace(self.found, trimmings=best_first, proved=self.sure and whole)

    def _pretty(self, stays: int) -> None:
        """The fewest givens whose pattern has a symmetry: the one there is, else any that can be had."""
        clues = (1 << len(self.puzzle.clues)) - 1
        size = self.puzzle.grid.size
        held = [cell for cell, digit in enumerate(self.puzzle.givens) if digit]
        there = symmetries(held, size)[:1]
        best: tuple[int, int, int] | None = None
        for kind in there or SYMMETRIES:
            self.watch.say(f"Looking for the fewest givens with {kind.name}")
            orbits = [orbit for orbit in kind.orbits(size) if set(orbit) <= set(held)]
            if there:
                self.parts = [Part(givens=orbit) for orbit in orbits]
            members = [sum(self.bench.given(cell) for cell in orbit) for orbit in orbits]
            bound = [orbit for orbit in members if orbit & stays]
            if stays & ~clues & ~sum(members):
                continue  # a given that stays has no partner
            try:
                sets = self._sets(stays | sum(bound), [orbit for orbit in members if orbit not in bound])
                chosen, least = sets.fewest()
            except ValueError:
                continue
            kept = sets.members(chosen)
            if best is None or kept.bit_count() < best[0]:
                best = kept.bit_count(), kept, int(chosen.bit_count() == least)
        if best is None:
            unmet = "No symmetry of the givens can be had by leaving givens out."
            self.found = replace(self.found, unmet=unmet, proved=True)
            return
        if best[1] != self.bench.everyone:
            self._take(best[1])
        self.found = replace(self.found, proved=bool(best[2]))

    def _take(self, kept: int) -> None:
        """Keep a trimming, proved once more from its own puzzle."""
        if kept == self.bench.everyone:
            return
        clues, givens = self.bench.members(self.bench.everyone & ~kept)
        puzzle = without(self.puzzle, clues, givens)
        proof = prove(puzzle)
        if proof.verdict == "unique" and proof.solution == self.solution:
            trimming = Trimming(tuple(clues), tuple(givens), puzzle, pattern(puzzle))
            self.found = replace(self.found, trimmings=(*self.found.trimmings, trimming))


def _path(puzzle: Puzzle, watch: Watch) -> Profile | None:
    watch.say("Measuring the effort")
    try:
        return measured(puzzle, watch)
    except StoppedError:
        return None
