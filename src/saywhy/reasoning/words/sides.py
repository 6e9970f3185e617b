"""Two sides of a sum compared: by how much they differ, the only ways to be equal, no room to spare."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar, pairs
from saywhy.reasoning.words.balance import Balance, arithmetic, plan_of
from saywhy.reasoning.words.needs import lead, needed
from saywhy.reasoning.words.pairs import Setting, Tie
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.results import conclusion, enough, verdict
from saywhy.reasoning.words.sights import Struck
from saywhy.reasoning.words.ways import Cells

#: Most fillings looked at where the only fits are named.
LARGEST = 12


def plans(balance: Balance) -> Iterator[Plan]:
    """Give the plans of a step that comparing the sides explains in full."""
    for build in (difference, fits, tight):
        yield from build(balance)


def relation(balance: Balance) -> tuple[Phrase, Phrase]:
    """
    Compare the open cells of the two sides: "the line makes 5 more than the other circle".

    Returns:
        The same after what stands on the sides, and alone.
    """
    gap, first, second = balance.gap, balance.open_plus, balance.open_minus
    if gap < 0:
        gap, first, second = -gap, second, first
    (a, alone, makes), (b, other_alone, other_makes) = _open_part(balance, first), _open_part(balance, second)
    parts = []
    for cells in (_side_of(balance, second), _side_of(balance, first)):
        if digits := balance.standing(cells):
            ref = balance.side(cells)
            parts.append(say("{} {} {}", ref, ref.verb("has", "have"), grammar.with_a(digits)))
    if gap:
        bare = say("{} {} {} more than {}", a, "is" if alone else makes, gap, b)
    elif alone and other_alone:
        bare = say("{} equals {}", a, b)
    elif alone:
        bare = say("{} is what {} {}", a, b, other_makes)
    elif other_alone:
        bare = say("{} is what {} {}", b, a, makes)
    else:
        bare = say("{} {} the same as {}", a, makes, b)
    return say("{}, so {}", join(parts), bare) if parts else bare, bare


def _side_of(balance: Balance, cells: Sequence[int]) -> tuple[int, ...]:
    return balance.plus if cells[0] in balance.plus else balance.minus


def _open_part(balance: Balance, cells: Sequence[int]) -> tuple[Phrase, bool, str]:
    """Name the open cells of one side, whole or the rest of it; whether they are one cell; their verb."""
    side = _side_of(balance, cells)
    if len(cells) == len(side) or len(cells) == 1:
        ref = balance.name(cells)
        return say("{}", ref), len(cells) == 1, ref.verb("makes", "make")
    return say("the rest of {}", balance.side(side)), False, "makes"


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
    told, bare = relation(balance)
    brief = say("{}.", bare)
    ends = conclusion(scene, shown)
    clauses = Struck(scene, [a, b], own=False).told([a, b])
    if clauses:
        yield plan_of(balance, [told, say("{}, so {}", join(clauses), ends)], brief)
        yield plan_of(balance, [told, join(clauses), say("so {}", ends)], brief)
    else:
        yield plan_of(balance, [say("{}: {}", told, ends)], brief)
        yield plan_of(balance, [told, say("so {}", ends)], brief)
    says_what = verdict(scene, (a,), shown[a], many=False)
    if gap and len(scene.results) == 2 and says_what.startswith("is "):
        both = say(
            "{} {}, and {} {} less",
            balance.name([a], "result"),
            says_what,
            balance.name([b], "result"),
            gap,
        )
        if clauses:
            yield plan_of(balance, [told, say("{}, so {}", join(clauses), both)], brief)
        yield plan_of(balance, [told, *([join(clauses)] if clauses else []), say("so {}", both)], brief)
    size = scene.n
    table = tuple(1 << (d + gap - 1) if d + gap <= size else 0 for d in range(1, size + 1))
    yield from pairs.plans(scene, Tie(b, a, table), Setting("with it", told, balance.look))


def fits(balance: Balance) -> Iterator[Plan]:
    """One or two equations are all that fits: name them."""
    scene = balance.scene
    if balance.one_sided or balance.lead or len(balance.plus) == len(balance.minus) == 1:
        return  # That two cells are equal is said in so many words.
    found = _fit(balance, {cell: scene.domain(cell) for cell in balance.open})
    if found is None:
        return
    equations, shown = found
    if not 1 <= len(equations) <= 2 or not enough(scene, shown):
        return
    said = [_equation(plus, minus) for plus, minus in equations]

    def still(left: Mapping[int, int]) -> bool:
        again = _fit(balance, left)
        return again is not None and again[0] == equations and enough(scene, again[1])

    ends = conclusion(scene, shown)
    brief = say("{}: {}.", grammar.listed(said, "or"), ends)
    only = say("only {} fits", said[0]) if len(said) == 1 else say("only {} fit", grammar.listed(said))
    start = lead(scene, balance.open, still)
    yield plan_of(balance, [*start, say("{}, so {}", only, ends)], brief)
    if len(start) < 2:
        yield plan_of(balance, [*start, only, say("so {}", ends)], brief)


_Equation = tuple[tuple[int, ...], tuple[int, ...]]


def _fit(balance: Balance, left: Mapping[int, int]) -> tuple[list[_Equation], dict[int, int]] | None:
    """Give the equations that fit and what they leave each open cell; None if they are many."""
    found = _fillings(balance, left)
    if found is None:
        return None
    shown = dict.fromkeys(balance.open, 0)
    equations: dict[_Equation, None] = {}
    for filling in found:
        digits = {**balance.scene.standing, **dict(zip(balance.open, filling, strict=True))}
        plus, minus = (sorted(digits[c] for c in side) for side in (balance.plus, balance.minus))
        equations[tuple(plus), tuple(minus)] = None
        for cell, digit in zip(balance.open, filling, strict=True):
            shown[cell] |= 1 << (digit - 1)
    return sorted(equations), shown


def tight(balance: Balance) -> Iterator[Plan]:
    """One side makes at least what the other makes at most: both are just that."""
    scene = balance.scene
    if balance.one_sided or balance.lead or balance.total:
        return
    for low_side, high_side in ((balance.plus, balance.minus), (balance.minus, balance.plus)):
        low = Cells(scene, low_side).extreme(most=False)
        high = Cells(scene, high_side).extreme(most=True)
        if low is None or high is None or sum(low) != sum(high):
            continue
        total = sum(low)
        shown = {**Cells(scene, low_side).left(total), **Cells(scene, high_side).left(total)}
        if not enough(scene, shown):
            continue
        clauses = Struck(scene, balance.open, own=False).told(balance.open)
        a, b = balance.side(low_side), balance.side(high_side)
        least = say(
            "{} {} at least {}",
            a,
            "is" if len(low_side) == 1 else a.verb("makes", "make"),
            arithmetic(sorted(low)) if len(low) <= 3 else total,
        )
        most = say("{} {} only {} at best", b, b.verb("reaches", "reach"), total)
        ends = conclusion(scene, shown)
        brief = say("No room to spare: {}.", ends)
        lead = [join(clauses)] if clauses else []
        yield plan_of(
            balance, [*lead, say("{} and {}", least, most), say("no room to spare, so {}", ends)], brief
        )


def compared(balance: Balance, cells: Sequence[int], lit: Ref, ends: Phrase) -> Iterator[Plan]:
    """
    Say how the sides compare, and what follows.

    Args:
        balance: The sum.
        cells: The cells whose digits matter.
        lit: Cells lit as premises.
        ends: The conclusion.
    """
    scene = balance.scene
    told, _ = relation(balance)
    brief = say("{}.", ends)
    struck = Struck(scene, cells, own=False)
    if not struck:
        yield Plan((told, say("so{} {}", lit, ends)), brief, balance.look, vague=1.4)
        return
    if not struck.short:
        struck = Struck(scene, cells, needed(scene, cells, balance.shows), own=False)
    known = join(struck.told(cells))
    for rest in ((say("{}, so{} {}", known, lit, ends),), (known, say("so{} {}", lit, ends))):
        yield Plan((told, *rest), brief, balance.look, vague=1.4)
    each = [] if struck.short else struck.known(opener="")
    if len(each) > 1:
        end = say("so{} {}", lit, ends)
        first, *more = each
        yield Plan((say("{}, and {}", told, first), join(more), end), brief, balance.look, vague=1.4)
        yield Plan((told, join(each), end), brief, balance.look, vague=1.4)
    if len(each) == 3:
        first, second, third = each
        end = say("{}, so{} {}", third, lit, ends)
        yield Plan((say("{}, and {}", told, first), second, end), brief, balance.look, vague=1.4)


def _fillings(balance: Balance, left: Mapping[int, int]) -> list[list[int]] | None:
    """Give the ways to fill the open cells with the digits left; None if they are many."""
    scene = balance.scene
    sizes = 1
    for cell in balance.open:
        sizes *= left[cell].bit_count()
    if sizes > 4000:
        return None
    signs = [1 if cell in balance.plus else -1 for cell in balance.open]
    choices = [digits_of(left[cell]) for cell in balance.open]
    apart = [
        [i for i in range(place) if scene.differ(balance.open[i], cell) is not None]
        for place, cell in enumerate(balance.open)
    ]
    found: list[list[int]] = []
    gap, size = balance.gap, len(choices)
    # What the cells from a place on can add, least and most.
    least, most = [0] * (size + 1), [0] * (size + 1)
    for place in range(size - 1, -1, -1):
        ends = signs[place] * choices[place][0], signs[place] * choices[place][-1]
        least[place], most[place] = least[place + 1] + min(ends), most[place + 1] + max(ends)

    def go(place: int, chosen: list[int], left: int) -> bool:
        if place == size:
            found.append(list(chosen))
            return len(found) <= LARGEST
        for digit in choices[place]:
            rest = left - signs[place] * digit
            if least[place + 1] <= rest <= most[place + 1] and all(chosen[i] != digit for i in apart[place]):
                chosen.append(digit)
                if not go(place + 1, chosen, rest):
                    return False
                chosen.pop()
        return True

    return found if all(choices) and go(0, [], gap) else None


def _equation(plus: tuple[int, ...], minus: tuple[int, ...]) -> str:
    left, right = (plus, minus) if len(plus) >= len(minus) else (minus, plus)
    return f"{grammar.plus(left)} = {grammar.plus(right)}"
