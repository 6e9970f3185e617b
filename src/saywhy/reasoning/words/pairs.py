"""Two cells tied by a relation: what one is known to be decides the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import VAGUE, Phrase, Plan, Ref, join, say, words
from saywhy.reasoning.words.results import conclusion, enough, result_ref, verdict
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, says

#: Pairs of digits that are listed at most.
WAYS = 3


@lru_cache(maxsize=4096)
def kind(table: tuple[int, ...]) -> str:
    """
    Name a relation by its table: ``less``, ``not more``, ``equal`` (read from a to b), the same turned round,
    or ``other``.
    """
    size = len(table)

    def same(allows: object) -> bool:
        return all(
            bool(table[x] >> y & 1) == allows(x, y)  # type: ignore[operator]
            for x in range(size)
            for y in range(size)
        )

    if same(lambda x, y: x < y):
        return "less"
    if same(lambda x, y: x > y):
        return "more"
    if same(lambda x, y: x <= y):
        return "not more"
    if same(lambda x, y: x >= y):
        return "not less"
    if same(lambda x, y: x == y):
        return "equal"
    return "other"


@lru_cache(maxsize=4096)
def turned(table: tuple[int, ...]) -> tuple[int, ...]:
    """Give the table of the same relation read from b to a."""
    size = len(table)
    return tuple(sum(1 << x for x in range(size) if table[x] >> y & 1) for y in range(size))


@dataclass(frozen=True)
class Tie:
    """A relation read from a known cell to a target: digit d allows ``table[d - 1]``."""

    known: int
    target: int
    table: tuple[int, ...]

    def image(self, mask: int) -> int:
        """Give the digits that the target may have if the known cell has one of these."""
        found = 0
        for digit in digits_of(mask):
            found |= self.table[digit - 1]
        return found

    def partners(self, digit: int) -> int:
        """Give the digits of the known cell that stand with a digit of the target."""
        return sum(1 << x for x in range(len(self.table)) if self.table[x] >> (digit - 1) & 1)

    @property
    def turned(self) -> Tie:
        """Give the same relation read the other way."""
        return Tie(self.target, self.known, turned(self.table))


@dataclass(frozen=True)
class Setting:
    """
    How the two cells are spoken of.

    Attributes:
        where: Where the partner stands: "across the dot", "in the 7 cage", "next to it".
        lead: What must be said first, such as what the shaft's other digits leave; empty if nothing.
        look: The cells lit.
        apart: Whether equal digits would repeat in a house or cage.
        unfit: What is wrong with digits that have no partner at all, of one digit and of several.
        noun: What the clue is called.
        law: What it demands of the two cells.
    """

    where: str
    lead: Phrase = ()
    look: tuple[int, ...] = ()
    apart: bool = False
    unfit: tuple[str, str] | None = None
    noun: str = ""
    law: str = ""

    @property
    def at(self) -> str:
        """Where two digits stand that go together: "across the dot", "on the whisper"."""
        return (
            self.where if self.where.startswith(("across", "in ")) or not self.noun else f"on the {self.noun}"
        )

    @property
    def opener(self) -> list[Phrase]:
        """The lead as a sentence of its own, if there is one."""
        return [self.lead] if self.lead else []


def plans(scene: Scene, tie: Tie, setting: Setting) -> Iterator[Plan]:
    """Give the plans of a step that one relation explains."""
    targets = sorted({**scene.step.places, **scene.step.removes})
    if targets in ([tie.target], [tie.known]):
        tie = tie if targets == [tie.target] else tie.turned
        image = tie.image(scene.domain(tie.known))
        shown = {tie.target: image & scene.domain(tie.target)}
        if enough(scene, shown):
            yield from mapped(scene, tie, setting, shown)
            yield from needed(scene, tie, setting, shown)
    elif targets == sorted((tie.known, tie.target)):
        yield from both(scene, tie, setting)


def either(digits: Sequence[int]) -> str:
    """Give ``a 4``, ``a 4 or an 8``."""
    return grammar.listed([grammar.a(str(digit)) for digit in digits], "or")


def mapped(scene: Scene, tie: Tie, setting: Setting, shown: dict[int, int]) -> Iterator[Plan]:
    """The known cell is a digit, one of a few, or bounded: the partner follows."""
    target, where = tie.target, setting.where
    this = result_ref(scene, (target,))
    digits = digits_of(scene.domain(tie.known))
    image = tie.image(scene.domain(tie.known))
    own = Struck(scene, [target], scene.full)
    clauses = own.told([target])
    end = verdict(scene, (target,), shown[target], many=False)
    brief = say("{} {}.", this, end)
    raw = digits_of(image)
    few = len(raw) <= 4
    fits = grammar.digits(raw) if few else says(image, scene.full).split(" ", 1)[1]
    if tie.known in scene.standing:
        name = scene.grid_name(tie.known)
        four = Ref(str(digits[0]), f"{digits[0]} in {name}", (tie.known,), "because")
        lit = Ref("", f", {scene.grid_name(target)}" if few else "", (target,), "result")
        heads = []
        if where.startswith("across"):
            heads.append(say("{} from the {} {} {}", where, four, "comes" if few else "stands", fits))
        plain = say("{} {} beside the {}", this, says(image, scene.full), four)
        heads.append(say("the {} has {} {}", four, fits, where) if few else plain)
        then = say("{}, so {} {}", join(clauses), this, end) if clauses else ()
        yield from _headed(setting, [say("{}{}", head, lit) for head in heads], then, brief)
        return
    that = scene.names.cells([tie.known], "because")
    why = Struck(scene, [tie.known])
    text = says(scene.domain(tie.known), scene.full)
    bounded = " or more" in text or "at most" in text
    brief_ = len(raw) <= 3 and grammar.number_count(text) <= 4
    if len(digits) == scene.n or (len(digits) > 4 and not bounded and not brief_):
        return
    reasons = why.clauses([tie.known])
    known = say("{} {}", that, text)
    if reasons and (len(reasons) > 1 or why.marked):
        known = join(why.known())
        reasons = []
    lead = say("{}, so {}", join(reasons), known) if reasons else known
    there = Ref("there is", f"{scene.grid_name(target)} is", (target,), "result")
    then = say("{} {} {}", where, there, fits) if few else say("{} {} {}", where, this, end)
    if clauses:
        own_lit = Ref("", "", own.because, "because")
        then = say("{} {} {}{}", where, this, end, own_lit)
        parts = [lead, then] if reasons else [say("{}, so {}", lead, then)]
        yield Plan((*setting.opener, *parts), brief, setting.look, vague=words(clauses) / VAGUE + 0.1)
        yield Plan(
            (
                *setting.opener,
                say("{}, which allows {} {}", lead, fits, where),
                say("{}, so {} {}", join(clauses), this, end),
            ),
            brief,
            setting.look,
        )
        return
    so = "{}, and {}" if reasons else "{}, so {}"
    yield Plan((*setting.opener, say(so, lead, then)), brief, setting.look)
    if reasons:
        yield Plan((*setting.opener, lead, then), brief, setting.look)


def _headed(setting: Setting, heads: Sequence[Phrase], then: Phrase, brief: Phrase) -> Iterator[Plan]:
    """Say what a digit has beside it, and then, if there is more to say, what that leaves."""
    for head in heads:
        if then:
            yield Plan((*setting.opener, say("{}, and {}", head, then)), brief, setting.look)
        yield Plan((*setting.opener, head, *([then] if then else [])), brief, setting.look)


def needed(scene: Scene, tie: Tie, setting: Setting, shown: dict[int, int]) -> Iterator[Plan]:  # noqa: PLR0911 - a list of cases
    """Each digit that is gone would need a partner that is gone."""
    target, where = tie.target, setting.where
    if scene.step.places:
        return
    every = digits_of(scene.step.removes[target] & ~shown[target])
    gone = [digit for digit in every if tie.partners(digit)]
    never = [digit for digit in every if digit not in gone]
    if not gone or (never and not setting.unfit):
        return
    this = result_ref(scene, (target,))
    that = scene.names.cells([tie.known], "because")
    wants = [digits_of(tie.partners(digit)) for digit in gone]
    union = sorted({d for want in wants for d in want})
    mask = sum(1 << (d - 1) for d in union)
    why = Struck(scene, [tie.known], mask)
    reasons = why.clauses([tie.known])
    if why.marked:
        lost = digits_of(scene.marked(tie.known) & mask)
        reasons.append(say("{} has no {}", that, grammar.listed(lost, "or")))
    repeats = [
        d for d, want in zip(gone, wants, strict=True) if want == [d] and setting.apart and not why.targets
    ]
    brief = say("{} has no {}.", this, grammar.listed(gone, "or"))
    here = scene.names.here(target)
    no = say("so no {} {}", gone[0], here)
    if len(gone) > 1:
        no = say("so {} is {}", this, "neither" if len(gone) == 2 else "none of those")
    if repeats == gone:
        yield Plan((*setting.opener, say("two {}s would repeat, {}", gone[0], no)), brief, setting.look)
        return
    if not reasons or repeats:
        return
    opener = setting.opener
    if never:
        # Some digits never have a partner; the others would want one that is gone.
        unfit = setting.unfit[len(never) > 1] if setting.unfit else ""
        first = say("{} {}", grammar.listed(never), unfit)
        want = "it" if len(union) == 1 else "one of them"
        second = say("{}, and {} would want {} {}", join(reasons), either(gone), want, where)
        yield Plan((*opener, second, say("{}, so {} is none of those", first, this)), brief, setting.look)
        return
    lit = Ref("", f", {scene.grid_name(target)}", (target,), "result")
    if all(want == [digit] for digit, want in zip(gone, wants, strict=True)):
        return  # Of equal cells there is more to say than that the digit lacks itself.
    if len(gone) > 1:
        listed = grammar.listed(gone)
        yield Plan(
            (*opener, say("{}, which leaves {} no partner {}{}", join(reasons), listed, where, lit)),
            brief,
            setting.look,
        )
        yield Plan(
            (*opener, say("{}, so {} {} no partner {}{}", join(reasons), listed, "have", where, lit)),
            brief,
            setting.look,
        )
    if len(gone) > 3:
        return
    if len(gone) == 1 or len({*map(tuple, wants)}) == 1:
        need = "needs" if len(gone) == 1 else "would need"
        yield Plan(
            (
                *opener,
                say(
                    "{} {} {} {} {}, and {}{}",
                    either(gone),
                    here,
                    need,
                    either(union),
                    where,
                    join(reasons),
                    f": no {gone[0]}" if len(gone) == 1 else "",
                ),
            ),
            brief,
            setting.look,
        )
        yield Plan(
            (
                *opener,
                say(
                    "{}, and {} would want {} {}: {}",
                    join(reasons),
                    either(gone),
                    "it" if len(union) == 1 else "one of them",
                    where,
                    no,
                ),
            ),
            brief,
            setting.look,
        )
        return
    first = say("{} would need {} {}", either(gone[:1]), either(wants[0]), where)
    rest = [say("{} {}", either([d]), either(want)) for d, want in zip(gone[1:], wants[1:], strict=True)]
    yield Plan(
        (*opener, say("{}", join([first, *rest])), say("{}, {}", join(reasons), no)), brief, setting.look
    )
    if len(reasons) == 1:
        yield Plan(
            (*opener, say("{}, but {}: {}", join([first, *rest]), reasons[0], no)), brief, setting.look
        )


def both(scene: Scene, tie: Tie, setting: Setting) -> Iterator[Plan]:  # noqa: PLR0912 - a list of cases
    """Both cells lose digits: their partners are gone on the other side, or would be the same digit twice."""
    if scene.step.places:
        return
    shown = {}
    for one in (tie, tie.turned):
        shown[one.target] = scene.domain(one.target) & one.image(scene.domain(one.known))
    if setting.apart:
        # Where the relation asks for two equal digits, neither may be that digit.
        for digit in range(1, scene.n + 1):
            for one in (tie, tie.turned):
                if one.partners(digit) == 1 << (digit - 1):
                    shown[one.target] &= ~(1 << (digit - 1))
    if not enough(scene, shown):
        return
    cells = tuple(sorted((tie.known, tie.target)))
    two = Ref("these two", scene.names.written(cells), cells, "result", many=True)
    gone = {cell: digits_of(mask & scene.domain(cell)) for cell, mask in scene.step.removes.items()}
    every = sorted({d for digits in gone.values() for d in digits})
    if not all(gone.values()):
        return
    same = len({tuple(digits) for digits in gone.values()}) == 1
    twice = [
        d
        for d in every
        if setting.apart and all(one.partners(d) == 1 << (d - 1) for one in (tie, tie.turned))
    ]
    brief = say("{}.", conclusion(scene, shown))
    neither = (
        say("neither of {} is {}", two, either(every))
        if same
        else join(
            [
                say("{} has no {}", scene.names.cells([cell], "result"), grammar.listed(digits, "or"))
                for cell, digits in sorted(gone.items())
            ]
        )
    )
    if every == twice:
        yield Plan(
            (*setting.opener, say("two {}s would repeat, so {}", twice[0], neither)), brief, setting.look
        )
        yield Plan(
            (
                *setting.opener,
                say("{} differ, so {}", Ref("these two", two.written, cells, many=True), _neither(every)),
            ),
            brief,
            setting.look,
        )
        return
    partners: dict[int, int] = {}
    for one in (tie, tie.turned):
        for digit in gone.get(one.target, []):
            if digit not in twice:
                partners[digit] = partners.get(digit, 0) | one.partners(digit)
    if any(not mask for mask in partners.values()) or len(partners) > 3:
        return
    union = 0
    for mask in partners.values():
        union |= mask
    struck = Struck(scene, cells, union)
    reasons = struck.clauses(cells)
    if struck.marked:
        ref = scene.names.cells(struck.marked, "because")
        lost = digits_of(union & scene.marked(struck.marked[0]))
        reasons.append(say("{} {} no {}", ref, ref.verb("has", "have"), grammar.listed(lost, "or")))
    if not reasons:
        return
    wants = sorted(partners)
    them = "it" if union.bit_count() == 1 else "one of them"
    also = say(", and two {}s would repeat", twice[0]) if twice else ()
    yield Plan(
        (
            *setting.opener,
            say("{}, and {} would want {} {}{}", join(reasons), either(wants), them, setting.where, also),
            say("so {}", neither),
        ),
        brief,
        setting.look,
    )


def together(scene: Scene, tie: Tie, setting: Setting) -> Iterator[Plan]:
    """Few pairs of digits are left to the two cells: "only 3 and 6 go together across the dot"."""
    cells = (tie.known, tie.target)
    fits = [
        (d, e)
        for d in digits_of(scene.domain(tie.known))
        for e in digits_of(scene.domain(tie.target) & tie.table[d - 1])
        if d != e or not setting.apart
    ]
    shown = dict.fromkeys(cells, 0)
    for two in fits:
        for cell, digit in zip(cells, two, strict=True):
            shown[cell] |= 1 << (digit - 1)
    ways = sorted({tuple(sorted(two)) for two in fits})
    if not 1 <= len(ways) <= WAYS or not enough(scene, shown):
        return
    said = [f"two {d}s" if d == e else f"{d} and {e}" for d, e in ways]
    listed = said[0] if len(said) == 1 else f"{', '.join(said[:-1])}, or {said[-1]},"
    end = conclusion(scene, shown)
    brief = say("{}.", end)
    clauses = Struck(scene, cells).told(cells)
    if not clauses and setting.law:
        yield Plan((say("{}, so {}", setting.law, end),), brief, setting.look)
        return
    body = say("only {} go together {}", listed, setting.at)
    for tail in ((say("{}, so {}", body, end),), (body, say("so {}", end))):
        yield Plan((*setting.opener, *([join(clauses)] if clauses else []), *tail), brief, setting.look)


def _neither(digits: list[int]) -> str:
    return f"neither is {grammar.a(str(digits[0]))}" if len(digits) == 1 else f"neither is {either(digits)}"
