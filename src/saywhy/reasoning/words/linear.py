"""Sums in words: what is left over, options and partners."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from saywhy.primitives import AllDifferent, digits_of
from saywhy.reasoning.words import bounds, denial, grammar, needs, pairs, sides
from saywhy.reasoning.words.balance import Balance, arithmetic, plan_of, ways_said
from saywhy.reasoning.words.pairs import Setting, Tie
from saywhy.reasoning.words.plan import VAGUE, Phrase, Plan, Ref, join, say, words
from saywhy.reasoning.words.results import conclusion, enough
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.reasoning.words.ways import Cells

#: Most options that are listed.
OPTIONS = 4


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step at one clue that is a sum."""
    (source,) = scene.clue_sources
    for balance in Balance.of(scene, source):
        yield from of_balance(balance)


def of_balance(balance: Balance) -> Iterator[Plan]:
    """Give the plans of a step that one sum explains."""
    for build in (
        left_over,
        options,
        partner,
        sides.plans,
        bounds.plans,
        denial.plans,
        plainly,
    ):
        yield from build(balance)


# The amount left for the open cells of one side


def leaves(balance: Balance) -> Phrase:
    """Say what the digits on the board leave: "the 4 leaves eleven of the 15 cage"; empty if none stands."""
    if balance.lead:
        return balance.lead
    amount = balance.amount
    plus = balance.standing(balance.plus)
    if balance.open_plus and not balance.minus:
        return _takes(plus, balance.whole, amount)
    own, other = (balance.plus, balance.minus) if balance.open_plus else (balance.minus, balance.plus)
    beside = balance.standing(own)
    if not beside:
        return balance.makes(other)
    ref = balance.side(own)
    has = _sum_of(beside)
    return say(
        "{} and {} {} {}, which leaves {}",
        balance.makes(other),
        ref,
        ref.verb("has", "have"),
        has,
        grammar.count(amount),
    )


def _sum_of(digits: Sequence[int]) -> str:
    if len(digits) == 1:
        return grammar.a(str(digits[0]))
    return arithmetic(digits)


def _takes(standing: list[int], whole: Ref, amount: int) -> Phrase:
    if not standing:
        return ()
    if len(standing) == 1:
        return say("the {} leaves {} of {}", standing[0], grammar.count(amount), whole)
    if len(standing) <= 3:
        return say("{} leave {} of {}", grammar.listed(standing), grammar.count(amount), whole)
    return say("{} has {} already, which leaves {}", whole, sum(standing), amount)


def left_over(balance: Balance) -> Iterator[Plan]:  # noqa: PLR0911 - a list of cases
    """One open cell: it takes what is left."""
    if len(balance.open) != 1:
        return
    (cell,) = balance.open
    amount = balance.amount
    if not 1 <= amount <= balance.scene.n or not enough(balance.scene, {cell: 1 << (amount - 1)}):
        return
    this = balance.name([cell], "result")
    brief = say("{} takes what is left: {}.", this, amount)
    if balance.lead:
        yield plan_of(balance, [balance.lead], brief)
        return
    whole = balance.whole
    if not balance.minus:
        standing = balance.standing(balance.plus)
        if not standing:
            if this.noun == "piece":
                return  # The rule has its own words for a piece of one cell.
            yield plan_of(
                balance, [say("{} is one cell: {}", whole, this), say("it holds the {}", amount)], brief
            )
            yield plan_of(balance, [say("alone in {}, {} is {}", whole, this, amount)], brief)
            return
        last = Ref("the last cell" if len(standing) > 1 else "the other", this.written, (cell,), "result")
        if len(standing) <= 3:
            yield plan_of(
                balance, [say("{} has {}, so {} is {}", whole, grammar.with_a(standing), last, amount)], brief
            )
            yield plan_of(
                balance,
                [say("{} already stand in {}: {} is {}", grammar.with_a(standing), whole, last, amount)]
                if len(standing) > 1
                else [say("With the {} in {}, {} is {}", standing[0], whole, last, amount)],
                brief,
            )
        else:
            yield plan_of(
                balance, [say("{} has {} already, so {} is {}", whole, sum(standing), last, amount)], brief
            )
            yield plan_of(
                balance,
                [say("All but one of {} make {}: {} is {}", whole, sum(standing), last, amount)],
                brief,
            )
        return
    own, other = (balance.plus, balance.minus) if cell in balance.plus else (balance.minus, balance.plus)
    beside = balance.standing(own)
    if not beside:
        yield plan_of(balance, [say("{}, so {} is {}", balance.makes(other), this, amount)], brief)
        return
    ref = balance.side(own)
    last = Ref("the last cell" if len(own) > 2 else "the other", this.written, (cell,), "result")
    yield plan_of(
        balance,
        [
            say(
                "{}, and {} of it stands on {}: {} is {}",
                balance.makes(other),
                _sum_of_plain(beside),
                ref,
                last,
                amount,
            )
        ]
        if len(own) > 2
        else [say("{}, so beside the {} {} is {}", balance.makes(other), beside[0], last, amount)],
        brief,
    )
    beside_them = f"the {beside[0]}" if len(beside) == 1 else grammar.with_a(beside)
    yield plan_of(
        balance,
        [
            say(
                "beside {}, {} makes it {}: {} {}",
                beside_them,
                this,
                sum(balance.standing(other)),
                "it is",
                amount,
            )
        ],
        brief,
    )


def _sum_of_plain(digits: Sequence[int]) -> str:
    return str(digits[0]) if len(digits) == 1 else arithmetic(digits)


# Options


def options(balance: Balance) -> Iterator[Plan]:
    """A few ways to make the amount, all but some of them struck out."""
    scene, cells = balance.scene, balance.cells
    if not balance.one_sided or len(balance.open) < 2:
        return
    amount = balance.amount
    shown = cells.left(amount)
    if not enough(scene, shown):
        return
    raw = cells.raw().making(amount)
    kept = [way for way in raw if cells.fits(way)]
    lead = leaves(balance)
    count = len(balance.open)
    if kept and len(kept) * count <= 6 and len(kept) < len(raw):
        yield from _onlyways_said(balance, kept, shown, lead)
    if not kept or len(raw) > OPTIONS or len(raw) * count > 6:
        return
    different = cells.all_different
    # The ways, said as a list.
    said = ways_said(raw)
    number = _amount(balance)
    who = f"{grammar.count(count)} different digits" if different else f"{grammar.count(count)} digits"
    if lead:
        subject = balance.rest(balance.open, balance.plus if balance.open_plus else balance.minus)
        head = (
            [say("{}: {}", lead, said)]
            if len(raw) > 1 or count > 2
            else [say("{}, and that is {}", lead, said)]
        )
        alternatives = [
            [say("{} for {}: {}", lead, subject, said)],
            head,
        ]
        if balance.minus and not balance.standing(balance.plus if balance.open_plus else balance.minus):
            alternatives = [
                [
                    say(
                        "{}, so {} {} {}",
                        lead,
                        balance.side(balance.open),
                        balance.side(balance.open).verb("is", "are"),
                        said,
                    )
                ]
            ]
    elif len(raw) == 1:
        alternatives = [
            [say("{} that make {}: only {}", who, amount, said)],
            [say("{} can only be {}", balance.whole, said)],
        ]
    else:
        only = "" if len(raw) > 2 else "only "
        alternatives = [
            [say("{} is {} {} or {}", number, only, *_two(raw))]
            if len(raw) == 2
            else [say("{} is {}", number, said)],
            [say("{} make {} as {}", who, number, said)],
            [say("{} takes {}", balance.whole, said)],
        ]
    for head in alternatives:
        yield from _struck_out(balance, head, raw, kept, shown)


def _onlyways_said(
    balance: Balance, kept: list[tuple[int, ...]], shown: dict[int, int], lead: Phrase
) -> Iterator[Plan]:
    """Many ways to make the amount, few of them left: name these alone."""
    scene = balance.scene

    def still(left: Mapping[int, int]) -> bool:
        held = Cells(scene, balance.open, [left[cell] for cell in balance.open])
        return held.making(balance.amount) == kept and enough(scene, held.left(balance.amount))

    start = needs.lead(scene, balance.open, still, room=1 if lead else 2)
    if not start:
        return
    beyond = _beyond(balance, kept, shown)
    brief = say("{} from {} cells: {}.", balance.amount, grammar.count(len(balance.open)), ways_said(kept))
    ways = ways_said(kept)
    first = [say("{}, and {}", lead, start[0])] if lead else start
    only = say("that leaves only {} to make {}", ways, _amount(balance))
    end = say("{}, so {}", only, beyond) if beyond else only
    yield plan_of(balance, [*first, end], brief)
    if lead:
        yield plan_of(balance, [lead, *start, end], brief)
    # What is known of the cells may be too much to say; then it is merely lit.
    held = scene.names.cells(balance.open)
    lit = say("with what is left in {}, only {} make {}", held, ways, grammar.count(balance.amount))
    plan = plan_of(balance, [lead, lit, say("so {}", beyond) if beyond else ()], brief)
    yield replace(plan, vague=words(start) / VAGUE + 0.6)


def _amount(balance: Balance) -> Ref:
    """Give the amount in words; written, with the cells that make it, which the spoken voice has lit."""
    number = grammar.count(balance.amount)
    held = balance.scene.names.written(balance.open)
    return Ref(number, f"{number} in {held}", tuple(balance.open))


def _two(raw: Sequence[Sequence[int]]) -> list[str]:
    return [grammar.listed(way) for way in raw]


def _struck_out(
    balance: Balance,
    head: list[Phrase],
    raw: list[tuple[int, ...]],
    kept: list[tuple[int, ...]],
    shown: dict[int, int],
) -> Iterator[Plan]:
    scene = balance.scene
    gone = [way for way in raw if way not in kept]
    struck = Struck(scene, balance.open, own=False)
    clauses = struck.told(balance.open)
    brief = (
        say("{} from {} cells: {}.", balance.amount, grammar.count(len(balance.open)), ways_said(kept))
        if len(kept) <= 2
        else say("{}.", conclusion(scene, shown))
    )
    beyond = _beyond(balance, kept, shown)
    tail = say("so {}", beyond) if beyond else ()
    if not clauses:
        if gone:
            return
        yield plan_of(balance, [*head, tail], brief)
        if tail:
            yield plan_of(balance, [*head[:-1], say("{}, {}", head[-1], tail)], brief)
        return
    if not gone:
        if tail:
            yield plan_of(balance, [*head, say("{}, {}", join(clauses), tail)], brief)
        elif enough(scene, balance.cells.raw().left(balance.amount)):
            yield plan_of(balance, head, brief)
        return
    if (
        tail
        and len(kept) == 1
        and all(cell in scene.step.places for cell in balance.open if cell in scene.results)
    ):
        # The order is settled as well.
        yield plan_of(balance, [*head, say("{}: {}", join(clauses), conclusion(scene, shown))], brief)
        return
    left = say("{}", ways_said(kept))
    if len(raw) > 1:
        yield plan_of(balance, [*head, say("{}: {}", join(clauses), left), *([tail] if tail else [])], brief)
        if not tail:
            yield plan_of(balance, [*head[:-1], say("{}, and {}: {}", head[-1], join(clauses), left)], brief)
        else:
            yield plan_of(balance, [*head, say("{}, so {}", join(clauses), conclusion(scene, shown))], brief)


def _beyond(balance: Balance, kept: list[tuple[int, ...]], shown: dict[int, int]) -> Phrase:
    """Say what the step concludes beyond the ways that are left: the order of a pair, say."""
    scene = balance.scene
    union = sum(1 << (digit - 1) for digit in {digit for way in kept for digit in way})
    parts: list[Phrase] = []
    lacking: dict[int, list[int]] = {}
    for cell in balance.open:
        if cell in scene.step.places:
            parts.append(say("{} is {}", balance.name([cell], "result"), scene.step.places[cell]))
        elif cell in scene.step.removes and scene.step.removes[cell] & union:
            lacking.setdefault(union & ~shown[cell], []).append(cell)
    for mask, cells in lacking.items():
        ref = balance.name(cells, "result")
        left = digits_of(union & ~mask)
        if len(left) == 1:
            parts.append(say("{} {} {}", ref, ref.verb("is", "are"), left[0]))
        elif len(left) <= 2:
            parts.append(say("{} {} {}", ref, ref.verb("is", "are"), grammar.digits(left)))
        else:
            parts.append(
                say("{} {} no {}", ref, ref.verb("has", "have"), grammar.listed(digits_of(mask), "or"))
            )
    return join(parts) if parts else ()


# Partners: two open cells


def partner(balance: Balance) -> Iterator[Plan]:
    """Two open cells on one side: a digit out of one takes its partner out of the other."""
    if not balance.one_sided or len(balance.open) != 2:
        return
    scene, amount = balance.scene, balance.amount
    a, b = balance.open
    size = scene.n
    table = tuple(1 << (amount - d - 1) if 1 <= amount - d <= size else 0 for d in range(1, size + 1))
    apart = scene.differ(a, b) is not None
    setting = Setting(balance.across, leaves(balance), balance.look, apart)
    yield from pairs.plans(scene, Tie(a, b, table), setting)


def plainly(balance: Balance) -> Iterator[Plan]:
    """What the other cells may be, and so what makes the sum come out: for steps of one clue alone."""
    scene = balance.scene
    if scene.step.idea != "clue" or balance.lead or len(balance.scene.results) > 3:
        return
    if sum(not isinstance(held.primitive, AllDifferent) for held in scene.frame.of(balance.source)) > 1:
        return
    others = [cell for cell in balance.open if cell not in scene.results] or list(balance.open)
    lead = leaves(balance) if balance.one_sided else ()
    own = Struck(scene, sorted(scene.results), own=False)
    lit = Ref("", "", own.because, "because")
    ends = conclusion(scene, scene.results)
    if not balance.one_sided:
        yield from sides.compared(balance, others, lit, ends)
        return
    start = needs.lead(scene, others, balance.shows, room=1 if lead else 2)
    purpose = f"to make {grammar.count(balance.amount)}"
    opener = [say("{}, and {}", lead, start[0])] if lead and start else [lead] if lead else start
    yield Plan(
        (*opener, say("{}{}, {}", purpose, lit, ends)),
        say("{}.", ends),
        balance.look,
        vague=1.4,
    )
