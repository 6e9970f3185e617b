"""What a clue holds whatever happens, and so the rest of a house does not."""

from __future__ import annotations

from collections.abc import Iterator

from saywhy.engine.constraints import Source
from saywhy.primitives import AllDifferent, digits_of
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.balance import Balance, arithmetic
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, say
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.reasoning.words.ways import Cells

NODES = 2000


def plans(scene: Scene) -> Iterator[Plan]:
    """Tell that a clue holds a digit whatever happens, in cells that all see the cells concluded on."""
    step = scene.step
    if step.places or len(scene.clue_sources) != 1:
        return
    (source,) = scene.clue_sources
    clue = scene.clue(source)
    targets = tuple(sorted(step.removes))
    if set(targets) & set(clue.scope):
        return
    removed = 0
    for mask in step.removes.values():
        removed |= mask
    digits = digits_of(removed)
    if len(digits) > 3:
        return
    keepers: set[int] = set()
    for digit in digits:
        losers = [cell for cell, mask in step.removes.items() if mask >> (digit - 1) & 1]
        seeing = [c for c in clue.scope if all(scene.differ(c, t) is not None for t in losers)]
        if not seeing or not _must(scene, source, seeing, digit):
            return
        keepers |= {c for c in seeing if scene.domain(c) >> (digit - 1) & 1}
    struck = Struck(scene, clue.scope, own=False)
    lead = struck.opener(clue.scope)
    rest = _rest(scene, targets, keepers)
    none = f"no {digits[0]}" if len(digits) == 1 else "neither" if len(digits) == 2 else "none of them"
    holds = grammar.listed([grammar.a(str(d)) for d in digits])
    whole = scene.names.clue(source)
    brief = say("{} holds {}, so {} has {}.", whole, holds, rest, none)
    where = _where(scene, clue.scope, keepers)
    end = say("so {} {} {}", rest, rest.verb("has", "have"), none)
    for why in _why(scene, source, digits):
        yield Plan((*lead, *why[:-1], say("{}{}, {}", why[-1], where, end)), brief, clue.scope)
        yield Plan((*lead, *why[:-1], say("{}{}", why[-1], where), end), brief, clue.scope)
    needs = say("{} {} {} whatever happens{}", whole, whole.verb("takes", "take"), holds, where)
    plan = Plan((*lead, say("{}, {}", needs, end)), brief, clue.scope, vague=1)
    yield plan


def _must(scene: Scene, source: Source, seeing: list[int], digit: int) -> bool:
    """Say whether the clue cannot be filled without the digit in one of these cells."""
    frame = scene.frame
    cells = {c for held in frame.of(source) for c in held.cells}
    ids = []
    for held in scene.helds:
        shared = tuple(c for c in held.cells if c in cells)
        if source in held.sources:
            ids.append(held.id)
        elif isinstance(held.primitive, AllDifferent) and len(shared) > 1:
            ids.append(frame.derive(AllDifferent(shared), held.sources).id)
    domains = [scene.full] * len(frame.grid.cells)
    for cell in cells:
        domains[cell] = scene.domain(cell)
        if cell in seeing:
            domains[cell] &= ~(1 << (digit - 1))
    if any(not domains[cell] for cell in cells):
        return True
    return frame.model.refutes(ids, domains, NODES) is True


def _rest(scene: Scene, targets: tuple[int, ...], keepers: set[int]) -> Ref:
    if len(targets) == 1:
        return scene.names.cells(targets, "result")
    for house, source in scene.frame.houses:
        if source in scene.sources and set(targets) | keepers <= set(house.cells):
            name = scene.names.house(source, tuple(keepers))
            return Ref(f"the rest of {name.spoken}", f"the rest of {name.written}", targets, "result", source)
    return scene.names.cells(targets, "result")


def _where(scene: Scene, scope: tuple[int, ...], keepers: set[int]) -> Phrase:
    """Say in which of its cells the clue holds the digit, where they are not all."""
    open_cells = {c for c in scope if c not in scene.standing}
    if keepers >= open_cells or not keepers:
        return ()
    ref = scene.names.cells(sorted(keepers), "because")
    return say(", on {}", ref) if len(keepers) == 1 else say(", on one of {}", ref)


def _why(scene: Scene, source: Source, digits: list[int]) -> Iterator[list[Phrase]]:
    """Say why a sum holds these digits: its few ways all do, or it makes too little or too much without."""
    for balance in Balance.of(scene, source):
        if not balance.one_sided or len(balance.open) < 2:
            continue
        amount = balance.amount
        cells = balance.cells
        kept = cells.making(amount)
        wanted = set(digits)
        lead = _lead(balance)
        if kept and len(kept) <= 3 and all(wanted <= set(way) for way in kept):
            ways = [grammar.listed(way) for way in kept]
            if len(kept) == 1:
                yield [say("{} {}", lead, ways[0])]
            else:
                listed = grammar.listed(ways, "or") if len(kept[0]) == 2 else ", or ".join(ways)
                either = "either way" if len(kept) == 2 else "every time"
                yield [
                    say("{} {}", lead, listed),
                    say("{} it has {}", either, grammar.listed([grammar.a(str(d)) for d in digits])),
                ]
        if len(digits) == 1:
            (digit,) = digits
            without = Cells(scene, balance.open, [mask & ~(1 << (digit - 1)) for mask in cells.domains])
            least, most = without.extreme(most=False), without.extreme(most=True)
            whole = (
                balance.whole
                if not balance.minus
                else balance.side(balance.plus if balance.open_plus else balance.minus)
            )
            if least and sum(least) > amount:
                yield [
                    say(
                        "without a {} {} makes at least {}",
                        digit,
                        whole,
                        arithmetic(sorted([*least, *_own(balance)])),
                    ),
                    say("so it takes one"),
                ]
            if most and sum(most) < amount:
                yield [
                    say(
                        "without {} {} makes at most {}",
                        grammar.a(str(digit)),
                        whole,
                        arithmetic(sorted([*most, *_own(balance)])),
                    ),
                    say("so it takes one"),
                ]


def _own(balance: Balance) -> list[int]:
    return balance.standing(balance.plus if balance.open_plus else balance.minus)


def _lead(balance: Balance) -> Phrase:
    if not balance.minus and not balance.standing(balance.plus):
        return say("{} is", balance.whole)
    from saywhy.reasoning.words.linear import leaves

    lead = leaves(balance)
    return say("{}:", lead)
