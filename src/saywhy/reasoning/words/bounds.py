"""Bounds: the least or the most that some cells make bounds the others."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.balance import Balance, arithmetic, plan_of
from saywhy.reasoning.words.denial import denied
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say, written
from saywhy.reasoning.words.results import enough
from saywhy.reasoning.words.sights import Struck
from saywhy.reasoning.words.ways import Cells


@dataclass(frozen=True)
class Bound:
    """
    One cell's bound from one side.

    Attributes:
        cell: The cell.
        most: Whether it is an upper bound.
        value: The bound.
        rest: The cells beside it on its side.
        rest_digits: Digits with which these are least (most: the cell is bounded above) or greatest.
        other: The cells of the other side.
        other_digits: Digits with which these are greatest (or least).
    """

    cell: int
    most: bool
    value: int
    rest: tuple[int, ...]
    rest_digits: tuple[int, ...]
    other: tuple[int, ...]
    other_digits: tuple[int, ...]


def plans(balance: Balance) -> Iterator[Plan]:
    """Give the plans of a step that bounds explain, all but perhaps one digit."""
    scene, step = balance.scene, balance.scene.step
    found: list[Bound] = []
    shown: dict[int, int] = {}
    over: list[tuple[int, int]] = []
    for cell in {**step.places, **step.removes}:
        if cell not in balance.open:
            return
        mask = scene.domain(cell)
        gone = mask & ~(1 << (step.places[cell] - 1)) if cell in step.places else step.removes[cell] & mask
        for most in (True, False):
            one = _bound(balance, cell, most=most)
            if one is None:
                return
            beyond = scene.full & ~((1 << one.value) - 1) if most else (1 << (one.value - 1)) - 1
            if gone & beyond:
                found.append(one)
                mask &= ~beyond
        shown[cell] = mask
        over += [(cell, digit) for digit in digits_of(gone & mask)]
    if not found or len(over) > 1:
        return
    extra: list[Phrase] = []
    for cell, digit in over:
        story = denied(balance, cell, digit)
        if story is None or len(story[0]) > 1:
            return
        shown[cell] &= ~(1 << (digit - 1))
        extra.append(join([*story[0], story[1]]))
    if enough(scene, shown):
        yield from _told(balance, found, shown, extra)


def _bound(balance: Balance, cell: int, *, most: bool) -> Bound | None:
    scene = balance.scene
    own, other = (balance.plus, balance.minus) if cell in balance.plus else (balance.minus, balance.plus)
    constant = balance.total if cell in balance.plus else -balance.total
    rest = tuple(c for c in own if c != cell)
    rest_digits = Cells(scene, rest).extreme(most=not most) if rest else ()
    other_digits = Cells(scene, other).extreme(most=most) if other else ()
    if rest_digits is None or other_digits is None:
        return None
    value = constant + sum(other_digits) - sum(rest_digits)
    value = min(value, scene.n) if most else max(value, 1)
    return Bound(cell, most, value, rest, rest_digits, other, other_digits) if 1 <= value <= scene.n else None


def _told(balance: Balance, found: list[Bound], shown: dict[int, int], extra: list[Phrase]) -> Iterator[Plan]:
    """Say the bounds: those of a cell alone on its side first, then those of a side of several."""
    used = {c for one in found for c in (*one.rest, *one.other) if c in balance.open}
    used |= {one.cell for one in found if not _alone(balance, found, one.cell, shown)}
    clauses = Struck(balance.scene, sorted(used), own=False).told(balance.open)
    said: list[Phrase] = []
    ends: list[Phrase] = []
    for group in _grouped(found):
        end = join([_end(balance, same, shown) for same in _same(group)])
        ends.append(end)
        mixed = len({one.value for one in group}) > 1
        why = _why(balance, group)
        if not why:
            return  # A sum of one cell.
        said.append(say("{} {}" if mixed else "{}, so {}", why, end))
    # What a bound says itself need not be said before it.
    told = " ".join(map(written, said))
    clauses = [part for part in clauses if written(part).removeprefix("by now ") not in told]
    lead = [part for part in (balance.lead, join(clauses)) if part]
    brief = say("{}.", ends[0])
    sentences = [*lead, *said, *extra]
    yield plan_of(balance, sentences, brief)
    if len(said) == 1 and not extra and len({one.value for one in found}) == 1:
        yield plan_of(balance, [*lead, _why(balance, _grouped(found)[0]), say("so {}", ends[0])], brief)
    if len(sentences) > 3 and len(said) > 1:
        yield plan_of(balance, [*lead, say("{}, and {}", said[0], said[1]), *said[2:], *extra], brief)


def _alone(balance: Balance, found: list[Bound], cell: int, shown: dict[int, int]) -> bool:
    """Say whether its bounds alone leave a cell what is said of it, or only a bound is said."""
    full = balance.scene.full
    left = full
    for one in found:
        if one.cell == cell:
            below = (1 << (one.value - (not one.most))) - 1
            left &= below if one.most else full & ~below
    return shown[cell].bit_count() > 2 or shown[cell] == left


def _grouped(found: list[Bound]) -> list[list[Bound]]:
    """Group bounds of one side and one direction; a cell alone on its side comes first."""
    groups: dict[tuple[bool, tuple[int, ...], bool], list[Bound]] = {}
    for one in found:
        groups.setdefault((bool(one.rest), one.other, one.most), []).append(one)
    return [group for _, group in sorted(groups.items(), key=lambda item: (item[0][0], item[0][2]))]


def _same(group: list[Bound]) -> list[list[Bound]]:
    """Group bounds of one value."""
    values: dict[int, list[Bound]] = {}
    for one in group:
        values.setdefault(one.value, []).append(one)
    return [values[value] for value in sorted(values)]


def _why(balance: Balance, group: list[Bound]) -> Phrase:
    """Say why: "the shaft makes at least 1 + 2 = 3", "the circle is 9 at most"."""
    first = group[0]
    far, near = ("at most", "at least") if first.most else ("at least", "at most")
    parts: list[Phrase] = []
    if first.other:
        parts.append(_extreme(balance, first.other, first.other_digits, far))
    if not first.rest:
        return join(parts)
    if len({one.value for one in group}) > 1:
        # Each of them is bounded by what the others of its side take.
        beside = "with the least beside them" if first.most else "with the most beside them"
        if parts:
            return say("{}, and {}", parts[0], beside)
        return say("{} {}, {}", "in" if "cage" in balance.noun else "on", balance.whole, beside)
    trivial = len(group) > 1 and len(first.rest) == 1 and first.rest_digits[0] == 1
    if first.other and first.most and trivial:
        return join(parts)
    standing = [cell for cell in first.rest if cell not in balance.open]
    if first.other and len(standing) == len(first.rest):
        digits = grammar.listed([f"the {balance.scene.standing[cell]}" for cell in standing])
        parts.append(say("{} {} beside it", digits, "stands" if len(standing) == 1 else "stand"))
        return join(parts)
    who = _rest(balance, group, first.rest)
    plain = len(first.rest) == 1 and first.rest[0] in balance.open
    shown = str(first.rest_digits[0]) if plain else arithmetic(sorted(first.rest_digits))
    verb = "is" if plain else "make" if len(first.rest) > 1 else "makes"
    text = say("{} {} {} {}", who, verb, near, shown)
    if not first.other:
        text = say("{} {}, {}", "in" if "cage" in balance.noun else "on", balance.whole, text)
    parts.append(text)
    return join(parts)


def _end(balance: Balance, group: list[Bound], shown: dict[int, int]) -> Phrase:
    """Say the bound of cells with one value: "this cell is 8 at most", "neither of these two is above 8"."""
    scene, one = balance.scene, group[0]
    beyond = "above" if one.most else "below"
    cells = tuple(bound.cell for bound in group)
    only = {bound.cell: digits_of(shown[bound.cell]) for bound in group}
    if len(cells) > 1 and len({tuple(left) for left in only.values()}) == 1 and len(only[one.cell]) == 1:
        ref = scene.names.cells(cells, "result")
        both = "both" if len(cells) == 2 else "all"
        return say("{} are {} {}", ref, both, only[one.cell][0])
    if len(cells) > 1:
        if set(cells) == set(balance.open) and not balance.minus and not balance.standing(balance.plus):
            return say("nothing is {} {}{}", beyond, one.value, Ref("", "", cells, "result"))
        ref = balance.name(cells, "result")
        if ref.definite:
            return say("nothing on {} is {} {}", ref, beyond, one.value)
        return say("{} of {} is {} {}", "neither" if len(cells) == 2 else "none", ref, beyond, one.value)
    this = balance.name(cells, "result")
    left = only[one.cell]
    if len(left) <= 2:
        return say("{} is {}", this, grammar.digits(left))
    return say("{} is {}", this, f"{one.value} at most" if one.most else f"{one.value} or more")


def _rest(balance: Balance, group: Sequence[Bound], rest: Sequence[int]) -> Phrase:
    """Name the cells beside the bounded one: "the other two", "the 7 and that cell"."""
    held = tuple(rest)
    written = balance.scene.names.written(held)
    standing = [cell for cell in rest if cell not in balance.open]
    loose = [cell for cell in rest if cell in balance.open]
    if len(group) > 1 or not standing:
        if len(rest) == 1:
            noun = "circle" if balance.name(held).noun == "circle" else "cell"
            return (Ref(f"the other {noun}", written, held),)
        return (Ref(f"the other {grammar.count(len(rest))}", written, held, many=True),)
    if not loose:
        return say("{}", grammar.listed([f"the {balance.scene.standing[cell]}" for cell in standing]))
    if len(standing) == 1 and len(loose) == 1:
        return say("the {} and {}", balance.scene.standing[standing[0]], balance.name(loose))
    return (Ref(f"the other {grammar.count(len(rest))}", written, held, many=True),)


def _extreme(balance: Balance, cells: Sequence[int], digits: Sequence[int], far: str) -> Phrase:
    """Say the least or the most of one side: "the line makes at least 1 + 2 = 3"."""
    ref = balance.side(cells)
    if all(cell in balance.scene.standing for cell in cells):
        return balance.makes(cells)
    if len(cells) == 1 and cells[0] in balance.scene.step.places:
        return say("{} is then {}", ref, balance.scene.step.places[cells[0]])
    if len(cells) == 1:
        return say("{} is {}", ref, f"{digits[0]} at most" if far == "at most" else f"at least {digits[0]}")
    return say("{} {} {} {}", ref, ref.verb("makes", "make"), far, arithmetic(sorted(digits)))
