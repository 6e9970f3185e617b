"""
Chains of inferences within a certificate: from a supposition to a contradiction, or on to the conclusion.

A chain is found breadth first, one primitive at a time, and made as short as can be: every link that can go
goes. It is worked out from the certificate alone, so it shows no more than that.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import combinations

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent, Automaton, Regular, automaton, digits_of
from saywhy.reasoning.frame import Held
from saywhy.reasoning.words.links import Link
from saywhy.reasoning.words.scene import Scene

#: Rounds of inferences before a chain is given up, nodes for one question to the native core.
ROUNDS, NODES = 4, 400
#: Ends that are made short before one is chosen.
TRAILS = 3
#: Links of a chain beyond which it is not told, and so not worded either.
LONGEST = 8
#: Cells that share as many digits as they are, at most.
LARGEST_SET = 4


@dataclass(frozen=True)
class Drawn:
    """
    A link with the cells whose knowledge it used and those that it changed.

    Attributes:
        silent: Whether it is seen at sight and goes without saying.
        move: What it was drawn from; None for sight.
    """

    link: Link
    used: frozenset[int]
    changed: frozenset[int]
    silent: bool = False
    move: Move | None = None


@dataclass(frozen=True)
class Move:
    """
    A primitive with what the certificate says differs among its cells; or cells that all differ.

    Attributes:
        source: The clue, house or rule.
        ids: What the native core is asked about.
        cells: The cells it speaks of.
        primitive: The clue's primitive.
        house: The index of a whole house.
        apart: Whether it says that the cells differ.
        shared: For a clue within a house, those of its cells that are in the house.
        reads: The cells whose digits matter to it.
        number: Its place among the moves.
    """

    source: Source
    ids: tuple[int, ...]
    cells: tuple[int, ...]
    primitive: object = None
    house: int | None = None
    apart: bool = False
    shared: tuple[int, ...] = ()
    reads: tuple[int, ...] = ()
    number: int = 0


#: Whether domains show what is wanted; a move, the kind of thought, and the digits
#: that it may strike out, by cell.
_Shown = Callable[[Mapping[int, int]], bool]
_Turn = tuple[Move, str, Mapping[int, int]]


@dataclass
class _State:
    """Where a chain stands: the digits left, the cells whose digit has been struck out, what was drawn."""

    domains: list[int]
    known: set[int]
    trail: list[Drawn]

    def copy(self) -> _State:
        """Give the same, to go on from."""
        return _State(list(self.domains), set(self.known), list(self.trail))


class Follower:
    """Follows a supposition through a certificate's primitives."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.frame = scene.frame
        self.moves = _moves(scene)
        self.supposed: frozenset[int] = frozenset()
        self._drawn: dict[tuple[int, str, frozenset[int], tuple[int, ...]], list[Drawn]] = {}
        self._followed: dict[tuple[frozenset[int], tuple[int, ...]], list[Drawn] | None] = {}
        self.cells = sorted({cell for held in scene.helds for cell in held.cells})

    @cached_property
    def _sees(self) -> dict[int, list[int]]:
        differ = self.scene.differ
        return {a: [b for b in self.cells if b != a and differ(a, b) is not None] for a in self.cells}

    def start(self) -> list[int]:
        """Give the certificate's domains."""
        domains = [self.scene.full] * len(self.frame.grid.cells)
        for cell in self.cells:
            domains[cell] = self.scene.domain(cell)
        return domains

    def follow(
        self, targets: Sequence[int], supposed: int, start: Sequence[int] | None = None
    ) -> list[Drawn] | None:
        """
        Suppose one of some digits in one of these cells, and follow it to a contradiction.

        Args:
            targets: The cells.
            supposed: The mask of the digits; of one digit where there are several cells.
            start: The domains to start from; None for the certificate's.

        Returns:
            The links that the contradiction rests on, the breaking one last; None if none is met.
        """
        domains = self.start() if start is None else list(start)
        self.supposed = frozenset(targets) if len(targets) == 1 else frozenset()
        if len(targets) == 1:
            domains[targets[0]] &= supposed
        elif not supposed & (supposed - 1):
            for cell in self.cells:
                if cell not in targets and all(self.scene.differ(cell, t) is not None for t in targets):
                    domains[cell] &= ~supposed
        if any(not domains[cell] for cell in self.cells):
            return None
        key = (self.supposed, tuple(domains))
        if key not in self._followed:
            self._followed[key] = self.chain(domains)
        return self._followed[key]

    def fails(self, cell: int, digit: int, start: Sequence[int]) -> bool:
        """Say whether a digit in a cell is followed to a contradiction."""
        domains = list(start)
        domains[cell] &= 1 << (digit - 1)
        return next(self._explore(domains, None), None) is not None

    def chain(self, start: Sequence[int], shown: _Shown | None = None) -> list[Drawn] | None:
        """
        Follow what these domains give.

        Args:
            start: One mask a cell.
            shown: Whether domains show what is wanted; None where a contradiction is wanted.

        Returns:
            The links that the end rests on, in order; None if it is not met within a few rounds.
        """
        wanted = None if shown is None else set(self.scene.results)
        trails = [needed(trail, wanted) for trail in self._explore(start, shown)]
        best: tuple[list[Drawn], list[_Turn]] | None = None
        for trail in sorted(trails, key=_length)[:TRAILS]:
            found = self._shortest(trail, start, shown, wanted)
            if best is None or _length(found[0]) < _length(best[0]):
                best = found
        return None if best is None else self._weakest(*best, start, shown, wanted)

    # Searching

    def _explore(  # noqa: PLR0912 - a list of ends
        self, start: Sequence[int], shown: _Shown | None
    ) -> Iterator[list[Drawn]]:
        """Yield the ways to the end that are met first, with all that was drawn before."""
        domains = list(start)
        known: set[int] = set()
        trail: list[Drawn] = []
        if self._sight(domains, known, trail):
            if shown is None:
                yield trail
            return
        for _ in range(ROUNDS):
            ends: list[Drawn] = []
            news: list[Drawn] = []
            for move in self.moves:
                for drawn in self._draw(move, domains):
                    (ends if drawn.link.breaks else news).append(drawn)
            if ends:
                if shown is None:
                    for end in ends[:4]:
                        yield [*trail, end]
                if shown is not None or any(not end.link.must for end in ends):
                    return
            if not news:
                return
            for drawn in news:
                clash = _apply(drawn, domains, trail)
                if clash is not None:
                    if shown is None:
                        yield [*trail, clash]
                    return
            if self._sight(domains, known, trail):
                if shown is None:
                    yield trail
                return
            if shown is not None and shown({cell: domains[cell] for cell in self.cells}):
                yield trail
                return

    def _shortest(
        self, held: list[Drawn], start: Sequence[int], shown: _Shown | None, wanted: set[int] | None
    ) -> tuple[list[Drawn], list[_Turn]]:
        """Leave out every link, and every cell of a link, that the end can do without."""
        plan: list[_Turn] = [
            (step.move, _kind(step), step.link.lost) for step in held if step.move is not None
        ]
        states = self._states(plan, start)
        for place in range(len(plan) - 1, -1, -1):
            move, kind, lost = plan[place]
            again = self._replay(plan[place + 1 :], states[place], shown)
            if again is not None:
                held, plan = needed(again, wanted), [*plan[:place], *plan[place + 1 :]]
                continue
            for cell in sorted(lost) if len(lost) > 1 else ():
                less = {other: mask for other, mask in lost.items() if other != cell}
                again = self._replay([(move, kind, less), *plan[place + 1 :]], states[place], shown)
                if less and again is not None:
                    lost = less
                    held, plan = (
                        needed(again, wanted),
                        [*plan[:place], (move, kind, lost), *plan[place + 1 :]],
                    )
        return held, plan

    def _weakest(
        self,
        held: list[Drawn],
        plan: list[_Turn],
        start: Sequence[int],
        shown: _Shown | None,
        wanted: set[int] | None,
    ) -> list[Drawn]:
        """Strike out no more digits than the end needs: "has no 4" is said, not what is left."""
        if len(told(held)) > LONGEST:
            return held
        states = self._states(plan, start)
        for place in range(len(plan) - 1, -1, -1):
            move, kind, lost = plan[place]
            after = states[place + 1].domains if place + 1 < len(states) else []
            for cell, mask in list(lost.items()):
                if not after or not mask & (mask - 1) or after[cell].bit_count() <= 2:
                    continue
                for digit in digits_of(mask):
                    left = lost[cell] & ~(1 << (digit - 1))
                    if not left:
                        continue
                    less = {**lost, cell: left}
                    again = self._replay([(move, kind, less), *plan[place + 1 :]], states[place], shown)
                    if again is not None:
                        lost = less
                        held, plan = (
                            needed(again, wanted),
                            [*plan[:place], (move, kind, lost), *plan[place + 1 :]],
                        )
        return held

    def _states(self, plan: Sequence[_Turn], start: Sequence[int]) -> list[_State]:
        """Give where a chain stands before each of its turns."""
        state = _State(list(start), set(), [])
        if self._sight(state.domains, state.known, state.trail):
            return [state] * len(plan)
        states = []
        for turn in plan:
            states.append(state)
            state = state.copy()
            if self._turn(turn, state):
                return [*states, *[state] * (len(plan) - len(states))]
        return states

    def _replay(self, plan: Sequence[_Turn], before: _State, shown: _Shown | None) -> list[Drawn] | None:
        """Draw only these inferences, and strike only these digits; None if the end is not met."""
        if before.trail and before.trail[-1].link.breaks:
            return list(before.trail) if shown is None else None
        state = before.copy()
        for turn in plan:
            if self._turn(turn, state):
                return state.trail if shown is None else None
        if shown is not None and shown({cell: state.domains[cell] for cell in self.cells}):
            return state.trail
        return None

    def _turn(self, turn: _Turn, state: _State) -> bool:
        """Draw one inference; say whether it is a contradiction, or leads to one at sight."""
        move, kind, lost = turn
        domains, trail = state.domains, state.trail
        for drawn in self._draw(move, domains, kind):
            was = drawn.link
            if was.breaks:
                trail.append(drawn)
                return True
            less = {cell: mask & lost[cell] for cell, mask in was.lost.items() if lost.get(cell, 0) & mask}
            if not less:
                continue
            left = {cell: domains[cell] & ~mask for cell, mask in less.items()}
            link = Link(
                was.source,
                left,
                was.house,
                was.digit,
                known=was.known,
                primitive=was.primitive,
                lost=less,
                must=was.must,
            )
            end = _apply(Drawn(link, drawn.used, frozenset(left), move=move), domains, trail)
            if end is not None:
                trail.append(end)
                return True
            if self._sight(domains, state.known, trail):
                return True
        return False

    # Drawing

    def _sight(self, domains: list[int], known: set[int], trail: list[Drawn]) -> bool:
        """
        Strike out along sight what known cells hold.

        Args:
            domains: Changed in place.
            known: The cells whose digit has been struck out already; changed in place.
            trail: What is struck out is told here, the contradiction if there is one last.

        Returns:
            Whether there is a contradiction.
        """
        fresh = [cell for cell in self.cells if cell not in known and not domains[cell] & (domains[cell] - 1)]
        while fresh:
            cell = fresh.pop(0)
            known.add(cell)
            for other in self._sees[cell]:
                if domains[other] & domains[cell]:
                    if domains[other] == domains[cell]:
                        link = Link(breaks=True, clash=(other, cell), digit=domains[cell].bit_length())
                        trail.append(Drawn(link, frozenset((cell, other)), frozenset()))
                        return True
                    domains[other] &= ~domains[cell]
                    single = not domains[other] & (domains[other] - 1)
                    link = Link(left={other: domains[other]})
                    trail.append(Drawn(link, frozenset((cell, other)), frozenset((other,)), not single))
                    if single and other not in known:
                        fresh.append(other)
        return False

    def _draw(self, move: Move, domains: Sequence[int], kind: str = "") -> list[Drawn]:
        """Give what follows from one move; where a kind of thought is given, by that alone."""
        key = (move.number, kind, self.supposed, tuple([domains[cell] for cell in move.reads]))
        found = self._drawn.get(key)
        if found is None:
            if move.apart:
                kinds = (("house", self._house), ("set", self._sets), ("hidden", self._hidden))
                found = [one for name, draw in kinds if kind in ("", name) for one in draw(move, domains)]
            else:
                found = list(self._clue(move, domains))
            self._drawn[key] = found
        return found

    def _clue(self, move: Move, domains: Sequence[int]) -> Iterator[Drawn]:
        """What a clue shows, with the digits that it must hold where it lies in a house."""
        must = self._must(move, domains) if move.shared else 0
        if move.shared and not must:
            return
        after, _ = self.frame.model.shows(move.ids, domains, NODES)
        full = self.scene.full
        if must:
            plain = after
            holding = Regular(move.shared, _holding(tuple(digits_of(must)), len(move.shared), self.scene.n))
            extra = self.frame.derive(holding, [self.frame.houses[move.house or 0][1]])
            after, _ = self.frame.model.shows([*move.ids, extra.id], domains, NODES)
            if after == plain:
                return
        used = frozenset(cell for cell in move.cells if domains[cell] != full)
        if move.house is not None and must:
            used |= frozenset(self.frame.houses[move.house][0].cells) - frozenset(move.shared)
        if any(not after[cell] for cell in move.cells):
            if must and not must & (must - 1):
                return  # The house says so itself, once the clue has no cell for the digit.
            known = {cell: domains[cell] for cell in move.cells}
            link = Link(
                move.source,
                house=move.house,
                breaks=True,
                known=known,
                primitive=move.primitive,
                must=must,
                supposed=self.supposed,
            )
            yield Drawn(link, used, frozenset(), move=move)
            return
        left = {cell: after[cell] for cell in move.cells if after[cell] != domains[cell]}
        if left:
            lost = {cell: domains[cell] & ~mask for cell, mask in left.items()}
            link = Link(move.source, left, move.house, lost=lost, must=must)
            yield Drawn(link, used, frozenset(left), move=move)

    def _must(self, move: Move, domains: Sequence[int]) -> int:
        """Give the digits of a house that find a place only where a clue lies in it, none of them placed."""
        assert move.house is not None
        inside = outside = placed = 0
        for cell in self.frame.houses[move.house][0].cells:
            mask = domains[cell]
            if cell in move.shared:
                inside |= mask
                if not mask & (mask - 1):
                    placed |= mask
            else:
                outside |= mask
        must = inside & ~outside & ~placed
        return must if must.bit_count() <= len(move.shared) else 0

    def _house(self, move: Move, domains: Sequence[int]) -> Iterator[Drawn]:
        """The only place of a digit in a whole house, or none."""
        if move.house is None:
            return
        used = frozenset(move.cells)
        seen = many = 0
        for cell in move.cells:
            many |= seen & domains[cell]
            seen |= domains[cell]
        for digit in digits_of(self.scene.full & ~seen):
            link = Link(move.source, house=move.house, digit=digit, breaks=True)
            yield Drawn(link, used, frozenset(), move=move)
        only: dict[int, int] = {}
        for digit in digits_of(seen & ~many):
            bit = 1 << (digit - 1)
            cell = next(cell for cell in move.cells if domains[cell] & bit)
            if cell in only:
                both = (only[cell], digit)
                link = Link(move.source, house=move.house, breaks=True, both=both, empty=cell)
                yield Drawn(link, used, frozenset(), move=move)
            only[cell] = digit
            if domains[cell] != bit:
                lost = {cell: domains[cell] & ~bit}
                link = Link(move.source, {cell: bit}, house=move.house, digit=digit, lost=lost)
                yield Drawn(link, used - {cell}, frozenset({cell}), move=move)

    def _sets(self, move: Move, domains: Sequence[int]) -> Iterator[Drawn]:
        """Cells that share as many digits as they are: no other cell has these."""
        for size in range(2, LARGEST_SET + 1):
            few = [
                cell
                for cell in move.cells
                if domains[cell].bit_count() <= size and domains[cell] & (domains[cell] - 1)
            ]
            for cells in combinations(few, size):
                union = 0
                for cell in cells:
                    union |= domains[cell]
                count = union.bit_count()
                if count > size:
                    continue
                used = frozenset(cells)
                if count < size:
                    link = Link(move.source, breaks=True, known=dict.fromkeys(cells, union), primitive="set")
                    yield Drawn(link, used, frozenset(), move=move)
                    return
                left = {
                    cell: domains[cell] & ~union
                    for cell in move.cells
                    if cell not in used and domains[cell] & union
                }
                if not left:
                    continue
                empty = next((cell for cell, mask in left.items() if not mask), None)
                if empty is not None:
                    known = dict.fromkeys(cells, union)
                    link = Link(move.source, breaks=True, known=known, empty=empty, primitive="set")
                    yield Drawn(link, used | {empty}, frozenset(), move=move)
                    return
                lost = {cell: domains[cell] & union for cell in left}
                known = dict.fromkeys(cells, union)
                link = Link(move.source, left, known=known, primitive="set", lost=lost)
                yield Drawn(link, used, frozenset(left), move=move)

    def _hidden(self, move: Move, domains: Sequence[int]) -> Iterator[Drawn]:
        """Digits of a whole house with as many places as they are: these cells hold nothing else."""
        if move.house is None:
            return
        places: dict[int, int] = {}
        for place, cell in enumerate(move.cells):
            mask = domains[cell]
            if mask & (mask - 1):
                for digit in digits_of(mask):
                    places[digit] = places.get(digit, 0) | 1 << place
        for size in (2, 3, 4):
            few = [digit for digit, held in places.items() if held.bit_count() <= size]
            for digits in combinations(few, size):
                union = 0
                for digit in digits:
                    union |= places[digit]
                mask = sum(1 << (digit - 1) for digit in digits)
                cells = [cell for place, cell in enumerate(move.cells) if union >> place & 1]
                if union.bit_count() < size:
                    known = dict.fromkeys(cells, mask)
                    link = Link(move.source, {}, move.house, breaks=True, known=known, primitive="hidden")
                    yield Drawn(link, frozenset(move.cells), frozenset(), move=move)
                    return
                if union.bit_count() > size:
                    continue
                left = {cell: domains[cell] & mask for cell in cells if domains[cell] & ~mask}
                if not left:
                    continue
                lost = {cell: domains[cell] & ~mask for cell in left}
                link = Link(
                    move.source,
                    left,
                    move.house,
                    known=dict.fromkeys(cells, mask),
                    primitive="hidden",
                    lost=lost,
                )
                used = frozenset(cell for cell in move.cells if cell not in cells)
                yield Drawn(link, used, frozenset(left), move=move)


def _apply(drawn: Drawn, domains: list[int], trail: list[Drawn]) -> Drawn | None:
    """Note an inference; give the contradiction if it leaves nothing in a cell that others narrowed."""
    trail.append(drawn)
    for cell, mask in drawn.link.left.items():
        if not domains[cell] & mask:
            two = (domains[cell] | mask).bit_count() == 2
            both = (domains[cell].bit_length(), mask.bit_length()) if two else ()
            return Drawn(Link(breaks=True, empty=cell, both=both), frozenset((cell,)), frozenset())
        domains[cell] &= mask
    return None


def needed(trail: Sequence[Drawn], wanted: set[int] | None = None) -> list[Drawn]:
    """
    Keep the links that the last one, or the cells wanted, rest on.

    A clash says itself what its two cells would be.
    """
    clash = set(trail[-1].link.clash or ()) if wanted is None else set()
    kept: list[Drawn] = []
    held = set(wanted or ())
    for step in reversed(trail):
        if (wanted is None and not kept) or step.changed & held:
            kept.append(step)
            held |= step.used
    return [step for step in kept[::-1] if not (clash and step.changed and step.changed <= clash)]


def told(chain: Sequence[Drawn]) -> list[Drawn]:
    """Give the links that are said."""
    return [step for step in chain if not step.silent]


def _kind(step: Drawn) -> str:
    """Give the kind of thought by which cells that all differ were looked at."""
    kind = step.link.primitive
    return kind if isinstance(kind, str) else "house"


def _length(chain: Sequence[Drawn]) -> tuple[int, int]:
    said = told(chain)
    return len(said) + sum(bool(step.link.must) for step in said), sum(
        mask.bit_count() for step in said for mask in step.link.left.values()
    )


def _moves(scene: Scene) -> list[Move]:
    frame = scene.frame
    moves: list[Move] = []
    apart = [held for held in scene.helds if isinstance(held.primitive, AllDifferent)]
    indexes = {source: index for index, (_, source) in enumerate(frame.houses)}
    for held in scene.helds:
        (source, *_) = held.sources
        if isinstance(held.primitive, AllDifferent):
            whole = len(held.cells) == scene.n and source in indexes
            moves.append(Move(source, (), held.cells, None, indexes[source] if whole else None, apart=True))
            continue
        beside = _restricted(scene, apart, set(held.cells))
        ids = (held.id, *(h.id for h in beside))
        moves.append(Move(source, ids, held.cells, held.primitive))
        for house in apart:
            (of_house, *_) = house.sources
            shared = tuple(cell for cell in held.cells if cell in house.cells)
            if len(house.cells) == scene.n and of_house in indexes and 1 < len(shared) < scene.n:
                moves.append(Move(source, ids, held.cells, held.primitive, indexes[of_house], shared=shared))
    return [replace(move, number=number, reads=_reads(scene, move)) for number, move in enumerate(moves)]


def _reads(scene: Scene, move: Move) -> tuple[int, ...]:
    if not move.shared or move.house is None:
        return move.cells
    return tuple({*move.cells, *scene.frame.houses[move.house][0].cells})


@lru_cache(maxsize=256)
def _holding(digits: tuple[int, ...], count: int, size: int) -> Automaton:
    """Give the automaton that reads so many digits with all of these among them."""

    def step(state: frozenset[int], digit: int) -> frozenset[int]:
        return state - {digit}

    return automaton(count, size, frozenset(digits), step, lambda state: not state)


def _restricted(scene: Scene, apart: list[Held], cells: set[int]) -> list[Held]:
    found = []
    for held in apart:
        shared = tuple(cell for cell in held.cells if cell in cells)
        if len(shared) >= 2:
            found.append(
                held
                if len(shared) == len(held.cells)
                else scene.frame.derive(AllDifferent(shared), held.sources)
            )
    return found
