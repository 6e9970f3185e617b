"""
Chains of inferences within a certificate: from a supposition to a contradiction, or on to the conclusion.

A chain is found breadth first, one primitive at a time, and made as short as can be: every link that can go
goes. It is worked out from the certificate alone, so it shows no more than that.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from saywhy.primitives import digits_of
from saywhy.reasoning.words.links import Link
from saywhy.reasoning.words.moves import Drawer, Drawn, Move, kind_of
from saywhy.reasoning.words.scene import Scene

#: Rounds of inferences before a chain is given up.
ROUNDS = 4
#: Ends that are made short before one is chosen.
TRAILS = 3
#: Links of a chain beyond which it is not told, and so not worded either.
LONGEST = 8


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
        self.drawer = Drawer(scene)
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
        self.drawer.supposed = frozenset(targets) if len(targets) == 1 else frozenset()
        if len(targets) == 1:
            domains[targets[0]] &= supposed
        elif not supposed & (supposed - 1):
            for cell in self.cells:
                if cell not in targets and all(self.scene.differ(cell, t) is not None for t in targets):
                    domains[cell] &= ~supposed
        if any(not domains[cell] for cell in self.cells):
            return None
        key = (self.drawer.supposed, tuple(domains))
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
            for move in self.drawer.moves:
                for drawn in self.drawer.draw(move, domains):
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
                if not any(domains[cell] & ~mask for cell, mask in drawn.link.left.items()):
                    continue  # An earlier link struck as much.
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
            (step.move, kind_of(step), step.link.lost) for step in held if step.move is not None
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
        found = self.drawer.draw(move, domains, kind)
        end = next((drawn for drawn in found if drawn.link.breaks), None)
        if end is not None:
            trail.append(end)
            return True
        for drawn in found:
            was = drawn.link
            less = {}
            for cell, mask in was.lost.items():
                if struck := mask & lost.get(cell, 0) & domains[cell]:
                    less[cell] = struck
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


@lru_cache(maxsize=1)
def follower_of(scene: Scene) -> Follower:
    """Give the follower of a scene, one for all kinds of thought that tell it."""
    return Follower(scene)


def _apply(drawn: Drawn, domains: list[int], trail: list[Drawn]) -> Drawn | None:
    """Note an inference; give the contradiction if it leaves nothing in a cell that others narrowed."""
    trail.append(drawn)
    for cell, mask in drawn.link.left.items():
        if not domains[cell] & mask:
            two = (domains[cell] | mask).bit_count() == 2
            both = (domains[cell].bit_length(), mask.bit_length()) if two else ()
            link = Link(breaks=True, empty=cell, both=both, between=(domains[cell], mask))
            return Drawn(link, frozenset((cell,)), frozenset())
        domains[cell] &= mask
    return None


def needed(trail: Sequence[Drawn], wanted: set[int] | None = None) -> list[Drawn]:
    """
    Keep the links that the last one, or the cells wanted, rest on.

    A clash says itself what its two cells would be, and so does a cell that would be two digits at once.
    """
    clash: set[int] = set()
    if wanted is None and trail:
        end = trail[-1].link
        clash = (
            {end.empty} if end.both and end.house is None and end.empty is not None else {*(end.clash or ())}
        )
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


def _length(chain: Sequence[Drawn]) -> tuple[int, int]:
    said = told(chain)
    return len(said) + sum(bool(step.link.must) for step in said), sum(
        mask.bit_count() for step in said for mask in step.link.left.values()
    )
