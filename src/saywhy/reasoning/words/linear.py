"""Sums in words: what is left over, options, bounds, balances and partners."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.balance import Balance, arithmetic
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.results import conclusion, enough, groups, verdict
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.reasoning.words.ways import Cells

#: Most options that are listed.
OPTIONS = 4


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step at one clue that is a sum."""
    (source,) = scene.clue_sources
    for balance in Balance.of(scene, source):
        for build in (left_over, options, partner, difference, bound, deny):
            yield from build(balance)


def _plan(balance: Balance, sentences: Sequence[Phrase], brief: Phrase) -> Plan:
    return Plan(tuple(part for part in sentences if part), brief, balance.clue.scope)


def _upper(phrase: Phrase) -> Phrase:
    return phrase


# The amount left for the open cells of one side


def leaves(balance: Balance) -> Phrase:
    """Say what the digits on the board leave for the open cells: "the 4 leaves 11"; empty if nothing stands."""
    amount = balance.amount
    plus, minus = balance.standing(balance.plus), balance.standing(balance.minus)
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
    whole = balance.whole
    if not balance.minus:
        standing = balance.standing(balance.plus)
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
    if not kept or len(raw) > OPTIONS or len(raw) * len(balance.open) > 12:
        return
    lead = leaves(balance)
    count = len(balance.open)
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
    scene, cells = balance.scene, balance.cells
    gone = [way for way in raw if way not in kept]
    struck = Struck(scene, balance.open)
    clauses = struck.clauses(balance.open) + struck.marks()
    final = _settles(balance, kept, shown)
    brief = (
        say("{} comes from {}.", balance.amount, _ways(kept))
        if len(kept) <= 2
        else say("{}.", conclusion(scene, shown))
    )
    del cells
    if not gone and not clauses:
        plain = len(kept) == 1 and _plain_set(balance, kept[0], shown)
        tail = () if plain else say("so {}", conclusion(scene, shown))
        if plain or (len(kept) > 1 and _plain_options(balance, kept, shown)):
            yield _plan(balance, [*head[:-1], _lit(head[-1], balance)], brief)
        else:
            yield _plan(balance, [*head, tail], brief)
        return
    if clauses:
        if len(kept) == 1 and _plain_set(balance, kept[0], shown):
            yield _plan(balance, [*head, say("{}: {}", join(clauses), final)], brief)
            yield _plan(balance, [*head[:-1], say("{}, and {}: {}", head[-1], join(clauses), final)], brief)
        else:
            yield _plan(balance, [*head, say("{}, so {}", join(clauses), conclusion(scene, shown))], brief)


def _lit(phrase: Phrase, balance: Balance) -> Phrase:
    """Light the open cells as the conclusion without a word."""
    del balance
    return phrase


def _settles(balance: Balance, kept: list[tuple[int, ...]], shown: dict[int, int]) -> Phrase:
    """Say the way that is left: "6 and 8"."""
    del shown
    return say("{}", _ways(kept)) if balance else ()


def _plain_set(balance: Balance, way: tuple[int, ...], shown: dict[int, int]) -> bool:
    """Whether naming the way says all that the step concludes: no order, each cell any of its digits."""
    union = 0
    for digit in way:
        union |= 1 << (digit - 1)
    scene = balance.scene
    return all(
        cell not in scene.step.places and not scene.step.removes.get(cell, 0) & union for cell in balance.open
    ) and all(not shown[cell] & ~union for cell in balance.open)


def _plain_options(balance: Balance, kept: list[tuple[int, ...]], shown: dict[int, int]) -> bool:
    union = 0
    for way in kept:
        for digit in way:
            union |= 1 << (digit - 1)
    scene = balance.scene
    del shown
    return all(
        cell not in scene.step.places and not scene.step.removes.get(cell, 0) & union for cell in balance.open
    )


# Partners: two open cells on one side


def across(balance: Balance) -> str:
    """Say where the other of two cells is: "across the X"; "with it" where nothing better is known."""
    return balance.clue.phrases.across or "with it"


def partner(balance: Balance) -> Iterator[Plan]:
    """Two open cells that make an amount: a digit out of one takes its partner out of the other."""
    scene = balance.scene
    if not balance.one_sided or len(balance.open) != 2:
        return
    amount = balance.amount
    shown = balance.cells.left(amount)
    if not enough(scene, shown):
        return
    lead = leaves(balance)
    results = groups(scene, shown)
    place = across(balance)
    brief = say("{}.", conclusion(scene, shown))
    a, b = balance.open
    # Only a repeat is ruled out.
    concluded = {**scene.step.removes, **scene.step.places}
    gone: dict[int, list[int]] = {}
    for cell in concluded:
        already = scene.position.domain(cell)
        gone[cell] = [d for d in digits_of(already & ~shown[cell])]
    partners = {cell: [amount - d for d in digits] for cell, digits in gone.items()}
    other = {a: b, b: a}
    repeats = [d for digits in gone.values() for d in digits if 2 * d == amount]
    odd = [(cell, d) for cell, digits in gone.items() for d in digits if not 1 <= amount - d <= scene.n]
    struck = Struck(scene, balance.open)
    clauses = struck.clauses(balance.open)
    marks = struck.marks()
    ref = Ref("these two", scene.names.written(balance.open), balance.open, "result", many=True)
    if (
        repeats
        and all(2 * d == amount for digits in gone.values() for d in digits)
        and not clauses
        and not marks
    ):
        five = amount // 2
        head = (
            say("{}, and two {}s would repeat", lead, five)
            if lead
            else say("Two {}s would make the {} but repeat", five, amount)
        )
        yield _plan(balance, [say("{}: {} have no {}", head, ref, five)], brief)
        yield _plan(
            balance,
            [say("{} share a house, so they cannot split {} as {} and {}", ref, amount, five, five)],
            brief,
        )
        return
    if odd and not clauses and not marks:
        return
    # One cell known to a few digits: map them over.
    if len(results) == 1 and len(results[0][0]) == 1:
        (cell,) = results[0][0]
        from_cell = other[cell]
        known = digits_of(scene.domain(from_cell))
        this = balance.name([cell], "result")
        that = balance.name([from_cell], "because", "that")
        images = sorted(
            amount - d for d in known if 1 <= amount - d <= scene.n and shown[cell] >> (amount - d - 1) & 1
        )
        if len(known) <= 3 and len(images) == len(known) and amount not in (2 * d for d in known):
            why = Struck(scene, [from_cell])
            there = _known(scene, from_cell, balance, why)
            ordered = [amount - d for d in known]
            target = say("{} {}", this, f"is {grammar.digits(ordered)}")
            opener = [lead] if lead else []
            yield _plan(
                balance,
                [
                    *opener,
                    say("{}, so {} {}", there, place, target)
                    if place != "with it"
                    else say("{}, so {}", there, target),
                ],
                brief,
            )
            if len(ordered) > 1 and not lead:
                yield _plan(
                    balance,
                    [
                        say(
                            "{} {}: {} goes with {}",
                            there,
                            place,
                            grammar.listed(known),
                            f"{grammar.listed(ordered)}" + _respectively(known),
                        ),
                        say("so {}", target),
                    ],
                    brief,
                )
        # Few gone digits: each needs its partner.
        needs = [p for p in partners[cell] if 1 <= p <= scene.n and 2 * p != amount]
        mask = sum(1 << (p - 1) for p in needs)
        if needs and len(gone[cell]) <= 3 and all(1 <= p <= scene.n for p in partners[cell]):
            why = Struck(scene, [from_cell], mask)
            reasons = why.clauses([from_cell]) + _not_there(scene, why, mask, that)
            again = " (and two {0}s would repeat)".format(amount // 2) if repeats else ""
            want = [amount - p for p in needs]
            if reasons and not again:
                opener = [lead] if lead else []
                yield _plan(
                    balance,
                    [
                        *opener,
                        say(
                            "{}, and {} {}: {} {} no {}",
                            join(reasons),
                            _needs(want, needs),
                            place,
                            this,
                            "has",
                            grammar.listed(gone[cell], "or"),
                        ),
                    ],
                    brief,
                )
                yield _plan(
                    balance,
                    [
                        *opener,
                        say(
                            "{} {} would want {} {}: {}",
                            grammar.a(str(want[0])) if len(want) == 1 else grammar.listed(want, "or"),
                            "here",
                            grammar.a(str(needs[0])) if len(needs) == 1 else grammar.listed(needs, "or"),
                            place,
                            say(
                                "{}, so {} {}",
                                join(reasons),
                                this,
                                verdict(scene, (cell,), shown[cell], many=False),
                            ),
                        ),
                    ],
                    brief,
                )
    if clauses or marks:
        opener = [lead] if lead else []
        mates = sorted({amount - d for d in range(1, scene.n + 1) if 1 <= amount - d <= scene.n})
        del mates
        lost = sorted({p for cell in gone for p in partners[cell] if 1 <= p <= scene.n and 2 * p != amount})
        if lost and len(lost) <= 3:
            need = sorted({amount - p for p in lost})
            tail = say(", and two {}s would repeat", amount // 2) if repeats else ()
            yield _plan(
                balance,
                [
                    *opener,
                    say("{}, and {} {}{}", join([*clauses, *marks]), _needs(need, lost), place, tail),
                    say("so {}", conclusion(scene, shown)),
                ],
                brief,
            )
        yield _plan(
            balance,
            [
                *opener,
                say("{}", join([*clauses, *marks])),
                say("{} then {}", _making(balance), conclusion(scene, shown)),
            ]
            if False
            else [
                *opener,
                say(
                    "{}, which leaves {} for the {}",
                    join([*clauses, *marks]),
                    _ways([w for w in balance.cells.making(amount)]),
                    amount,
                ),
                say("so {}", conclusion(scene, shown)),
            ],
            brief,
        )


def _making(balance: Balance) -> Phrase:
    return say("To make {}", balance.amount)


def _respectively(known: Sequence[int]) -> str:
    return " in turn" if len(known) > 2 else ""


def _needs(want: Sequence[int], needs: Sequence[int]) -> str:
    """Say "3 needs that" or "3 and 4 need those"."""
    del needs
    if len(want) == 1:
        return f"{want[0]} needs it"
    return f"{grammar.listed(want)} need them"


def _known(scene: Scene, cell: int, balance: Balance, why: Struck) -> Phrase:
    """Say what a cell is known to be: "this cell is 2 or 5", with what is seen where that matters."""
    from saywhy.reasoning.words.sights import says

    that = balance.name([cell], "because", "that")
    clauses = why.clauses([cell])
    mask = scene.domain(cell)
    seen = say("{} and so ", join(clauses)) if clauses else ()
    if clauses and why.marked:
        return say("{}, which leaves {} {}", join(clauses), that, grammar.digits(digits_of(mask)))
    return (
        say("{}{} {}", seen, that, says(mask, scene.full, many=that.many))
        if clauses
        else say("{} {}", that, says(mask, scene.full, many=that.many))
    )


def _not_there(scene: Scene, why: Struck, mask: int, that: Ref) -> list[Phrase]:
    """Say that written marks have these digits gone from a cell."""
    if not why.marked:
        return []
    gone = digits_of(scene.marked(why.marked[0]) & mask)
    if not gone:
        return []
    return [say("{} {} no {}", that, that.verb("has", "have"), grammar.listed(gone, "or"))]


# A difference: one open cell on each side


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
    first, second = balance.name([a], "look"), balance.name([b], "look", "that")
    if first.spoken == second.spoken:
        second = Ref("the other", second.written, second.cells)
    standing = _because_standing(balance, a, extra, taken, gap)
    relation = (
        say("{} equals {}", first, second) if gap == 0 else say("{} is {} more than {}", first, gap, second)
    )
    struck = Struck(scene, [a, b])
    clauses = struck.clauses([a, b]) + struck.marks()
    brief = say("{}.", relation)
    ends = conclusion(scene, shown)
    why = [say("{}", join(clauses))] if clauses else []
    yield _plan(
        balance,
        [say("{}{}", say("{}, so ", standing) if standing else (), relation), *why, say("so {}", ends)],
        brief,
    )
    if clauses:
        yield _plan(
            balance,
            [
                say("{}{}", say("{}, so ", standing) if standing else (), relation),
                say("{}, so {}", join(clauses), ends),
            ],
            brief,
        )
    else:
        yield _plan(
            balance, [say("{}{}: {}", say("{}, so ", standing) if standing else (), relation, ends)], brief
        )


def _because_standing(balance: Balance, a: int, extra: list[int], taken: list[int], gap: int) -> Phrase:
    del gap
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
    if len(texts) == 1:
        sentences, end = texts[0]
        yield _plan(balance, [*sentences[:-1], say("{}, so {}", sentences[-1], end)], brief)
        if len(sentences) == 1:
            yield _plan(balance, [*sentences, say("so {}", end)], brief)
        return
    if len(texts) == 2:
        (s1, e1), (s2, e2) = texts
        if s1 == s2:
            yield _plan(balance, [*s1, say("so {}, and {}", e1, e2)], brief)
        elif len(s1) == len(s2) == 1:
            yield _plan(balance, [say("{}, so {}", s1[0], e1), say("{}, so {}", s2[0], e2)], brief)
        elif s1[0] == s2[0] and len(s1) == len(s2) == 2:
            yield _plan(balance, [s1[0], say("{}, so {}", s1[1], e1), say("{}, so {}", s2[1], e2)], brief)


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
    if any(limit[0] != value for limit in limits):
        return None
    if not 1 <= value <= scene.n:
        return None
    gone = scene.full & ~((1 << value) - 1) if most else (1 << (value - 1)) - 1
    if not gone:
        return None
    for target in targets:
        removed = scene.step.removes.get(target, scene.full & ~(1 << (scene.step.places.get(target, 1) - 1)))
        allowed = scene.domain(target) & ~gone
        if target in scene.step.places:
            if allowed != 1 << (scene.step.places[target] - 1):
                return None
        elif removed & allowed:
            return None
    mask = scene.domain(targets[0]) & ~gone
    if any(scene.domain(target) & ~gone != mask for target in targets):
        return None
    _, rest, rest_digits, other_digits = limits[0]
    this = (
        balance.name(targets, "result")
        if len(targets) == 1 or set(targets) == set(balance.open)
        else (scene.names.cells(targets, "result"))
    )
    whole_targets = len(targets) > 1
    sentences = _bound_words(
        balance, rest, rest_digits, other, other_digits, constant, most=most, several=whole_targets
    )
    used = Struck(scene, [c for c in (*rest, *other) if c in balance.open])
    clauses = used.clauses(balance.open) + used.marks()
    if clauses:
        sentences = [join(clauses), *sentences]
    if mask and not mask & (mask - 1):
        end = say("{} {} {}", this, this.verb("is", "are"), mask.bit_length())
    elif whole_targets:
        end = (
            say("none of {} is {} {}", this, "above" if most else "below", value)
            if not this.spoken.startswith("the ")
            else say("nothing {} {} fits", f"above {value}" if most else f"below {value}", "there")
        )
        if this.spoken.startswith("the "):
            end = say("nothing {} {} fits on {}", "above" if most else "below", value, this)
    else:
        end = say("{} is {}", this, f"{value} at most" if most else f"{value} or more")
        if mask.bit_count() <= 2 and mask != scene.full & ~gone:
            end = say("{} is {}", this, grammar.digits(digits_of(mask)))
    return sentences, end, mask


def _bound_words(
    balance: Balance,
    rest: Sequence[int],
    rest_digits: Sequence[int],
    other: Sequence[int],
    other_digits: Sequence[int],
    constant: int,
    *,
    most: bool,
    several: bool,
) -> list[Phrase]:
    scene = balance.scene
    far, near = ("at most", "at least") if most else ("at least", "at most")
    parts: list[Phrase] = []
    if other:
        parts.append(_extreme_words(balance, other, other_digits, far))
    if rest:
        if several:
            which = Ref(
                "the others" if len(rest) > 1 else "the other",
                scene.names.written(rest),
                tuple(rest),
                "look",
                many=len(rest) > 1,
            )
        elif len(own_open := [c for c in rest if c in balance.open]) == len(rest):
            which = balance.rest(rest, (*rest, 0))
            if len(rest) == 1:
                which = Ref("the other", which.written, which.cells)
            del own_open
        else:
            which = Ref("the rest", scene.names.written(rest), tuple(rest), many=False)
        if len(rest) == 1:
            text = say("{} is {} {}", which, near, rest_digits[0])
        elif len(rest) <= 4:
            text = say(
                "{} {} {} {}", which, which.verb("makes", "make"), near, arithmetic(sorted(rest_digits))
            )
        else:
            text = say("{} {} {} {}", which, which.verb("makes", "make"), near, sum(rest_digits))
        if not other:
            text = say("{} of the {}", text, constant) if constant else text
        parts.append(text)
    if len(parts) == 2:
        return [join(parts)]
    return parts


def _extreme_words(balance: Balance, cells: Sequence[int], digits: Sequence[int], far: str) -> Phrase:
    """Say the least or the most of one side: "the circle is 9 at most", "the line makes at least 1 + 2 = 3"."""
    ref = balance.side(cells)
    if all(cell in balance.scene.standing for cell in cells):
        return balance.makes(cells)
    if len(cells) == 1:
        return say("{} is {} {}", ref, far, digits[0])
    if len(cells) <= 4:
        return say("{} {} {} {}", ref, ref.verb("makes", "make"), far, arithmetic(sorted(digits)))
    return say("{} {} {} {}", ref, ref.verb("makes", "make"), far, sum(digits))


# Denying a digit


def deny(balance: Balance) -> Iterator[Plan]:
    """Put a digit that is gone in its cell and see the sum fail."""
    scene = balance.scene
    if scene.step.places or len(scene.step.removes) != 1:
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
        clauses = struck.clauses(group) + struck.marks()
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
    clauses = struck.clauses(balance.open) + struck.marks()
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
