"""Equal sets in words: lines and regions compared, and the digit that one side lacks or has."""

from __future__ import annotations

from collections.abc import Iterator

from saywhy.reasoning.leftovers import Leftover, leftovers
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, houses_listed


def plans(scene: Scene) -> Iterator[Plan]:
    """Say which houses are compared, which cells match, and what that means for the digit."""
    bit = scene.step.digits
    digit = bit.bit_length()
    targets = sorted({**scene.step.places, **scene.step.removes})
    target = scene.names.cells(targets, "result")
    for one in _compared(scene):
        here, there = one.sides
        if not set(targets) <= set(here):
            here, there = there, here
        these, those = _side(scene, here, "these"), _side(scene, there, "those")
        head = say(
            "{} the same digits as {}, so outside their overlap {} {} {}",
            _lines(scene, one),
            _regions(scene, one),
            these,
            these.verb("matches", "match"),
            those,
        )
        it = those if len(there) == 1 else "those"
        if scene.step.places:
            has = say("{} {} {}", it, those.verb("has", "have"), _count(scene, there, bit))
            single = len(there) == len(here) == 1
            if single:
                has = say("{} is {}", it, digit)
            only = f"only {{}} can take {'it' if len(targets) == 1 else 'them'}"
            end = (
                say(f"and {only}", target)
                if len(here) > len(targets)
                else say("and so {} {}", "is" if single else target.verb("has", "have"), target)
            )
            brief = say("{} {} {}.", target, target.verb("is", "are"), digit)
        else:
            why = _why(scene, there, bit)
            lit = Ref("", "", tuple(cell for cell in there if cell in scene.standing), "because")
            if why:
                has = say("{}, so {} {} it{}", join(why), it, those.verb("lacks", "lack"), lit)
                end = say("and so {} {}", target.verb("does", "do"), target)
            else:
                has = say("{} {} no {}{}", it, those.verb("has", "have"), digit, lit)
                end = say("so {} {} no {}", target, target.verb("has", "have"), digit)
            brief = say(
                "{} {} no {}: {} {} {}.",
                target,
                target.verb("has", "have"),
                digit,
                these,
                these.verb("matches", "match"),
                those,
            )
        yield Plan((head, say("{}, {}", has, end)), brief, (*here, *there))


def _lines(scene: Scene, one: Leftover) -> Phrase:
    """Name the lines with their verb: "row 3 holds", "columns 4 to 6 hold"."""
    names = [scene.names.house(scene.frame.houses[place][1]) for place in one.houses[: one.lines]]
    if len(names) < 3:
        return say("{} {}", houses_listed(names), "holds" if len(names) == 1 else "hold")
    (kind, first), last = names[0].written.split(), names[-1].written.split()[1]
    return (f"{kind}s {first} to {last} hold",)


def _regions(scene: Scene, one: Leftover) -> Phrase:
    """Name the regions; more than two are pointed at."""
    names = [scene.names.house(scene.frame.houses[place][1]) for place in one.houses[one.lines :]]
    if len(names) < 3:
        return houses_listed(names)
    numbers = grammar.listed([ref.written.split()[1] for ref in names])
    cells = tuple(c for place in one.houses[one.lines :] for c in scene.frame.houses[place][0].cells)
    return (
        Ref(f"these {grammar.count(len(names))} regions", f"regions {numbers}", cells, "look", many=True),
    )


def _compared(scene: Scene) -> Iterator[Leftover]:
    """Give the equal sets that a certificate holds the houses of and that speak of its conclusion."""
    frame = scene.frame
    targets = {*scene.step.places, *scene.step.removes}
    for one in leftovers(frame.grid):
        held = {frame.houses[place][1] for place in one.houses} <= scene.sources
        if held and any(targets <= set(side) for side in one.sides):
            yield one


def _side(scene: Scene, cells: tuple[int, ...], word: str) -> Ref:
    count = grammar.count(len(cells))
    if len(cells) == 1:
        return scene.names.cells(cells, "look", which="this" if word == "these" else "that")
    return scene.names.called(cells, f"{word} {count}", "look", many=True)


def _count(scene: Scene, cells: tuple[int, ...], bit: int) -> str:
    times = sum(scene.standing.get(cell) == bit.bit_length() for cell in cells)
    return grammar.a(str(bit.bit_length())) if times == 1 else f"{grammar.count(times)} {bit.bit_length()}s"


def _why(scene: Scene, there: tuple[int, ...], bit: int) -> list[Phrase]:
    """Say why one side lacks the digit: what is seen of it, and the cells that have lost it."""
    struck = Struck(scene, [cell for cell in there if cell not in scene.standing], bit)
    why = struck.clauses(there)
    if struck.marked:
        ref = scene.names.cells(struck.marked, "because")
        why.append(say("{} {} lost the {}", ref, ref.verb("has", "have"), bit.bit_length()))
    return why
