"""
Short stories: deny the conclusion, follow one primitive at a time, meet a contradiction.

The story is worked out from the certificate alone; it is told only if it ends within a few links.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent, digits_of
from saywhy.reasoning.frame import Held
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.links import Link, clause, empty_end
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.results import conclusion, enough, result_ref
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, says

#: Most links of a story that is told within an ordinary step.
LINKS = 5
#: Nodes for one question to the native core.
NODES = 400


@dataclass(frozen=True)
class Drawn:
    """
    A link with the cells whose knowledge it used and those that it changed.

    Attributes:
        silent: Whether it is seen at sight and goes without saying.
    """

    link: Link
    used: frozenset[int]
    changed: frozenset[int]
    silent: bool = False


class Teller:
    """Follows a supposition through a certificate's primitives."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.frame = scene.frame
        self.moves = _moves(scene)
        self.cells = sorted({cell for held in scene.helds for cell in held.cells})

    def start(self) -> list[int]:
        """Give the certificate's domains."""
        domains = [self.scene.full] * len(self.frame.grid.cells)
        for cell in self.cells:
            domains[cell] = self.scene.domain(cell)
        return domains

    def follow(self, targets: Sequence[int], supposed: int) -> list[Drawn] | None:
        """
        Suppose a digit in one of these cells, whichever, and follow it to a contradiction.

        Args:
            targets: The cells.
            supposed: The mask of the digit; of several digits where there is one cell.

        Returns:
            The links that the contradiction rests on, the breaking one last; None if none is met.
        """
        scene = self.scene
        domains = self.start()
        if len(targets) == 1:
            domains[targets[0]] = supposed
        one = not supposed & (supposed - 1)
        known = {targets[0]} if len(targets) == 1 and one else set()
        for cell in self.cells:
            if one and cell not in targets and all(scene.differ(cell, t) is not None for t in targets):
                domains[cell] &= ~supposed
        if any(not domains[cell] for cell in self.cells):
            return None
        drawn: list[Drawn] = []
        for _ in range(LINKS + 3):
            step = self.next(domains, known)
            if step is None:
                return None
            drawn.append(step)
            if step.link.breaks:
                return _needed(drawn)
            for cell, mask in step.link.left.items():
                domains[cell] = mask
            clash = self.sight(domains, known, drawn)
            if clash is not None:
                drawn.append(clash)
                return _needed(drawn)
        return None

    def forward(self) -> list[Drawn] | None:
        """
        Follow what the certificate itself gives, nothing supposed, until the step's conclusion is shown.

        Returns:
            The links that the conclusion rests on, in order; None if it is not reached within a few.
        """
        scene = self.scene
        domains = self.start()
        known: set[int] = {cell for cell in self.cells if domains[cell].bit_count() == 1}
        drawn: list[Drawn] = []
        for _ in range(LINKS + 3):
            step = self.next(domains, known)
            if step is None or step.link.breaks:
                return None
            drawn.append(step)
            for cell, mask in step.link.left.items():
                domains[cell] = mask
            if self.sight(domains, known, drawn) is not None:
                return None
            if enough(scene, {cell: domains[cell] for cell in scene.results}):
                break
        else:
            return None
        kept: list[Drawn] = []
        wanted = set(scene.results)
        for step in reversed(drawn):
            if step.changed & wanted:
                kept.append(step)
                wanted |= step.used
        return [step for step in kept[::-1] if not step.silent]

    def sight(self, domains: list[int], known: set[int], drawn: list[Drawn]) -> Drawn | None:
        """
        Strike out along sight what known cells hold.

        Args:
            domains: Changed in place.
            known: The cells whose digit has been struck out already; changed in place.
            drawn: Cells left with one digit are told here.

        Returns:
            The contradiction, if there is one.
        """
        scene = self.scene
        fresh = True
        while fresh:
            fresh = False
            for cell in self.cells:
                if domains[cell].bit_count() != 1 or cell in known:
                    continue
                known.add(cell)
                for other in self.cells:
                    if (
                        other != cell
                        and domains[other] & domains[cell]
                        and scene.differ(other, cell) is not None
                    ):
                        if domains[other] == domains[cell]:
                            link = Link(breaks=True, clash=(other, cell), digit=domains[cell].bit_length())
                            return Drawn(link, frozenset((cell, other)), frozenset())
                        domains[other] &= ~domains[cell]
                        fresh = True
                        link = Link(left={other: domains[other]})
                        silent = domains[other].bit_count() > 1
                        drawn.append(Drawn(link, frozenset((cell, other)), frozenset((other,)), silent))
        return None

    def next(self, domains: list[int], known: set[int]) -> Drawn | None:
        """Give the easiest inference: a contradiction, else a digit placed, else the narrowest cell."""
        best: tuple[tuple[int, int, int], Drawn] | None = None
        forced: dict[int, Drawn] = {}
        ends: Drawn | None = None
        for place, move in enumerate(self.moves):
            drawn = self._draw(move, domains)
            if drawn is None:
                continue
            if drawn.link.breaks:
                ends = ends or drawn
                continue
            clash = self._clash(drawn, forced)
            if clash is not None:
                return clash
            narrow = min(mask.bit_count() for mask in drawn.link.left.values())
            rank = (narrow, len(drawn.link.left), place)
            if best is None or rank < best[0]:
                best = rank, drawn
        del known
        if ends is not None:
            return ends
        return best[1] if best is not None else None

    def _clash(self, drawn: Drawn, forced: dict[int, Drawn]) -> Drawn | None:
        """Give the contradiction where two inferences force one digit into two cells that see each other."""
        for cell, mask in drawn.link.left.items():
            if mask & (mask - 1):
                continue
            for other, earlier in forced.items():
                if (
                    other != cell
                    and earlier.link.left[other] == mask
                    and self.scene.differ(cell, other) is not None
                ):
                    pair = (min(cell, other), max(cell, other))
                    link = Link(breaks=True, clash=pair, digit=mask.bit_length())
                    return Drawn(link, drawn.used | earlier.used, frozenset())
            forced[cell] = drawn
        return None

    def _draw(self, move: _Move, domains: list[int]) -> Drawn | None:
        if move.house is not None:
            return self._house(move, domains)
        after, _ = self.frame.model.shows(move.ids, domains, NODES)
        used = frozenset(cell for cell in move.cells if domains[cell] != self.scene.full)
        if any(not after[cell] for cell in move.cells):
            known = {cell: domains[cell] for cell in move.cells}
            return Drawn(
                Link(move.source, breaks=True, known=known, primitive=move.primitive), used, frozenset()
            )
        left = {cell: after[cell] for cell in move.cells if after[cell] != domains[cell]}
        if not left:
            return None
        single = {cell: mask for cell, mask in left.items() if mask.bit_count() == 1}
        if single:
            left = single
        return Drawn(Link(move.source, left), used, frozenset(left))

    def _house(self, move: _Move, domains: list[int]) -> Drawn | None:
        used = frozenset(move.cells)
        for digit in range(1, self.scene.n + 1):
            bit = 1 << (digit - 1)
            places = [cell for cell in move.cells if domains[cell] & bit]
            if not places:
                return Drawn(Link(move.source, house=move.house, digit=digit, breaks=True), used, frozenset())
            if len(places) == 1 and domains[places[0]] != bit:
                (cell,) = places
                return Drawn(
                    Link(move.source, {cell: bit}, house=move.house, digit=digit),
                    used - {cell},
                    frozenset({cell}),
                )
        return None


@dataclass(frozen=True)
class _Move:
    """A primitive with what the certificate says differs among its cells; or a whole house."""

    source: Source
    ids: list[int]
    cells: tuple[int, ...]
    house: int | None = None
    primitive: object = None


def _moves(scene: Scene) -> list[_Move]:
    frame = scene.frame
    moves: list[_Move] = []
    apart = [held for held in scene.helds if isinstance(held.primitive, AllDifferent)]
    indexes = {source: index for index, (_, source) in enumerate(frame.houses)}
    for held in scene.helds:
        (source, *_) = held.sources
        if isinstance(held.primitive, AllDifferent):
            if len(held.cells) == scene.n and source in indexes:
                moves.append(_Move(source, [], held.cells, house=indexes[source]))
            continue
        beside = _restricted(scene, apart, set(held.cells))
        moves.append(_Move(source, [held.id, *(h.id for h in beside)], held.cells, primitive=held.primitive))
    return moves


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


def _needed(drawn: list[Drawn]) -> list[Drawn]:
    """Keep the links that the last one rests on; a clash says itself what its two cells would be."""
    clash = set(drawn[-1].link.clash or ())
    kept = [drawn[-1]]
    wanted = set(drawn[-1].used)
    for step in reversed(drawn[:-1]):
        if step.changed & wanted:
            kept.append(step)
            wanted |= step.used
    return [
        step
        for step in kept[::-1]
        if not step.silent and not (clash and step.changed and step.changed <= clash)
    ]


# Telling


def plans(scene: Scene) -> Iterator[Plan]:
    """Tell a step as one short story for each digit ruled out, where there are one or two."""
    step = scene.step
    teller = Teller(scene)
    if len(teller.moves) > 1:
        yield from _forwards(scene, teller)
    if step.places or not step.removes:
        return
    by_digit: dict[int, list[int]] = {}
    for cell, removed in step.removes.items():
        for digit in digits_of(removed):
            by_digit.setdefault(digit, []).append(cell)
    if len(step.removes) == 1 and len(by_digit) > 1:
        yield from _at_once(scene, teller)
    if len(by_digit) > 3:
        return
    stories = []
    for digit, cells in by_digit.items():
        drawn = teller.follow(cells, 1 << (digit - 1))
        if drawn is None or len(drawn) > LINKS:
            return
        stories.append((digit, tuple(cells), drawn))
    yield from _told(scene, stories)


def _forwards(scene: Scene, teller: Teller) -> Iterator[Plan]:
    """Tell how one inference leads to the next, and these to the conclusion."""
    drawn = teller.forward()
    if drawn is None or not 2 <= len(drawn) <= LINKS:
        return
    results = set(scene.results)
    known = Struck(scene, sorted({c for d in drawn for c in d.used}))
    clauses = known.told()
    look = tuple(sorted({c for source in scene.clue_sources for c in scene.clue(source).scope}))
    ends = conclusion(scene, scene.results)
    brief = say("{}.", ends)
    *before, last = drawn
    first = [clause(scene, d.link) for d in before]
    if last.changed <= results and len(results) <= 3:
        tail = ends
    else:
        first.append(clause(scene, last.link))
        tail = ends
    body = _flow(first)
    opener = [join(clauses)] if clauses else []
    yield Plan((*opener, *body, say("so {}", tail)), brief, look)
    if len(body) == 1:
        yield Plan((*opener, say("{}, so {}", body[0], tail)), brief, look)
        if clauses:
            yield Plan((say("{}, so {}", join(clauses), body[0]), say("so {}", tail)), brief, look)


def _at_once(scene: Scene, teller: Teller) -> Iterator[Plan]:
    """Suppose all the digits ruled out of one cell at once: "if the circle were below 6"."""
    ((cell, removed),) = scene.step.removes.items()
    left = scene.results[cell]
    gone = digits_of(removed)
    ref = result_ref(scene, (cell,))
    low = min(digits_of(left)) if left else 0
    high = max(digits_of(left)) if left else 0
    if gone[-1] < low:
        supposed = (1 << (low - 1)) - 1
        text, end = say("if {} were below {}", ref, low), say("so it is {} or more", low)
    elif gone[0] > high:
        supposed = scene.full & ~((1 << high) - 1)
        text, end = say("if {} were above {}", ref, high), say("so it is {} at most", high)
    elif len(gone) <= 3:
        supposed = removed
        text, end = (
            say("if {} were {}", ref, grammar.digits(gone)),
            say("so it is {}", "neither" if len(gone) == 2 else "none of those"),
        )
    else:
        return
    supposed &= scene.domain(cell)
    drawn = teller.follow([cell], supposed)
    if drawn is None or len(drawn) > LINKS:
        return
    if len(drawn) == 1 and empty_end(clause(scene, drawn[0].link)):
        return
    known = Struck(scene, sorted({c for d in drawn for c in d.used} - {cell}))
    clauses = known.told()
    opener = [join(clauses)] if clauses else []
    body = _flow([clause(scene, d.link) for d in drawn])
    look = tuple(sorted({c for source in scene.clue_sources for c in scene.clue(source).scope}))
    brief = say("{} {}.", ref, says(left, scene.full))
    yield Plan(
        (
            *opener,
            say("{}, {}", text, body[0]),
            *body[1:-1],
            *([say("{}, {}", body[-1], end)] if len(body) > 1 else [end]),
        ),
        brief,
        look,
    )
    if len(body) == 1:
        yield Plan((*opener, say("{}, {}: {}", text, body[0], end)), brief, look)


def _told(scene: Scene, stories: list[tuple[int, tuple[int, ...], list[Drawn]]]) -> Iterator[Plan]:
    if all(len(drawn) == 1 and empty_end(clause(scene, drawn[0].link)) for _, _, drawn in stories):
        return
    known = Struck(
        scene, sorted({c for s in stories for d in s[2] for c in d.used} - {c for s in stories for c in s[1]})
    )
    clauses = known.told()
    look = tuple(sorted({c for source in scene.clue_sources for c in scene.clue(source).scope}))
    refs = [_where(scene, cells) for _, cells, _ in stories]
    brief = say(
        "{}.", join([say("{} can't be {}", result_ref(scene, cells), digit) for digit, cells, _ in stories])
    )
    if len(stories) == 1:
        ((digit, cells, drawn),) = stories
        told = [clause(scene, d.link) for d in drawn]
        no = say("so no {} there", digit)
        opener = [join(clauses)] if clauses else []
        put = say("With {} {}", grammar.a(str(digit)), refs[0])
        body = _flow(told)
        yield Plan(
            (
                *opener,
                say("{}, {}", put, body[0]),
                *body[1:-1],
                *([say("{}, {}", body[-1], no)] if len(body) > 1 else [no]),
            ),
            brief,
            look,
        )
        yield Plan(
            (
                *opener,
                say("Try {} {}", grammar.a(str(digit)), refs[0]),
                *(say("Then {}", b) if i == 0 else b for i, b in enumerate(body)),
            ),
            brief,
            look,
        )
        if len(told) == 1:
            yield Plan(
                (
                    say(
                        "{}{}, {}: {}",
                        say("{}, and with ", join(clauses)) if clauses else "With ",
                        say("{} {}", grammar.a(str(digit)), refs[0]),
                        body[0],
                        no,
                    ),
                ),
                brief,
                look,
            )
        return
    sentences: list[Phrase] = [join(clauses)] if clauses else []
    many = len({cells for _, cells, _ in stories}) > 1
    told_all: list[Phrase] = []
    for (digit, cells, drawn), ref in zip(stories, refs, strict=True):
        where = say("in {}", result_ref(scene, cells)) if many and len(cells) == 1 else ref
        told = [clause(scene, d.link) for d in drawn]
        told_all.append(say("with {} {}, {}", grammar.a(str(digit)), where, join(told)))
    while len(sentences) + len(told_all) > 3 and len(told_all) > 1:
        *rest, a, b = told_all
        told_all = [*rest, say("{}, and {}", a, b)]
    yield Plan((*sentences, *told_all), brief, look)


def _where(scene: Scene, cells: tuple[int, ...]) -> Phrase:
    if len(cells) == 1:
        ref = result_ref(scene, cells)
        if ref.noun:
            return (scene.names.here(cells[0]),)
        return say("in {}", ref)
    ref = scene.names.called(
        cells, "any of these" if len(cells) > 2 else "either of these", "result", many=True
    )
    written = f"in {'any' if len(cells) > 2 else 'either'} of {ref.written}"
    return (Ref(f"in {ref.spoken}", written, cells, "result"),)


def _flow(told: list[Phrase]) -> list[Phrase]:
    """Join clauses to sentences of at most about 22 words: "a, b, and then c"."""
    sentences: list[list[Phrase]] = [[]]
    length = 4
    from saywhy.reasoning.words.plan import words

    for phrase in told:
        size = words([phrase])
        if sentences[-1] and (length + size > 22 or len(sentences[-1]) == 3):
            sentences.append([])
            length = 0
        sentences[-1].append(phrase)
        length += size + 1
    return [
        join(parts, "and", ", ") if len(parts) < 3 else say("{}, {}, and {}", *parts) for parts in sentences
    ]
