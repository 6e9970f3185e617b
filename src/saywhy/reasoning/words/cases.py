"""
Either way: a clue with few ways left, or a cell with two digits left, each followed to the same end.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from saywhy.primitives import digits_of
from saywhy.reasoning.words import ends, grammar
from saywhy.reasoning.words.balance import Balance
from saywhy.reasoning.words.chains import Follower, follower_of, needed, told
from saywhy.reasoning.words.clauses import clause
from saywhy.reasoning.words.clauses import clauses as told_clauses
from saywhy.reasoning.words.linear import leaves
from saywhy.reasoning.words.links import Link
from saywhy.reasoning.words.moves import Drawn
from saywhy.reasoning.words.plan import Phrase, Plan, join, say, spoken
from saywhy.reasoning.words.results import conclusion, enough
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.reasoning.words.story import concludes
from saywhy.reasoning.words.supposing import strung

#: Most cases told, and most links in one.
CASES, LINKS = 3, 3
#: How vague a telling is that lights what its cases start from and does not say it.
LIT = 1.0


@dataclass(frozen=True)
class Case:
    """
    One case followed.

    Attributes:
        name: What is supposed: "2 and 3", "5".
        digits: The same.
        links: What follows, in order.
        broken: Whether it ends in a contradiction, not in the conclusion.
    """

    name: str
    digits: frozenset[int]
    links: tuple[Drawn, ...]
    broken: bool


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans that tell a step case by case."""
    if not scene.clue_sources:
        return
    follower = follower_of(scene)
    for source in scene.clue_sources:
        for balance in Balance.of(scene, source):
            yield from _ways(scene, follower, balance)
    cells = {cell for held in scene.helds for cell in held.cells}
    twos = [
        cell for cell in sorted(cells) if scene.domain(cell).bit_count() == 2 and cell not in scene.standing
    ]
    for cell in twos[:4]:
        yield from _cell(scene, follower, cell)


def _ways(scene: Scene, follower: Follower, balance: Balance) -> Iterator[Plan]:
    """Case by case over the few sets of digits that a sum may take."""
    if not balance.one_sided or not 2 <= len(balance.open) <= 4:
        return
    kept = balance.cells.making(balance.amount)
    if not 2 <= len(kept) <= CASES or len(kept) * len(balance.open) > 6:
        return
    cases = []
    for way in kept:
        mask = sum({1 << (digit - 1) for digit in way})
        case = _follow(scene, follower, dict.fromkeys(balance.open, mask), grammar.listed(way))
        if case is None:
            return
        cases.append(case)
    lead = leaves(balance)
    ways = [case.name for case in cases]
    listed = grammar.listed(ways, "or") if len(balance.open) == 2 else ", or ".join(ways)
    head = say("{}: {}", lead, listed) if lead else say("{} is {}", balance.whole, listed)
    struck = Struck(scene, balance.open, own=False)
    raw = balance.cells.raw().making(balance.amount)
    clauses = struck.told(balance.open) if len(raw) > len(kept) else []
    yield from _told(scene, head, clauses, cases, set(balance.open), balance.look)


def _cell(scene: Scene, follower: Follower, cell: int) -> Iterator[Plan]:
    """Case by case over a cell with two digits."""
    cases = []
    for digit in digits_of(scene.domain(cell)):
        case = _follow(scene, follower, {cell: 1 << (digit - 1)}, str(digit))
        if case is None:
            return
        cases.append(case)
    this = scene.names.cells([cell], "because")
    clauses = Struck(scene, [cell]).clauses([cell])
    if len(clauses) > 2:
        clauses = []
    head = say("{} is {}", this, grammar.listed([case.name for case in cases], "or"))
    yield from _told(
        scene,
        head,
        clauses,
        cases,
        {cell},
        tuple(sorted({c for held in scene.helds for c in held.cells if c in scene.facts})),
    )


def _follow(scene: Scene, follower: Follower, supposed: dict[int, int], name: str) -> Case | None:
    """Follow one case until the conclusion or a contradiction; None if neither is met soon."""
    domains = follower.start()
    digits = frozenset(digit for mask in supposed.values() for digit in digits_of(mask))
    for cell, mask in supposed.items():
        domains[cell] &= mask
        if not domains[cell]:
            return None
    drawn: list[Drawn] = []
    # Digits shared by as many cells as they are go from all that see these.
    union = 0
    for mask in supposed.values():
        union |= mask
    group = tuple(supposed)
    if len(group) > 1 and union.bit_count() == len(group) and scene.different(group):
        for cell in follower.cells:
            if cell not in group and all(scene.differ(cell, other) is not None for other in group):
                before = domains[cell]
                domains[cell] &= ~union
                if domains[cell] != before:
                    silent = domains[cell].bit_count() > 1
                    link = Link(left={cell: domains[cell]})
                    drawn.append(Drawn(link, frozenset((*group, cell)), frozenset((cell,)), silent))
    empty = next((cell for cell in follower.cells if not domains[cell]), None)
    if empty is not None:
        end = Drawn(Link(breaks=True, empty=empty), frozenset((*group, empty)), frozenset())
        return Case(name, digits, (end,), broken=True)

    def shown(left: Mapping[int, int]) -> bool:
        return enough(scene, {cell: left.get(cell, scene.full) for cell in scene.results}, exact=False)

    results = set(scene.results)
    if shown({cell: domains[cell] for cell in follower.cells}):
        return Case(name, digits, tuple(told(needed(drawn, results))), broken=False)
    chain = follower.chain(domains, shown)
    if chain is not None:
        return Case(name, digits, tuple(told(needed([*drawn, *chain], results))), broken=False)
    chain = follower.chain(domains)
    if chain is None:
        return None
    return Case(name, digits, tuple(told(needed([*drawn, *chain]))), broken=True)


def _told(  # noqa: PLR0913, PLR0917 - a list of cases
    scene: Scene,
    head: Phrase,
    clauses: list[Phrase],
    cases: list[Case],
    spoken_of: set[int],
    look: tuple[int, ...],
) -> Iterator[Plan]:
    if any(len(case.links) > LINKS for case in cases) or all(case.broken for case in cases):
        return
    if any(
        case.broken and ends.is_empty(clause(scene, case.links[-1].link)) and len(case.links) == 1
        for case in cases
    ):
        return
    opener = say("{}, so {}", join(clauses), head) if clauses else head
    brief = say("{}.", conclusion(scene, scene.results))
    bodies = _bodies(scene, cases, spoken_of)
    for middle, vague in _starts(scene, clauses, cases, spoken_of):
        for body in bodies:
            yield Plan((opener, *middle, *body), brief, look, vague=vague)
        if clauses and bodies and not middle:
            yield Plan((join(clauses), say("so {}", head), *bodies[-1]), brief, look, vague=vague)


def _starts(
    scene: Scene, clauses: list[Phrase], cases: list[Case], spoken_of: set[int]
) -> list[tuple[list[Phrase], float]]:
    """Give what the cases start from, said or merely lit, and how vague that is."""
    used = {cell for case in cases for d in case.links for cell in d.used} - spoken_of
    struck = Struck(scene, sorted(used))
    said = {spoken(phrase) for phrase in clauses}
    more = [phrase for phrase in struck.told() if spoken(phrase) not in said] if struck.short else []
    dim = any(concludes(scene, d) for case in cases if not case.broken for d in case.links)
    found: list[tuple[list[Phrase], float]] = [([join(more)], 0.0)] if more else []
    if struck and dim:
        return found  # What is merely lit would be all the reason there is.
    return [*found, ([], LIT if struck else 0.0)]


def _bodies(scene: Scene, cases: list[Case], spoken_of: set[int]) -> list[tuple[Phrase, ...]]:
    """Give the sentences in which cases and conclusion may be told."""
    shown = conclusion(scene, scene.results)
    stories = [strung(told_clauses(scene, [d.link for d in case.links])) for case in cases]
    parts = [
        say("with {}, {}", case.name, told_) for case, told_ in zip(cases, stories, strict=True) if told_
    ]
    left = [case for case in cases if not case.broken]
    if len(left) == 1:
        rest = _beyond(scene, spoken_of, left[0])
        end = say("so {}", shown) if rest is None else say("so it is {}, and {}", left[0].name, rest)
        last = end
    else:
        either = "either way" if len(left) == 2 else "every time"
        end = say("{} {}", either, shown)
        last = say("so {}", end)
        if len(cases) == len(parts) and len({spoken(told_) for told_ in stories}) == 1:
            if any(set(scene.results) <= d.changed for d in cases[0].links):
                return []  # That would only say the conclusion twice.
            parts = [say("{} {}", either, stories[0])]
            end = last = say("so {}", shown)
    if not parts:
        return [(end,)] if len(left) > 1 else []
    found: list[tuple[Phrase, ...]] = []
    for body in ([join(parts)], parts) if len(parts) > 1 else (parts,):
        found += [(*body, end), (*body[:-1], say("{}, {}", body[-1], last))]
    return found


def _beyond(scene: Scene, spoken_of: set[int], case: Case) -> Phrase | None:
    """Give what follows for other cells than those that a case is about; None where all is to be said."""
    if len(spoken_of) < 2 or set(scene.results) <= spoken_of:
        return None
    named = [mask for cell, mask in scene.results.items() if cell in spoken_of]
    exact = all(set(digits_of(mask)) == case.digits for mask in named)
    return conclusion(scene, scene.results, said=spoken_of if exact else ())
