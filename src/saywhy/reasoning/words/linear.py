"""Sums in words: what is left over, options, bounds, balances and partners."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar, pairs
from saywhy.reasoning.words.balance import Balance, arithmetic
from saywhy.reasoning.words.pairs import Setting, Tie
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say, spoken
from saywhy.reasoning.words.results import conclusion, enough, groups
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
    for build in (left_over, options, partner, difference, bound, deny):
        yield from build(balance)


def _plan(balance: Balance, sentences: Sequence[Phrase], brief: Phrase) -> Plan:
    return Plan(tuple(part for part in sentences if part), brief, balance.look)


def _upper(phrase: Phrase) -> Phrase:
    return phrase


# The amount left for the open cells of one side


def leaves(balance: Balance) -> Phrase:
    """Say what the digits on the board leave for the open cells: "the 4 leaves 11"; empty if nothing stands."""
    if balance.lead:
        return balance.lead
    amount = balance.amount
    plus = balance.standing(balance.plus)
    if balance.open_plus and not balance.minus:
        return _takes(balance, plus, balance.whole, amount)
    own, other = (balance.plus, balance.minus) if balance.open_plus else (balance.minus, balance.plus)
    beside = balance.standing(own)
    if not beside:
        return balance.makes(other)
    ref = balance.side(own)
    has = _sum_of(beside)
    return say("{} and {} has {}, so {} is left", balance.makes(other), ref, has, amount)


def _sum_of(digits: Sequence[int]) -> str:
    if len(digits) == 1:
        return grammar.a(str(digits[0]))
    return arithmetic(digits)


def _takes(balance: Balance, standing: list[int], whole: Ref, amount: int) -> Phrase:
    if not standing:
        return ()
    if len(standing) == 1:
        return say("the {} leaves {} of {}", standing[0], amount, whole)
    if len(standing) <= 3:
        return say("{} leave {} of {}", grammar.listed(standing), amount, whole)
    return say("{} has {} already, which leaves {}", whole, sum(standing), amount)


def left_over(balance: Balance) -> Iterator[Plan]:
    """One open cell: it takes what is left."""
    if len(balance.open) != 1:
        return
    (cell,) = balance.open
    amount = balance.amount
    if not 1 <= amount <= balance.scene.n or not enough(balance.scene, {cell: 1 << (amount - 1)}):
        return
    this = balance.name([cell], "result")
    brief = say("{} is what is left, {}.", this, amount)
    if balance.lead:
        yield _plan(balance, [balance.lead], brief)
        return
    whole = balance.whole
    if not balance.minus:
        standing = balance.standing(balance.plus)
        if not standing:
            yield _plan(
                balance, [say("{} is one cell: {}", whole, this), say("it holds the {}", amount)], brief
            )
            yield _plan(balance, [say("alone in {}, {} is {}", whole, this, amount)], brief)
            return
        last = Ref("the last cell" if len(standing) > 1 else "the other", this.written, (cell,), "result")
        if len(standing) <= 3:
            yield _plan(balance, [say("{} has {}, so {} is {}", whole, _and(standing), last, amount)], brief)
            yield _plan(
                balance,
                [say("{} already stand in {}: {} is {}", _and(standing), whole, last, amount)]
                if len(standing) > 1
                else [say("With the {} in {}, {} is {}", standing[0], whole, last, amount)],
                brief,
            )
        else:
            yield _plan(
                balance, [say("{} has {} already, so {} is {}", whole, sum(standing), last, amount)], brief
            )
            yield _plan(
                balance,
                [say("All but one of {} make {}: {} is {}", whole, sum(standing), last, amount)],
                brief,
            )
        return
    own, other = (balance.plus, balance.minus) if cell in balance.plus else (balance.minus, balance.plus)
    beside = balance.standing(own)
    if not beside:
        yield _plan(balance, [say("{}, so {} is {}", balance.makes(other), this, amount)], brief)
        return
    ref = balance.side(own)
    last = Ref("the last cell" if len(own) > 2 else "the other", this.written, (cell,), "result")
    yield _plan(
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
    yield _plan(
        balance,
        [
            say(
                "{} is left on {} once {}: {} is {}",
                amount,
                ref,
                say("{} is taken from {}", sum(beside), sum(balance.standing(other))),
                this,
                amount,
            )
        ],
        brief,
    )


def _sum_of_plain(digits: Sequence[int]) -> str:
    return str(digits[0]) if len(digits) == 1 else arithmetic(digits)


def _and(digits: Sequence[int]) -> str:
    return grammar.a(str(digits[0])) if len(digits) == 1 else grammar.listed(digits)


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
        yield from _only_ways(balance, kept, shown, lead)
    if not kept or len(raw) > OPTIONS or len(raw) * count > 6:
        return
    different = cells.all_different
    # The ways, said as a list.
    said = _ways(raw)
    number = grammar.count(amount)
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


def _only_ways(
    balance: Balance, kept: list[tuple[int, ...]], shown: dict[int, int], lead: Phrase
) -> Iterator[Plan]:
    """Many ways to make the amount, few of them left: name these alone."""
    scene = balance.scene
    clauses = Struck(scene, balance.open, own=False).told(balance.open)
    if not clauses:
        return
    beyond = _beyond(balance, kept, shown)
    brief = say("{}: {}.", balance.amount, _ways(kept))
    ways = _ways(kept)
    first = say("{}, and {}", lead, join(clauses)) if lead else join(clauses)
    only = say("that leaves only {} to make {}", ways, balance.amount)
    for text in (only,):
        yield _plan(balance, [first, say("{}, so {}", text, beyond) if beyond else text], brief)


def _two(raw: Sequence[Sequence[int]]) -> list[str]:
    return [grammar.listed(way) for way in raw]


def _ways(raw: Sequence[Sequence[int]]) -> str:
    """List ways: "5 and 9 or 6 and 8", "1, 2 and 6, or 1, 3 and 5"."""
    shown = [grammar.listed(_doubled(way)) for way in raw]
    if len(shown) > 1 and any(len(way) > 2 for way in raw):
        return ", or ".join(shown)
    return grammar.listed(shown, "or")


def _doubled(way: Sequence[int]) -> list[str]:
    if len(way) == 2 and way[0] == way[1]:
        return [f"two {way[0]}s"]
    return [str(digit) for digit in way]


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
        say("{} from {}: {}.", balance.amount, grammar.count(len(balance.open)), _ways(kept))
        if len(kept) <= 2
        else say("{}.", conclusion(scene, shown))
    )
    beyond = _beyond(balance, kept, shown)
    tail = say("so {}", beyond) if beyond else ()
    if not clauses:
        if gone:
            return
        yield _plan(balance, [*head, tail], brief)
        if tail:
            yield _plan(balance, [*head[:-1], say("{}, {}", head[-1], tail)], brief)
        return
    if not gone:
        if tail:
            yield _plan(balance, [*head, say("{}, {}", join(clauses), tail)], brief)
        return
    if (
        tail
        and len(kept) == 1
        and all(cell in scene.step.places for cell in balance.open if cell in scene.results)
    ):
        # The order is settled as well.
        yield _plan(balance, [*head, say("{}: {}", join(clauses), conclusion(scene, shown))], brief)
        return
    left = say("{}", _ways(kept))
    if len(raw) > 1:
        yield _plan(balance, [*head, say("{}: {}", join(clauses), left), *([tail] if tail else [])], brief)
        if not tail:
            yield _plan(balance, [*head[:-1], say("{}, and {}: {}", head[-1], join(clauses), left)], brief)
        else:
            yield _plan(balance, [*head, say("{}, so {}", join(clauses), conclusion(scene, shown))], brief)


def _beyond(balance: Balance, kept: list[tuple[int, ...]], shown: dict[int, int]) -> Phrase:
    """Say what the step concludes beyond the ways that are left: the order of a pair, a digit that one cell lacks."""
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


def difference(balance: Balance) -> Iterator[Plan]:
    """One open cell on each side: they differ by a known amount."""
    scene = balance.scene
    if len(balance.open_plus) != 1 or len(balance.open_minus) != 1:
        return
    (a,), (b,) = balance.open_plus, balance.open_minus
    gap = balance.gap
    if gap < 0:
        a, b, gap = b, a, -gap
    # a is gap more than b.
    low, high = scene.domain(b), scene.domain(a)
    shown = {b: low & (high >> gap), a: high & (low << gap) & scene.full}
    if not enough(scene, shown):
        return
    extra = balance.standing(balance.minus if a in balance.plus else balance.plus)
    taken = balance.standing(balance.plus if a in balance.plus else balance.minus)
    first, second = balance.name([a]), balance.name([b])
    standing = _because_standing(balance, a, extra, taken)
    relation = (
        say("{} equals {}", first, second) if gap == 0 else say("{} is {} more than {}", first, gap, second)
    )
    told = say("{}, so {}", standing, relation) if standing else relation
    brief = say("{}.", relation)
    ends = conclusion(scene, shown)
    clauses = Struck(scene, [a, b], own=False).told([a, b])
    if clauses:
        yield _plan(balance, [told, say("{}, so {}", join(clauses), ends)], brief)
        yield _plan(balance, [told, join(clauses), say("so {}", ends)], brief)
    else:
        yield _plan(balance, [say("{}: {}", told, ends)], brief)
        yield _plan(balance, [told, say("so {}", ends)], brief)
    size = scene.n
    table = tuple(1 << (d + gap - 1) if d + gap <= size else 0 for d in range(1, size + 1))
    yield from pairs.plans(scene, Tie(b, a, table), Setting("with it", told, balance.look))


def _because_standing(balance: Balance, a: int, extra: list[int], taken: list[int]) -> Phrase:
    mine = balance.side(balance.plus if a in balance.plus else balance.minus)
    other = balance.side(balance.minus if a in balance.plus else balance.plus)
    parts = []
    if extra:
        parts.append(say("{} {} {}", other, other.verb("has", "have"), _and(extra)))
    if taken:
        parts.append(say("{} {} {}", mine, mine.verb("has", "have"), _and(taken)))
    return join(parts)


# Bounds


def bound(balance: Balance) -> Iterator[Plan]:
    """The least or the most that some cells make bounds the others."""
    scene = balance.scene
    found = groups(scene, scene.results)
    texts: list[tuple[list[Phrase], Phrase]] = []
    shown: dict[int, int] = {}
    for cells, _ in found:
        one = _bound_for(balance, cells)
        if one is None:
            return
        sentences, end, mask = one
        for cell in cells:
            shown[cell] = mask
        texts.append((sentences, end))
    if not texts or not enough(scene, shown):
        return
    brief = say("{}.", texts[0][1])
    lead: list[Phrase] = [balance.lead] if balance.lead else []
    for sentences, _ in texts:
        # What is seen is said once, for all of them together.
        if len(sentences) == 2 and sentences[0] not in lead:
            lead.append(sentences[0])
    if len(texts) == 1:
        yield _plan(balance, [*lead, say("{}, so {}", texts[0][0][-1], texts[0][1])], brief)
        yield _plan(balance, [*lead, texts[0][0][-1], say("so {}", texts[0][1])], brief)
        return
    if len(lead) > (2 if balance.lead else 1):
        used = Struck(scene, balance.open, own=False)
        lead = [*([balance.lead] if balance.lead else []), join(used.told(balance.open))]
    by_why: dict[Phrase, list[Phrase]] = {}
    for sentences, end in texts:
        by_why.setdefault(sentences[-1], []).append(end)
    said = [say("{}, so {}", why, join(ends)) for why, ends in by_why.items()]
    said.sort(key=lambda phrase: "at most" in spoken(phrase))
    if len(lead) + len(said) <= 3:
        yield _plan(balance, [*lead, *said], brief)
    # The shaft's cells all rest on the same most of the other side: one sentence for them all.
    yield from _far_side(balance, found, texts, lead, shown, brief)


def _far_side(
    balance: Balance,
    found: list[tuple[tuple[int, ...], int]],
    texts: list[tuple[list[Phrase], Phrase]],
    lead: list[Phrase],
    shown: dict[int, int],
    brief: Phrase,
) -> Iterator[Plan]:
    """Bounds of several cells of one side, each less what the others take."""
    del shown
    alone, sided = [], []
    for (cells, _), (sentences, end) in zip(found, texts, strict=True):
        own = balance.plus if cells[0] in balance.plus else balance.minus
        (alone if len(own) == 1 else sided).append((cells, sentences, end))
    if len(sided) < 2 or len(alone) > 1:
        return
    own = balance.plus if sided[0][0][0] in balance.plus else balance.minus
    other = balance.minus if own == balance.plus else balance.plus
    if any(cells[0] not in own for cells, _, _ in sided) or not other:
        return
    if any("at most" not in spoken(end) and "above" not in spoken(end) for _, _, end in sided):
        return
    digits = Cells(balance.scene, other).extreme(most=True)
    if digits is None:
        return
    said = [say("{}, so {}", sentences[-1], end) for _, sentences, end in alone]
    reach = _extreme_words(balance, other, digits, "at most")
    said.append(say("{}, so with the least beside them {}", reach, join([end for _, _, end in sided])))
    if len(lead) + len(said) <= 3:
        yield _plan(balance, [*lead, *said], brief)


def _bound_for(balance: Balance, cells: tuple[int, ...]) -> tuple[list[Phrase], Phrase, int] | None:
    """Give the reason, the end and the digits left for cells that all have the same bound."""
    scene = balance.scene
    if any(cell not in balance.open for cell in cells):
        return None
    target = cells[0]
    own, other = (balance.plus, balance.minus) if target in balance.plus else (balance.minus, balance.plus)
    constant = balance.total if target in balance.plus else -balance.total
    if any(cell not in own for cell in cells):
        return None
    for most in (True, False):
        one = _one_bound(balance, cells, own, other, constant, most=most)
        if one is not None:
            return one
    return None


def _one_bound(
    balance: Balance,
    targets: tuple[int, ...],
    own: Sequence[int],
    other: Sequence[int],
    constant: int,
    *,
    most: bool,
) -> tuple[list[Phrase], Phrase, int] | None:
    """Bound the targets from above (most) or from below."""
    scene = balance.scene
    limits = []
    for target in targets:
        rest = tuple(cell for cell in own if cell != target)
        rest_digits = Cells(scene, rest).extreme(most=not most) if rest else ()
        other_digits = Cells(scene, other).extreme(most=most) if other else ()
        if rest_digits is None or other_digits is None:
            return None
        limits.append((constant + sum(other_digits) - sum(rest_digits), rest, rest_digits, other_digits))
    value = limits[0][0]
    if any(limit[0] != value for limit in limits) or not 1 <= value <= scene.n:
        return None
    gone = scene.full & ~((1 << value) - 1) if most else (1 << (value - 1)) - 1
    if not gone:
        return None
    mask = scene.domain(targets[0]) & ~gone
    for target in targets:
        allowed = scene.domain(target) & ~gone
        if allowed != mask:
            return None
        if target in scene.step.places:
            if allowed != 1 << (scene.step.places[target] - 1):
                return None
        elif scene.step.removes[target] & allowed:
            return None
    _, rest, rest_digits, other_digits = limits[0]
    several = len(targets) > 1
    sentence = _bound_words(balance, targets, rest, rest_digits, other, other_digits, most=most)
    used = Struck(scene, [c for c in (*rest, *other) if c in balance.open], own=False)
    clauses = used.told(balance.open)
    sentences = [*([join(clauses)] if clauses else []), sentence]
    return sentences, _bound_end(balance, targets, value, mask, gone, most=most, several=several), mask


def _bound_end(
    balance: Balance, targets: tuple[int, ...], value: int, mask: int, gone: int, *, most: bool, several: bool
) -> Phrase:
    scene = balance.scene
    beyond = "above" if most else "below"
    if several:
        if set(targets) == set(balance.open) and not balance.minus and not balance.standing(balance.plus):
            lit = Ref("", "", tuple(targets), "result")
            return say("nothing is {} {}{}", beyond, value, lit)
        ref = scene.names.cells(targets, "result")
        return say("{} of {} is {} {}", "neither" if len(targets) == 2 else "none", ref, beyond, value)
    this = balance.name(targets, "result")
    if not mask & (mask - 1):
        return say("{} is {}", this, mask.bit_length())
    if mask.bit_count() <= 2 and mask != scene.full & ~gone:
        return say("{} is {}", this, grammar.digits(digits_of(mask)))
    return say("{} is {}", this, f"{value} at most" if most else f"{value} or more")


def _bound_words(
    balance: Balance,
    targets: tuple[int, ...],
    rest: Sequence[int],
    rest_digits: Sequence[int],
    other: Sequence[int],
    other_digits: Sequence[int],
    *,
    most: bool,
) -> Phrase:
    far, near = ("at most", "at least") if most else ("at least", "at most")
    parts: list[Phrase] = []
    if other:
        parts.append(_extreme_words(balance, other, other_digits, far))
    if other and len(targets) > 1 and len(rest) == 1 and rest_digits[0] == 1 and most:
        return join(parts)
    if rest:
        who = _rest_name(balance, targets, rest)
        plain = len(rest) == 1 and rest[0] in balance.open
        makes = ("is", "are") if plain else ("makes", "make")
        shown = str(rest_digits[0]) if plain else arithmetic(sorted(rest_digits))
        text = say(
            "{} {} {} {}",
            who,
            who[-1].verb(*makes) if isinstance(who[-1], Ref) and len(who) == 1 else makes[len(rest) > 1],
            near,
            shown,
        )
        if not other:
            where = "in" if "cage" in balance.noun else "on"
            text = say("{} {}, {}", where, balance.whole, text)
        parts.append(text)
    return join(parts)


def _rest_name(balance: Balance, targets: tuple[int, ...], rest: Sequence[int]) -> Phrase:
    """Name the cells beside the bounded one: "the other two", "the 7 and that cell"."""
    written = balance.scene.names.written(rest)
    held = tuple(rest)
    standing = [cell for cell in rest if cell not in balance.open]
    loose = [cell for cell in rest if cell in balance.open]
    if len(targets) > 1 or not standing:
        if len(rest) == 1:
            noun = "circle" if balance.name(held).noun == "circle" else "cell" if len(targets) == 1 else ""
            return (Ref(f"the other {noun}".strip(), written, held),)
        return (Ref(f"the other {grammar.count(len(rest))}", written, held, many=True),)
    digits = grammar.listed([f"the {balance.scene.standing[cell]}" for cell in standing])
    if not loose:
        return say("{}", digits)
    if len(standing) == 1 and len(loose) == 1:
        return say("the {} and {}", balance.scene.standing[standing[0]], balance.name(loose))
    return (Ref(f"the other {grammar.count(len(rest))}", written, held, many=True),)


def _extreme_words(balance: Balance, cells: Sequence[int], digits: Sequence[int], far: str) -> Phrase:
    """Say the least or the most of one side: "the circle is 9 at most", "the line makes at least 1 + 2 = 3"."""
    ref = balance.side(cells)
    if all(cell in balance.scene.standing for cell in cells):
        return balance.makes(cells)
    if len(cells) == 1:
        return say("{} is {}", ref, f"{digits[0]} at most" if far == "at most" else f"at least {digits[0]}")
    return say("{} {} {} {}", ref, ref.verb("makes", "make"), far, arithmetic(sorted(digits)))


# Denying a digit


def deny(balance: Balance) -> Iterator[Plan]:
    """Put a digit that is gone in its cell and see the sum fail."""
    scene = balance.scene
    if scene.step.places or len(scene.step.removes) != 1 or balance.lead:
        return
    ((cell, removed),) = scene.step.removes.items()
    tried = digits_of(removed)
    if len(tried) > 2 or cell not in balance.open:
        return
    stories = []
    for digit in tried:
        story = _denied(balance, cell, digit)
        if story is None:
            return
        stories.append(story)
    this = balance.name([cell], "result")
    brief = say("{} has no {}.", this, grammar.listed(tried, "or"))
    if len(stories) == 1:
        head, end = stories[0]
        no = say("so no {} there", tried[0])
        yield _plan(balance, [*head, say("{}, {}", end, no)], brief)
        if len(head) <= 1:
            yield _plan(balance, [*head, end, no], brief)
        return
    (h1, e1), (h2, e2) = stories
    yield _plan(balance, [say("{}: {}", join(h1), e1), say("{}: {}", join(h2), e2)], brief)


def _denied(balance: Balance, cell: int, digit: int) -> tuple[list[Phrase], Phrase] | None:
    """Tell why one digit fails in a cell: the opening and the failure."""
    scene = balance.scene
    this = balance.name([cell], "result")
    own, other = (balance.plus, balance.minus) if cell in balance.plus else (balance.minus, balance.plus)
    constant = balance.total if cell in balance.plus else -balance.total
    bit = 1 << (digit - 1)

    def domain(c: int) -> int:
        if c == cell:
            return bit
        if scene.differ(c, cell) is not None:
            return scene.domain(c) & ~bit
        return scene.domain(c)

    def cells(group: Sequence[int]) -> Cells:
        return Cells(scene, group, [domain(c) for c in group])

    open_other = [c for c in other if c in balance.open]
    rest = [c for c in own if c in balance.open and c != cell]
    put = (
        say("with {} in {}", grammar.a(str(digit)), this)
        if not this.spoken.startswith("the ")
        else say("with {} in {}", grammar.a(str(digit)), this)
    )
    # Everything else on one side: the options of what is left.
    if not open_other or not rest:
        group = tuple(rest or open_other)
        if not group:
            return None
        fixed_own = sum(balance.standing(own)) + digit
        fixed_other = sum(balance.standing(other))
        amount = constant + fixed_other - fixed_own if rest else fixed_own - constant - fixed_other
        found = cells(group)
        if any(found.fits(way) for way in found.making(amount)):
            return None
        name = balance.rest(group, (*group, cell))
        if set(group) == set(other):
            name = balance.side(group)
        if len(group) == 1:
            name = balance.name(group, "look", "that") if rest else balance.side(group)
            would = say("{}, {} would be {}", put, name, amount)
            if not 1 <= amount <= scene.n:
                return [], would
            why = Struck(scene, group, 1 << (amount - 1))
            reasons = why.clauses(group) + _lost_it(scene, why)
            if amount == digit and scene.differ(group[0], cell) is not None:
                return [], say("{} too, and they differ", would)
            return ([], say("{}, but {}", would, join(reasons))) if reasons else None
        would = say("{}, {} would have to make {}", put, name, amount)
        best = found.extreme(most=False)
        worst = found.extreme(most=True)
        if best is None or worst is None:
            return None
        raw = Cells(
            scene,
            group,
            [scene.full & ~bit if scene.differ(c, cell) is not None else scene.full for c in group],
        ).making(amount)
        struck = Struck(scene, group)
        clauses = struck.told(group)
        if not raw:
            return [], would
        if sum(best) > amount:
            text = say("they make at least {}", arithmetic(sorted(best)) if len(best) <= 3 else sum(best))
            return (
                ([would], say("{}, and so {}", join(clauses), text))
                if clauses
                else ([], say("{}, and {}", would, text))
            )
        if sum(worst) < amount:
            text = say("they make at most {}", arithmetic(sorted(worst)) if len(worst) <= 3 else sum(worst))
            return (
                ([would], say("{}, and so {}", join(clauses), text))
                if clauses
                else ([], say("{}, and {}", would, text))
            )
        if len(raw) <= 3 and clauses:
            return [say("{}: {}", would, _ways(raw))], say("{}", join(clauses))
        return None
    # Both sides open: the bounds decide.
    high = cells(other).extreme(most=True)
    low = cells(other).extreme(most=False)
    mine_high, mine_low = cells(own).extreme(most=True), cells(own).extreme(most=False)
    if not (high and low and mine_high and mine_low):
        return None
    struck = Struck(scene, [c for c in balance.open if c != cell])
    clauses = struck.told(balance.open)
    first = [join(clauses)] if clauses else []
    a, b = balance.side(own), balance.side(other)
    short = lambda digits: arithmetic(sorted(digits)) if len(digits) <= 3 else str(sum(digits))  # noqa: E731
    if sum(mine_low) > sum(high) + constant:
        return [*first, say("{}, {} {} at least {}", put, a, a.verb("makes", "make"), short(mine_low))], say(
            "{} {} {}",
            b,
            b.verb("reaches", "reach"),
            f"{short(high)} at best" if len(high) == 1 else f"only {sum(high)} at best",
        )
    if sum(mine_high) < sum(low) + constant:
        return [*first, say("{}, {} {} at most {}", put, a, a.verb("makes", "make"), short(mine_high))], say(
            "{} {} at least {}", b, "is" if len(low) == 1 else b.verb("makes", "make"), short(low)
        )
    return None


def _lost_it(scene: Scene, why: Struck) -> list[Phrase]:
    if not why.marked:
        return []
    ref = scene.names.cells(why.marked, "because", which="that")
    return [say("{} can't be that", ref)]


Builder = Callable[[Balance], Iterator[Plan]]
