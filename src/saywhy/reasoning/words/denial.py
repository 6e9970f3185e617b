"""Denying a digit: put it in its cell and see the sum fail."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from saywhy.primitives import digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.balance import Balance, arithmetic, plan_of, ways_said
from saywhy.reasoning.words.plan import Phrase, Plan, join, say
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.reasoning.words.ways import Cells


def plans(balance: Balance) -> Iterator[Plan]:
    """Put a digit that is gone in its cell and see the sum fail."""
    scene = balance.scene
    if scene.step.places or len(scene.step.removes) != 1 or balance.lead:
        return
    ((cell, removed),) = scene.step.removes.items()
    tried = digits_of(removed)
    if len(tried) > 2 or cell not in balance.open:
        return
    left = scene.results[cell]
    if len(tried) == 2 and (tried[0] > left.bit_length() or tried[1] < (left & -left).bit_length()):
        return  # How far it reaches is better said as such.
    stories = []
    for digit in tried:
        story = denied(balance, cell, digit)
        if story is None:
            return
        stories.append(story)
    this = balance.name([cell], "result")
    brief = say("{} has no {}.", this, grammar.listed(tried, "or"))
    if len(stories) == 1:
        head, end = stories[0]
        no = say("so no {} there", tried[0])
        yield plan_of(balance, [*head, say("{}, {}", end, no)], brief)
        if len(head) <= 1:
            yield plan_of(balance, [*head, end, no], brief)
        return
    yield plan_of(balance, [say("{}: {}", join(head), end) if head else end for head, end in stories], brief)


def denied(balance: Balance, cell: int, digit: int) -> tuple[list[Phrase], Phrase] | None:  # noqa: PLR0911, PLR0912, PLR0915 - a list of cases
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
    put = say("with {} in {}", grammar.a(str(digit)), this)
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
            if amount < 1:
                return [], say("{}, nothing would be left for {}", put, name)
            if amount > scene.n:
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
            return [say("{}: {}", would, ways_said(raw))], say("{}", join(clauses))
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
    if sum(mine_low) > sum(high) + constant:
        return [*first, say("{}, {} {} at least {}", put, a, a.verb("makes", "make"), _short(mine_low))], say(
            "{} {} {}",
            b,
            b.verb("reaches", "reach"),
            f"{_short(high)} at best" if len(high) == 1 else f"only {sum(high)} at best",
        )
    if sum(mine_high) < sum(low) + constant:
        return [*first, say("{}, {} {} at most {}", put, a, a.verb("makes", "make"), _short(mine_high))], say(
            "{} {} at least {}", b, "is" if len(low) == 1 else b.verb("makes", "make"), _short(low)
        )
    return None


def _lost_it(scene: Scene, why: Struck) -> list[Phrase]:
    if not why.marked:
        return []
    ref = scene.names.cells(why.marked, "because", which="that")
    return [say("{} can't be that", ref)]


def _short(digits: Sequence[int]) -> str:
    return arithmetic(sorted(digits)) if len(digits) <= 3 else str(sum(digits))
