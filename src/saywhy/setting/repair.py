"""
Repair: the fewest changes that give a puzzle exactly one solution.

A puzzle with several solutions wants something added or changed; one with none wants something altered.
Either way every single change of the repertoire (``repair_options``) is decided, then every two; for more,
one solution at a time is taken for the one that was meant.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from saywhy.engine import Cancel
from saywhy.errors import NotAllowedError, Problem
from saywhy.puzzle import Puzzle
from saywhy.reasoning.profile import Profile
from saywhy.rules import placed
from saywhy.setting.bench import Bench
from saywhy.setting.changes import Change, Kind, apply
from saywhy.setting.repair_corrections import corrections
from saywhy.setting.repair_options import options
from saywhy.setting.repair_search import Search
from saywhy.setting.repair_toward import toward
from saywhy.setting.symmetry import symmetries
from saywhy.setting.watch import StoppedError, Tell, Watch

#: Mendings of two changes are gathered until there are so many: there may be very many.
MOST_PAIRS = 200
#: Solutions that are taken for the one that was meant, one after another.
TARGETS = 8
#: Share of the time for which fewest clues and givens are wrong.
WRONG_SHARE = 0.3
#: Share of the time for every two changes, where more are needed the rest is for those.
PAIRS_SHARE = 0.6
#: Seconds for the path of one proposal.
PATH_S = 20.0

#: What is likelier meant comes first, where all else is equal.
LIKELY: tuple[Kind, ...] = (
    "add-given",
    "give-value",
    "swap-values",
    "swap-kinds",
    "change-value",
    "swap-givens",
    "change-given",
    "change-kind",
    "turn-clue",
    "add-clue",
    "drop-value",
    "drop-given",
    "drop-clue",
)


@dataclass(frozen=True)
class Mending:
    """
    Changes after which a puzzle has exactly one solution.

    Attributes:
        changes: The changes.
        puzzle: The puzzle with them made.
        solution: Its solution.
        lacks: How many givens are missing for the symmetry that the givens had, or nearly had; 0 where
            they had none.
        foreign: How many of the changes bring in what the puzzle had none of: givens.
        effort: The effort of its path; None where it was not measured or there is no path to the end.
    """

    changes: tuple[Change, ...]
    puzzle: Puzzle
    solution: tuple[int, ...]
    lacks: int = 0
    foreign: int = 0
    effort: Profile | None = None

    @property
    def rank(self) -> tuple[int, ...]:
        """The order of proposals, best first: few changes, the puzzle's look, what is likelier meant."""
        drops = sum(change.kind.startswith("drop") for change in self.changes)
        likely = sorted(LIKELY.index(change.kind) for change in self.changes)
        return (len(self.changes), self.foreign, drops, self.lacks, *likely)


@dataclass(frozen=True)
class Wrong:
    """
    Members without which a puzzle has a solution, and which fewest ones these are.

    Attributes:
        clues: Places in ``puzzle.clues``.
        givens: Cells.
        unique: For a single member, what it could say instead so that there is one solution.
        many: The same so that there are several.
    """

    clues: tuple[int, ...]
    givens: tuple[int, ...]
    unique: tuple[Change, ...] = ()
    many: tuple[Change, ...] = ()


@dataclass(frozen=True)
class Repair:
    """
    What there is to be mended in a puzzle.

    Attributes:
        puzzle: The puzzle.
        verdict: ``unique``, ``none``, ``many`` or ``undecided``.
        mendings: All that were found, best first; all have ``size`` changes but for those at the end that
            keep a symmetry at the cost of more.
        proposals: A choice of them, of different kinds, with their effort.
        size: The fewest changes found; None where none were.
        least: Fewer changes than this are proved not to do.
        all_found: Whether every mending of that size is among ``mendings``.
        fine: Whether there is nothing to mend: one solution, and the one that was meant.
        wrong: For a puzzle without a solution the smallest sets of clues and givens to alter.
        wrong_all: Whether these are all the smallest ones.
    """

    puzzle: Puzzle
    verdict: str
    mendings: tuple[Mending, ...] = ()
    proposals: tuple[Mending, ...] = ()
    size: int | None = None
    least: int = 1
    all_found: bool = False
    fine: bool = False
    wrong: tuple[Wrong, ...] = ()
    wrong_all: bool = True

    @property
    def hopeless(self) -> bool:
        """Whether it is proved that no clue or given is to blame: the rules of the grid allow no filling."""
        return self.verdict == "none" and not self.wrong and self.wrong_all and not self.mendings

    @property
    def proved(self) -> bool:
        """Whether fewer changes are proved not to do."""
        return self.size is not None and self.size <= self.least


def repair(  # noqa: PLR0913 - one question, said in full
    puzzle: Puzzle,
    *,
    claimed: tuple[int, ...] | None = None,
    most: int = 5,
    effort: bool = True,
    seconds: float | None = None,
    cancel: Cancel | None = None,
    tell: Tell | None = None,
    seed: int = 0,
) -> Repair:
    """
    Find the fewest changes that give a puzzle exactly one solution.

    Args:
        puzzle: The puzzle.
        claimed: The solution that its setter had in mind: only mendings that lead to it count.
        most: Proposals to choose and to measure.
        effort: Whether to measure them.
        seconds: Wall time for the search, and half as much again for the effort; None for no limit.
        cancel: A flag that stops it; what was found by then is given.
        tell: Told how far it has come.
        seed: Changes the order of what is tried, and so which of equally good mendings come first.

    Raises:
        RuleError: A rule is not allowed on this grid.
    """
    watch = Watch(seconds, cancel, tell)
    work = _Work(puzzle, claimed, watch, seed)
    with suppress(StoppedError):
        work.run()
    found = work.result(most)
    if not effort:
        return found
    time = Watch(None if seconds is None else seconds / 2, watch.cancel, tell)
    return replace(found, proposals=tuple(_measured(found.proposals, time)))


def check_solution(puzzle: Puzzle, solution: Sequence[int]) -> None:
    """
    Refuse a claimed solution that no change of a clue or given can make one.

    Raises:
        NotAllowedError: It breaks a row, column or region, or a grid-wide rule; all of these are named.
    """
    broken = [
        house.name
        for house in puzzle.grid.houses
        if len({solution[cell] for cell in house.cells}) < puzzle.grid.size
    ]
    broken += [name for name, rule in placed(puzzle).grid_wide.items() if rule.holds(solution) is False]
    if broken:
        named = ", ".join(broken[:4]) + (" and more" if len(broken) > 4 else "")
        mend = "Give the solution that was meant, or leave it out"
        raise NotAllowedError(Problem(f"the solution that was meant breaks {named}", mend, "solution"))


def _measured(proposals: Sequence[Mending], watch: Watch) -> Iterable[Mending]:
    from saywhy.reasoning import explain

    for number, mending in enumerate(proposals):
        watch.say("Measuring the effort", number, len(proposals))
        try:
            left = watch.left()
        except StoppedError:
            yield mending
            continue
        path = explain(mending.puzzle, seconds=PATH_S if left is None else min(PATH_S, left))
        yield replace(mending, effort=path.effort)


class _Work:
    """One repair: what is known so far is always fit to be given."""

    def __init__(self, puzzle: Puzzle, claimed: tuple[int, ...] | None, watch: Watch, seed: int) -> None:
        self.puzzle = puzzle
        self.claimed = claimed
        self.watch = watch
        self.seed = seed
        self.verdict = "undecided"
        self.least = 1
        self.all_found = False
        self.fine = False
        self.mendings: list[Mending] = []
        self.wrong: list[Wrong] = []
        self.wrong_all = True
        held = [cell for cell, digit in enumerate(puzzle.givens) if digit]
        self.meant = symmetries(held, puzzle.grid.size, slack=1)

    def run(self) -> None:
        """Search, the fewest changes first."""
        plain = Bench(self.puzzle, self.watch, seed=self.seed)
        self.watch.say("Counting the solutions")
        base = plain.tried(())
        self.verdict = base.verdict
        if self.verdict == "unique" and self.claimed in (None, base.fillings[0]):
            self.fine = True
            return
        changes = self._repertoire(drops=self.verdict == "none" or self.claimed is not None)
        bench = Bench(self.puzzle, self.watch, changes, self.seed)
        search = Search(bench, base)
        try:
            for place in search.singles():
                self._keep([place], bench)
            self.all_found = True
        finally:
            if not self.all_found:  # stopped: give those that are known
                for place in sorted(place for place, v in search.verdicts.items() if v == "unique"):
                    self._keep([place], bench)
        if self.verdict == "none":
            self._find_wrong(bench, search)
        if not self.mendings:
            self.least, self.all_found = 2, False
            self._pairs(bench, search)
        if not self.mendings:
            self._further(bench, search)
        self._symmetric()

    def _repertoire(self, *, drops: bool) -> list[Change]:
        """List the changes, what keeps the look and is likelier meant first."""
        changes = options(self.puzzle, drops=drops, watch=self.watch)
        if self.claimed is not None:
            held = (bench := Bench(self.puzzle, self.watch, changes)).witness(self.claimed)
            changes = [
                change
                for place, change in enumerate(changes)
                if bench.is_linked(place) or (held is not None and held.alive >> place & 1)
            ]
        cells = {cell for cell, digit in enumerate(self.puzzle.givens) if digit}
        wanted = {cell for kind in self.meant for cell in kind.missing(cells, self.puzzle.grid.size)}

        def order(change: Change) -> tuple[int, int]:
            out_of_place = (
                change.kind == "add-given" and bool(self.meant) and change.givens[0][0] not in wanted
            )
            return LIKELY.index(change.kind), out_of_place

        return sorted(changes, key=order)

    def _keep(self, places: Sequence[int], bench: Bench) -> None:
        """Keep a mending, proved once more from its puzzle alone."""
        chosen = tuple(bench.changes[place] for place in places)
        self._take(chosen)

    def _take(self, chosen: tuple[Change, ...]) -> None:
        mended = apply(self.puzzle, chosen)
        tried = Bench(mended, Watch()).tried(())  # known to be quick, and not to be lost at a late stop
        if tried.verdict != "unique" or self.claimed not in (None, tried.fillings[0]):
            return
        size = self.puzzle.grid.size
        held = [cell for cell, digit in enumerate(mended.givens) if digit]
        lacks = min((len(kind.missing(held, size)) for kind in self.meant), default=0)
        foreign = 0 if any(self.puzzle.givens) else sum(change.kind == "add-given" for change in chosen)
        self.mendings.append(Mending(chosen, mended, tried.fillings[0], lacks, foreign))

    def _find_wrong(self, bench: Bench, search: Search) -> None:
        """Find the smallest sets to alter, and what a single wrong one should have been."""
        self.watch.say("Looking for what is wrong")
        bench.watch = self.watch.part(WRONG_SHARE)
        try:
            sets, self.wrong_all = corrections(bench, search)
        except StoppedError:
            sets, self.wrong_all = [], False
        finally:
            bench.watch = self.watch
        for held in sets:
            clues, givens = bench.members(held)
            by_verdict: dict[str, list[Change]] = {"unique": [], "many": []}
            for place, verdict in sorted(search.verdicts.items()):
                change = bench.changes[place]
                if (
                    bench.touches[place] == held
                    and verdict in by_verdict
                    and not change.kind.startswith("drop")
                ):
                    by_verdict[verdict].append(change)
            found = {verdict: tuple(changes) for verdict, changes in by_verdict.items()}
            self.wrong.append(Wrong(tuple(clues), tuple(givens), found["unique"], found["many"]))

    def _pairs(self, bench: Bench, search: Search) -> None:
        """Every two changes; those that only add come first where there are several solutions."""
        everything = sum(1 << k for k in range(len(bench.changes)) if not bench.is_linked(k))
        linked = everything != (1 << len(bench.changes)) - 1
        adds = sum(1 << k for k, change in enumerate(bench.changes) if change.adds) & everything
        groups = [(everything & ~adds, everything), (adds, 0)]
        if self.verdict == "many":
            groups = [(adds, adds), (everything & ~adds, everything)]
        bench.watch = self.watch.part(PAIRS_SHARE)
        try:
            for first, second in groups:
                places = [k for k in range(len(bench.changes)) if first >> k & 1]
                search.pairs(places, second, MOST_PAIRS, lambda a, b: self._keep([a, b], bench))
                if self.mendings:
                    return
        except StoppedError:
            if self.watch.over:
                raise
            return
        finally:
            bench.watch = self.watch
        if not linked and not search.open:
            self.least = 3

    def _further(self, bench: Bench, search: Search) -> None:
        """Take one solution after another for the one that was meant."""
        targets = [self.claimed] if self.claimed is not None else self._targets(bench, search)
        best: int | None = None
        for number, target in enumerate(targets):
            self.watch.say("Looking for more changes than two", number, len(targets))
            watch = self.watch.part(1 / (len(targets) - number))
            found = toward(self.puzzle, target, watch, self.seed + number)
            if found is not None and (best is None or len(found.changes) <= best):
                best = len(found.changes)
                self._take(found.changes)
                if self.claimed is not None:
                    self.least = max(self.least, found.least)
        self.mendings = [mending for mending in self.mendings if len(mending.changes) == best]

    def _targets(self, bench: Bench, search: Search) -> list[tuple[int, ...]]:
        """Give solutions, or fillings that break as little as can be."""
        if self.verdict == "many":
            held = [w.filling for w in search.pool if not w.broken]
            return held[:: max(1, len(held) // TARGETS)][:TARGETS]
        found: list[tuple[int, ...]] = []
        for wrong in self.wrong[:TARGETS]:
            touched = sum(1 << clue for clue in wrong.clues) | sum(bench.given(cell) for cell in wrong.givens)
            found += bench.keep(bench.everyone & ~touched, limit=1).fillings
        return list(dict.fromkeys(found))

    def _symmetric(self) -> None:
        """Where every smallest mending spoils the pattern of the givens, look for one that keeps it."""
        whole = [kind for kind in self.meant if kind]
        if not whole or not self.mendings or any(not mending.lacks for mending in self.mendings):
            return
        best: tuple[Change, ...] | None = None
        for mending in sorted(self.mendings, key=lambda held: held.rank)[:3]:
            self.watch.say("Looking for a mending that keeps the pattern of the givens")
            found = toward(self.puzzle, mending.solution, self.watch.part(0.5), self.seed, whole[0])
            if found is not None and (best is None or len(found.changes) < len(best)):
                best = found.changes
        if best is not None:
            self._take(best)

    def result(self, most: int) -> Repair:
        """Give what is known."""
        mendings = sorted(self.mendings, key=lambda mending: mending.rank)
        size = len(mendings[0].changes) if mendings else None
        return Repair(
            self.puzzle,
            self.verdict,
            tuple(mendings),
            tuple(_choice(mendings, most)),
            size,
            self.least,
            self.all_found and bool(mendings),
            self.fine,
            tuple(self.wrong),
            self.wrong_all,
        )


def _choice(mendings: Sequence[Mending], most: int) -> list[Mending]:
    """Choose proposals: the best of each sort in turn, so that they differ."""
    sorts: dict[tuple[str, ...], list[Mending]] = {}
    for mending in mendings:
        sorts.setdefault(tuple(sorted(change.kind for change in mending.changes)), []).append(mending)
    chosen: list[Mending] = []
    while len(chosen) < most and any(sorts.values()):
        for held in sorts.values():
            if held and len(chosen) < most:
                chosen.append(held.pop(0))
    return sorted(chosen, key=lambda mending: mending.rank)
