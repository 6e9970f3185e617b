"""A puzzle on the bench: compiled once, tried with changes often, its failures kept as witnesses."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from saywhy.engine.constraints import constraints, starting_domains
from saywhy.engine.model import Model, compile_model
from saywhy.puzzle import Clue, Puzzle
from saywhy.rules import place
from saywhy.setting.changes import Change, apply
from saywhy.setting.watch import StoppedError, Watch

#: Nodes to see whether a clash is still one without a member; where they do not suffice the member stays.
GLANCE = 300


@dataclass(frozen=True)
class Tried:
    """
    What came of a try.

    Attributes:
        found: Solutions found, at most as many as were asked for.
        fillings: The solutions.
        decided: Whether these are all, or as many as were asked for.
    """

    found: int
    fillings: tuple[tuple[int, ...], ...]
    decided: bool

    @property
    def verdict(self) -> str:
        """``unique``, ``none``, ``many`` or ``undecided``."""
        if self.found > 1:
            return "many"
        if not self.decided:
            return "undecided"
        return "unique" if self.found else "none"


@dataclass(frozen=True)
class Witness:
    """
    A filling that keeps the houses and the grid-wide rules.

    Attributes:
        filling: One digit a cell.
        broken: Mask of the members that it breaks.
        alive: Mask of the changes whose new state it keeps.
    """

    filling: tuple[int, ...]
    broken: int
    alive: int


class Bench:
    """
    A puzzle, its members (clues, then givens) and the changes that may be made to it.

    Sets of members and sets of changes are bit masks: clue i is bit i, the given of cell c is bit c after
    the clues; change k is bit k.

    Attributes:
        puzzle: The puzzle.
        changes: The changes.
        touches: For each change the mask of the members that it alters.
        everyone: All members.
        fixed: Members that may not be left out: marks of which all are given mean more than themselves.
        tries: How many questions the engine has answered.
    """

    def __init__(self, puzzle: Puzzle, watch: Watch, changes: Sequence[Change] = (), seed: int = 0) -> None:
        self.puzzle = puzzle
        self.watch = watch
        self.seed = seed
        self.tries = 0
        held = constraints(puzzle)
        self.model = Model(
            puzzle.grid.size,
            len(puzzle.givens),
            (constraint.primitive for constraint in held),
            starting_domains(puzzle),
            held,
        )
        self.rules: list[int] = []
        self._clues: list[list[int]] = [[] for _ in puzzle.clues]
        for number, constraint in enumerate(held):
            source = constraint.source
            (self._clues[source.number] if source.kind == "clue" else self.rules).append(number)
        self._made = dict(zip(puzzle.clues, self._clues, strict=True))
        self._first_given = len(puzzle.clues)
        self.everyone = (1 << self._first_given) - 1
        for cell, digit in enumerate(puzzle.givens):
            if digit:
                self.everyone |= self.given(cell)
        self.fixed = sum(1 << k for k, clue in enumerate(puzzle.clues) if clue.rule in puzzle.all_given)
        self.changes = list(changes)
        self.touches = [self._touched(change) for change in self.changes]
        self._linked = [self._is_linked(change) for change in self.changes]
        self._wanted = [
            (1 << place_, *self._wants(change))
            for place_, change in enumerate(self.changes)
            if not self._linked[place_]
        ]

    def given(self, cell: int) -> int:
        """Give the member that is the given of a cell."""
        return 1 << (self._first_given + cell)

    def members(self, held: int) -> tuple[list[int], list[int]]:
        """Give a set of members as the places of its clues and the cells of its givens."""
        clues = [place_ for place_ in range(self._first_given) if held >> place_ & 1]
        rest = held >> self._first_given
        return clues, [cell for cell in range(len(self.puzzle.givens)) if rest >> cell & 1]

    def keep(self, held: int, limit: int = 2, nodes: int | None = None, seed: int | None = None) -> Tried:
        """Solve with these members of the puzzle alone."""
        return self._ask(*self._state(held), limit, nodes, seed)

    def tried(
        self, chosen: Iterable[int], limit: int = 2, nodes: int | None = None, seed: int | None = None
    ) -> Tried:
        """
        Solve with these changes made.

        Raises:
            StoppedError: The time is over.
        """
        picked = list(chosen)
        if any(self._linked[place_] for place_ in picked):
            return self._ask_anew([self.changes[place_] for place_ in picked], limit, nodes, seed)
        held = self.everyone
        for place_ in picked:
            held &= ~self.touches[place_]
        return self._ask(*self._state(held, picked), limit, nodes, seed)

    def witness(self, filling: tuple[int, ...]) -> Witness | None:
        """Give a filling with what it breaks and keeps; None where it breaks a house or a grid-wide rule."""
        holds = self.model.native.satisfied(filling)
        if not all(holds[number] for number in self.rules):
            return None
        broken = 0
        for place_, ids in enumerate(self._clues):
            if not all(holds[number] for number in ids):
                broken |= 1 << place_
        for cell, digit in enumerate(self.puzzle.givens):
            if digit and digit != filling[cell]:
                broken |= self.given(cell)
        return Witness(filling, broken, self._kept(filling, holds))

    def _kept(self, filling: tuple[int, ...], holds: Sequence[bool]) -> int:
        """Give the changes whose new state a filling keeps; of linked ones nothing is known."""
        kept = 0
        for bit, cells, ids in self._wanted:
            for cell, digit in cells:
                if filling[cell] != digit:
                    break
            else:
                for number in ids:
                    if not holds[number]:
                        break
                else:
                    kept |= bit
        return kept

    def is_linked(self, place_: int) -> bool:
        """Say whether a change is of a mark of which all are given: it means more than it says."""
        return self._linked[place_]

    def clash(self, made: Iterable[int] = (), without: int = 0) -> int:
        """
        Find members that cannot hold together with these changes made; hardly any of them to spare.

        Args:
            made: Changes that stay made, none of them linked.
            without: Members to leave out. What is left is known to have no solution.
        """
        picked = list(made)
        held = self.everyone & ~without
        for place_ in picked:
            held &= ~self.touches[place_]
        for member in reversed(single_bits(held)):
            fewer = held & ~member
            if self._with(fewer, picked).verdict == "none":
                held = fewer
        return held

    def _with(self, held: int, picked: Sequence[int]) -> Tried:
        return self._ask(*self._state(held, picked), 1, GLANCE, None)

    def _state(self, held: int, picked: Iterable[int] = ()) -> tuple[list[int], list[int]]:
        """Give the primitives and domains of these members with these changes made."""
        ids = list(self.rules)
        for place_, numbers in enumerate(self._clues):
            if held >> place_ & 1:
                ids += numbers
        full = (1 << self.model.size) - 1
        domains = [
            1 << (digit - 1) if digit and held & self.given(cell) else full
            for cell, digit in enumerate(self.puzzle.givens)
        ]
        for place_ in picked:
            for cell, digit in self.changes[place_].givens:
                if digit:
                    domains[cell] &= 1 << (digit - 1)
            for clue in _written(self.changes[place_]):
                ids += self._ids(clue)
        return ids, domains

    def _ask(
        self, ids: Sequence[int], domains: Sequence[int], limit: int, nodes: int | None, seed: int | None
    ) -> Tried:
        if not all(domains):
            return Tried(0, (), decided=True)
        left = self.watch.left()
        self.tries += 1
        found, kept, finished, used, _ = self.model.native.search(
            ids, domains, limit, limit, nodes, left, self.watch.cancel, self.seed if seed is None else seed
        )
        decided = finished or found >= limit
        if not decided and (nodes is None or used < nodes):
            raise StoppedError
        return Tried(found, tuple(tuple(digits) for digits in kept), decided)

    def _ask_anew(self, changes: Sequence[Change], limit: int, nodes: int | None, seed: int | None) -> Tried:
        """Ask where a change means more than itself, with the whole puzzle compiled anew."""
        left = self.watch.left()
        model = compile_model(apply(self.puzzle, changes))
        self.tries += 1
        found, kept, finished, used, _ = model.native.search(
            None,
            model.domains,
            limit,
            limit,
            nodes,
            left,
            self.watch.cancel,
            self.seed if seed is None else seed,
        )
        decided = finished or found >= limit
        if not decided and (nodes is None or used < nodes):
            raise StoppedError
        return Tried(found, tuple(tuple(digits) for digits in kept), decided)

    def _ids(self, clue: Clue) -> list[int]:
        """Give the primitives of a clue, added to the model where they are not yet there."""
        if clue not in self._made:
            compiled = place(clue, self.puzzle.grid).compile()
            self._made[clue] = [self.model.add(primitive) for primitive in compiled]
        return self._made[clue]

    def _touched(self, change: Change) -> int:
        held = sum(1 << place_ for place_, _ in change.clues)
        return held | sum(self.given(cell) for cell, _ in change.givens if self.puzzle.givens[cell])

    def _is_linked(self, change: Change) -> bool:
        """Say whether a change adds, takes or alters a mark of which all are given."""
        rules = {self.puzzle.clues[place_].rule for place_, _ in change.clues}
        return bool((rules | {clue.rule for clue in _written(change)}) & set(self.puzzle.all_given))

    def _wants(self, change: Change) -> tuple[list[tuple[int, int]], list[int]]:
        self.watch.left()
        cells = [(cell, digit) for cell, digit in change.givens if digit]
        return cells, [number for clue in _written(change) for number in self._ids(clue)]


def _written(change: Change) -> list[Clue]:
    """Give the clues that a change writes."""
    written = [clue for _, clue in change.clues if clue is not None]
    return written if change.added is None else [*written, change.added]


def single_bits(held: int) -> list[int]:
    """List the single bits of a mask."""
    found = []
    while held:
        found.append(held & -held)
        held &= held - 1
    return found
