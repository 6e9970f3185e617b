"""
From a sweep to the steps that its end rests on, and from these to an order a person would be glad to follow.

Backwards from the digits placed, each digit and each mark that a certificate relies on is traced to the find
that gave it, and of the finds of one round that give the same the one of least effort is told. What nothing
rests on is never told.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from saywhy.engine.constraints import Source
from saywhy.reasoning.effort import FAR, effort
from saywhy.reasoning.frame import Frame, bits
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Find, Step
from saywhy.reasoning.sweep import Round, Sweep
from saywhy.reasoning.thought import joined, stands

#: Finds of one round that give the same are drawn up and compared, at most this many.
RIVALS = 6


class Trace:
    """The steps of one sweep that are worth telling."""

    def __init__(self, frame: Frame, sweep: Sweep) -> None:
        self.frame, self.sweep = frame, sweep
        self._removed = [_givers(frame, found) for found in sweep.rounds]
        self._placed = [_placers(found) for found in sweep.rounds]
        #: The round in which each candidate went by a written mark, and each cell got its digit.
        self._gone_in: dict[int, int] = {}
        self._stood_in: dict[int, int] = {}
        for number, found in enumerate(sweep.rounds):
            for candidate in self._removed[number]:
                self._gone_in.setdefault(candidate, number)
            for cell in self._placed[number]:
                if not found.before.placed[cell]:
                    self._stood_in.setdefault(cell, number)
        #: What is still to be shown: for each round, digits that must stand and masks that must be gone.
        self._stand: list[set[int]] = [set() for _ in sweep.rounds]
        self._gone: list[dict[int, int]] = [{} for _ in sweep.rounds]

    def steps(self) -> list[Step]:
        """Give the needed steps, last ones first."""
        told: list[Step] = []
        for cell, number in self._stood_in.items():
            self._stand[number].add(cell)
        for number in range(len(self.sweep.rounds) - 1, -1, -1):
            while self._stand[number]:
                cell = min(self._stand[number])
                told.append(self._tell(number, self._placed[number][cell]))
            while any(self._gone[number].values()):
                cell, mask = next((cell, mask) for cell, mask in self._gone[number].items() if mask)
                candidate = cell * self.frame.n + mask.bit_length() - 1
                told.append(self._tell(number, self._removed[number][candidate]))
        return told

    def _want(self, step: Step, number: int) -> None:
        """Ask for all that a step of this round relies on."""
        before = self.sweep.rounds[number].before
        for cell, mask in step.reason.facts.items():
            if before.placed[cell]:
                if cell in self._stood_in:
                    self._stand[self._stood_in[cell]].add(cell)
                continue
            for place in bits(self.frame.full & ~mask):
                round_ = self._gone_in.get(cell * self.frame.n + place)
                if round_ is not None:
                    self._gone[round_][cell] = self._gone[round_].get(cell, 0) | 1 << place

    def _tell(self, number: int, finds: Sequence[Find]) -> Step:
        """Draw up the least effort among rival finds, note what it shows and ask for what it relies on."""
        wanted: dict[int, int] = {}
        for gone in self._gone[: number + 1]:
            for cell, mask in gone.items():
                wanted[cell] = wanted.get(cell, 0) | mask
        step = min((self._build(find, wanted) for find in finds[:RIVALS]), key=lambda step: step.effort)
        struck = step.struck(self.frame.full)
        for cell in step.places:
            self._stand[number].discard(cell)
        for gone in self._gone[: number + 1]:
            for cell, mask in struck.items():
                if cell in gone:
                    gone[cell] &= ~mask
        self._want(step, number)
        return step

    def _build(self, find: Find, wanted: dict[int, int]) -> Step:
        step = find.build(wanted)
        return replace(step, effort=effort(step, self.frame.n, self.frame.clue_cells(step.reason)))


def _givers(frame: Frame, found: Round) -> dict[int, list[Find]]:
    """Give for each candidate the finds of a round that strike it out."""
    givers: dict[int, list[Find]] = {}
    for find in found.finds:
        for cell, mask in find.removes.items():
            for place in bits(mask):
                givers.setdefault(cell * frame.n + place, []).append(find)
        for cell, digit in find.places.items():
            for place in bits(found.before.domain(cell) & ~(1 << (digit - 1))):
                givers.setdefault(cell * frame.n + place, []).append(find)
    return givers


def _placers(found: Round) -> dict[int, list[Find]]:
    """Give for each cell the finds of a round that place its digit."""
    placers: dict[int, list[Find]] = {}
    for find in found.finds:
        for cell in find.places:
            placers.setdefault(cell, []).append(find)
    return placers


def in_order(start: Position, steps: Sequence[Step]) -> tuple[list[Step], list[int]]:
    """
    Put steps in an order in which each rests on earlier ones alone.

    The next digit placed is the one for which least effort is still to be told, near the last one before
    far; what it rests on is told right before it, easiest first.

    Returns:
        The steps, and for each how many were ready that take no more effort, itself included.
    """
    frame = start.frame
    order = _Order(start, steps)
    while order.left:
        for index in order.towards_next_digit():
            order.take(index)
    taken = [(steps[index], ready) for index, ready in zip(order.taken, order.openings, strict=True)]
    while True:
        fresh = _fresh(start, [step for step, _ in taken])
        trimmed = _trimmed(frame, fresh)
        kept = [
            (step, ready)
            for step, (_, ready) in zip(trimmed, taken, strict=True)
            if step.places or step.removes
        ]
        if len(kept) == len(taken):
            return _merged(start, kept)
        taken = kept


def _merged(start: Position, steps: Sequence[tuple[Step, int]]) -> tuple[list[Step], list[int]]:
    """Join what may be told as one thought to where that thought comes first."""
    frame, full = start.frame, start.frame.full
    known = frame.domains(start.marks)
    merged: list[tuple[Step, list[int]]] = []  # each with the marks that stood before it
    on_clues: dict[tuple[Source, ...], list[int]] = {}  # places by the clues looked at
    openings: list[int] = []
    for step, ready in steps:
        clues = tuple(step.reason.of_kind("clue"))
        for place in reversed(on_clues.get(clues, ())):
            before, stood = merged[place]
            one = joined(frame, before, step) if stands(step, stood) else None
            if one is not None:
                merged[place] = one, stood
                break
        else:
            on_clues.setdefault(clues, []).append(len(merged))
            merged.append((step, known.copy()))
            openings.append(ready)
        for cell, mask in step.struck(full).items():
            known[cell] &= ~mask
    return [step for step, _ in merged], openings


def _fresh(start: Position, steps: Sequence[Step]) -> list[Step]:
    """Leave out of each conclusion what an earlier step has concluded already."""
    frame, full = start.frame, start.frame.full
    known = frame.domains(start.marks)
    stand = {cell for cell in frame.grid.cells if start.placed[cell]}
    fresh: list[Step] = []
    for step in steps:
        places = {c: digit for c, digit in step.places.items() if c not in stand}
        stand.update(places)
        removes = {c: mask for c, mask in step.removes.items() if known[c] & mask}
        fresh.append(replace(step, places=places, removes=removes))
        for cell, mask in step.struck(full).items():
            known[cell] &= ~mask
    return fresh


def _trimmed(frame: Frame, steps: Sequence[Step]) -> list[Step]:
    """
    Leave out of each conclusion the cells whose marks no later step relies on.

    A mark counts for the first step that gives it. A step that is left with no conclusion is not needed.
    """
    full, n = frame.full, frame.n
    giver: dict[int, int] = {}
    for place, step in enumerate(steps):
        for cell, mask in step.struck(full).items():
            for bit in bits(mask):
                giver.setdefault(cell * n + bit, place)
    used: list[set[int]] = [set() for _ in steps]
    trimmed: list[Step] = []
    for place in range(len(steps) - 1, -1, -1):
        step = steps[place]
        kept = replace(step, removes={c: mask for c, mask in step.removes.items() if c in used[place]})
        trimmed.append(kept)
        if not kept.places and not kept.removes:
            continue
        for cell, mask in step.reason.facts.items():
            for bit in bits(full & ~mask):
                by = giver.get(cell * n + bit)
                if by is not None and by < place:
                    used[by].add(cell)
    return trimmed[::-1]


class _Order:
    """Steps with what each rests on in the end, taken one after another."""

    def __init__(self, start: Position, steps: Sequence[Step]) -> None:
        self.frame, self.steps = start.frame, steps
        self.left = set(range(len(steps)))
        self.taken: list[int] = []
        self.openings: list[int] = []
        self._last: int | None = None
        self._rests = self._closures(start.frame.domains(start.marks))
        self._untold = (1 << len(steps)) - 1
        #: For each step the effort of what it rests on and is still to be told, its own included.
        self._cost = [
            step.effort + sum(steps[index].effort for index in bits(rests))
            for step, rests in zip(steps, self._rests, strict=True)
        ]

    def _closures(self, known: list[int]) -> list[int]:
        """For each step the set of steps it rests on in the end, as a bit set."""
        full = self.frame.full
        closures = [0] * len(self.steps)
        shown: dict[int, list[tuple[int, int]]] = {}  # by cell: digits newly gone, step
        left = list(range(len(self.steps)))
        while left:
            ready = [index for index in left if stands(self.steps[index], known)]
            assert ready, "every step rests on steps that are told"
            for index in ready:
                for cell, mask in self.steps[index].reason.facts.items():
                    for gone, by in shown.get(cell, ()):
                        if gone & ~mask & full:
                            closures[index] |= closures[by] | 1 << by
            for index in ready:
                for cell, mask in self.steps[index].struck(full).items():
                    if known[cell] & mask:
                        shown.setdefault(cell, []).append((known[cell] & mask, index))
                        known[cell] &= ~mask
            taken = set(ready)
            left = [index for index in left if index not in taken]
        return closures

    def towards_next_digit(self) -> list[int]:
        """Give the steps up to the next digit, in order; all that are left where none places a digit."""
        best: tuple[float, int] | None = None
        for index in self.left:
            places = self.steps[index].places
            if not places:
                continue
            cost = self._cost[index]
            if self._last is not None:
                cost += FAR * self.frame.distance(self._last, next(iter(places)))
            if best is None or (cost, index) < best:
                best = cost, index
        if best is None:
            return self._sorted(self.left)
        return self._sorted([*bits(self._rests[best[1]] & self._untold), best[1]])

    def _sorted(self, indexes: Collection[int]) -> list[int]:
        """Order steps so that each rests on earlier ones, easiest first."""
        waiting, ordered = set(indexes), []
        held = sum(1 << index for index in waiting)
        while waiting:
            ready = [index for index in waiting if not self._rests[index] & held]
            chosen = min(ready, key=lambda index: (self.steps[index].effort, index))
            ordered.append(chosen)
            waiting.remove(chosen)
            held ^= 1 << chosen
        return ordered

    def take(self, index: int) -> None:
        """Take a step, counting what was ready beside it."""
        step = self.steps[index]
        most = step.effort + 1e-9
        self.openings.append(
            sum(self.steps[i].effort <= most and not self._rests[i] & self._untold for i in self.left)
        )
        self.taken.append(index)
        self.left.remove(index)
        self._untold ^= 1 << index
        for other in self.left:
            if self._rests[other] >> index & 1:
                self._cost[other] -= step.effort
        if step.places:
            self._last = next(iter(step.places))
