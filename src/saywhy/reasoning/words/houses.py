"""What is said of looks at houses: last digits, only places, only digits, locked digits, subsets and fish."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from saywhy.engine.constraints import Source
from saywhy.primitives import digits_of
from saywhy.reasoning.houses import FISH
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, houses_listed, says

#: More houses than these are not listed one by one; their digits are lit.
LISTED = 4


def last_digit(scene: Scene) -> Iterator[Plan]:
    """Tell of a house with one empty cell."""
    ((cell, digit),) = scene.step.places.items()
    house = _house(scene, (cell,))
    look = _cells(scene)
    here = scene.names.here(cell)
    brief = say("{} wants only its {}.", house, digit)
    for text in (
        say("{} wants only its {}, {}", house, digit, here),
        say("One cell is left in {}, for the {}", house, _at(scene, cell, digit)),
        say("The {} completes {}", _at(scene, cell, digit), house),
        say("All that {} still needs is the {}", house, _at(scene, cell, digit)),
    ):
        yield Plan((_plain_here(text),), brief, look)


def _plain_here(phrase: Phrase) -> Phrase:
    """Leave out a spoken "here" at the end: the cell is lit and the only one."""
    found: list[str | Ref] = []
    for place, piece in enumerate(phrase):
        if isinstance(piece, Ref) and piece.spoken == "here" and place and phrase[place - 1] == ", ":
            found[-1] = Ref("", f", {piece.written}", piece.cells, piece.role)
            continue
        found.append(piece)
    return tuple(found)


def _at(scene: Scene, cell: int, digit: int) -> Ref:
    """Give a digit that lights its cell; the written voice says where it is."""
    return Ref(str(digit), f"{digit} in {scene.grid_name(cell)}", (cell,), "result")


def _house(scene: Scene, near: tuple[int, ...], word: str = "this") -> Ref:
    assert scene.step.house is not None
    return house_at(scene, scene.step.house, near, word)


def house_at(scene: Scene, index: int, near: tuple[int, ...], word: str = "this") -> Ref:
    """Give the name of a house of the frame."""
    house, source = scene.frame.houses[index]
    return scene.names.house(source, near or house.cells, word)


def _cells(scene: Scene) -> tuple[int, ...]:
    assert scene.step.house is not None
    return scene.frame.houses[scene.step.house][0].cells


def only_place(scene: Scene) -> Iterator[Plan]:
    """Tell of a digit that has one place left in a house."""
    ((cell, digit),) = scene.step.places.items()
    others = [other for other in _cells(scene) if other != cell and other not in scene.standing]
    struck = Struck(scene, others, 1 << (digit - 1))
    house = _house(scene, (cell,))
    here = scene.names.here(cell)
    lit = Ref("", "", struck.because, "because")
    brief = say("the {} of {} has one place left", digit, house)
    marked = scene.names.cells(struck.marked, "because") if struck.marked else None
    first, second = because(struck, digit)
    if len(struck.seen) > LISTED or not first:
        seen = Ref(f"{digit}s", f"{digit}s", struck.because, "because")
        also = say(", and {} can't take it", marked) if marked else ()
        if struck.because:
            texts = [
                say("the {} around {} leave one place for its own{}: {}", seen, house, also, here),
                say("everywhere else in {} sees a {}{}, so it goes {}{}", house, digit, also, here, lit),
            ]
        else:
            texts = [
                say("{} has no other place for its {} than {}", house, digit, here),
                say("the {} of {} fits only {}", digit, house, here),
            ]
        for text in texts:
            yield Plan((text,), brief)
        return
    it = "it" if names_digit(struck) else f"the {digit}"
    yield Plan((say("{}, so in {} {} goes {}", first, house, it, here),), brief)
    yield Plan((say("the {} of {} goes {}: {}", digit, house, here, second),), brief)
    yield Plan((say("where does the {} go in {}?", digit, house), say("{}, so {}", second, here)), brief)


def names_digit(struck: Struck) -> bool:
    """Say whether the reasons that ``because`` gives name the digit, so that it may be "it" afterwards."""
    beside = [source for source in struck.seen if source in struck.scene.names.pairwise]
    return len(beside) < len(struck.seen) or (not beside and bool(struck.marked))


def because(struck: Struck, digit: int) -> tuple[Phrase, Phrase]:
    """
    Say what keeps a digit out of cells, in two ways: "rows 1 and 2 have their 4", "rows 1 and 2 have theirs".

    Cells that have lost it by a written mark are named last. Both are empty where nothing is to be said.
    """
    names = struck.scene.names
    lit = Ref("", "", struck.because, "because")
    houses = sorted(source for source in struck.seen if source not in names.pairwise)
    marked = names.cells(struck.marked, "because") if struck.marked else None
    full: list[Phrase] = []
    short: list[Phrase] = []
    if houses:
        who = houses_listed([names.house(s, struck.targets[s] if s.kind != "house" else ()) for s in houses])
        many = len(houses) > 1
        shown = Ref(str(digit), str(digit), struck.because, "because")
        full.append(say("{} {} {} {}", who, "have" if many else "has", "their" if many else "its", shown))
        short.append(say("{} {} {}{}", who, "have" if many else "has", "theirs" if many else "its own", lit))
    beside = [struck.beside(source) for source in sorted(struck.seen) if source in names.pairwise]
    full += beside
    short += beside
    if marked is not None:
        verb = "can't take it" if full else f"{marked.verb('has', 'have')} lost the {digit}"
        full.append(say("{} {}", marked, verb))
        short.append(say("{} {}", marked, verb))
    return join(full), join(short)


def _it(scene: Scene, cell: int) -> Ref:
    return scene.names.cells([cell], "result")


def only_digit(scene: Scene) -> Iterator[Plan]:
    """Tell of a cell that has one digit left."""
    ((cell, digit),) = scene.step.places.items()
    struck = Struck(scene, [cell])
    because = Ref("", "", struck.because, "because")
    this = scene.names.cells([cell], "result")
    brief = (
        say("{} sees every digit but {}.", this, digit)
        if not struck.marked
        else say("{} has only {} left.", this, digit)
    )
    if not struck.marked:
        extra = [s for s in struck.seen if s in scene.names.pairwise]
        if extra:
            nouns = grammar.listed(f"{scene.names.phrases(s).noun}s" for s in extra)
            yield Plan(
                (say("With {} counted, {} sees every digit but {}{}", nouns, this, digit, because),), brief
            )
        names = [scene.names.house(s, (cell,)) for s in sorted(struck.seen) if s not in extra]
        yield Plan((say("{} sees every digit but {}{}", this, digit, because),), brief)
        if not extra and len(names) > 1:
            yield Plan(
                (
                    say(
                        "Between them, {} hold all but the {}{}",
                        join(names),
                        _at(scene, cell, digit),
                        because,
                    ),
                ),
                brief,
            )
        elif not extra and names:
            yield Plan((say("{} holds all but the {}{}", names[0], _at(scene, cell, digit), because),), brief)
        yield Plan((say("Only {} is left for {}{}", digit, this, because),), brief)
        return
    left = digits_of(scene.marks[cell])
    clauses = struck.clauses((cell,))
    if not clauses:
        yield Plan((say("{} has nothing left but {}", this, digit),), brief)
        return
    seen = sum(len(found) for found in struck.seen.values())
    known = says(scene.marks[cell], scene.full)
    gone = digits_of(scene.full & ~scene.marks[cell])
    if len(left) <= 4 and seen + len(left) <= 5:
        yield Plan((say("{} {}, and {}: it is {}", this, known, join(clauses), digit),), brief)
        yield Plan((say("{}, and {} {}: it is {}", join(clauses), this, known, digit),), brief)
    if seen <= 4:
        yield Plan((say("{}, and all else but {} is gone from {}", join(clauses), digit, this),), brief)
        yield Plan((say("{} can only be {}: {}, and the rest is gone", this, digit, join(clauses)),), brief)
    if len(left) <= 5:
        yield Plan((say("{} {}, and it sees all of those but the {}{}", this, known, digit, because),), brief)
    if len(gone) <= 4:
        lost = f"neither {gone[0]} nor {gone[1]}" if len(gone) == 2 else f"not {grammar.listed(gone, 'or')}"
        yield Plan(
            (say("{} is {}, and it sees every other digit but {}{}", this, lost, digit, because),), brief
        )
    yield Plan(
        (say("with what it has lost and what it sees, {} can only be {}{}", this, digit, because),),
        brief,
        vague=0.3,
    )
    yield Plan((say("{} is all that is left for {}{}", digit, this, because),), brief, vague=0.7)


def locked(scene: Scene) -> Iterator[Plan]:
    """Tell of a digit that takes the same cells out wherever it stands in a house."""
    assert scene.step.house is not None
    yield from locked_at(scene, scene.step.house, scene.step.digits)


def locked_clause(scene: Scene) -> Phrase:
    """Say within a story where a digit is locked; none where no one house says so."""
    index, mask = scene.step.house, scene.step.digits
    assert index is not None
    held, source = scene.frame.houses[index]
    places = tuple(cell for cell in held.cells if scene.domain(cell) & mask)
    targets = tuple(sorted(scene.step.removes))
    via = _common(scene, source, places, targets)
    if via is None:
        return ()
    shown, gone = Ref("", "", places, "look"), Ref("", "", targets, "look")
    house = house_at(scene, index, places)
    return say("the {} of {} lies in {}{}{}", mask.bit_length(), house, scene.names.house(via), shown, gone)


def locked_at(scene: Scene, index: int, digit_bit: int) -> Iterator[Plan]:
    """Tell of one digit locked in one house."""
    frame, digit = scene.frame, digit_bit.bit_length()
    held, source = frame.houses[index]
    places = tuple(cell for cell in held.cells if scene.domain(cell) & digit_bit)
    targets = tuple(sorted({**scene.step.removes, **scene.step.places}))
    via = _common(scene, source, places, targets)
    struck = Struck(scene, [c for c in held.cells if c not in places], digit_bit)
    house = house_at(scene, index, places)
    two = scene.names.cells(places, "look")
    lit = Ref("", "", struck.because, "because")
    shown = Ref("", "", places, "look")
    why, _ = because(struck, digit)
    plain = len(struck.seen) > LISTED or not why
    why = () if plain else why
    if via is not None:
        other = scene.names.house(via)
        made = via.kind != "house"
        box = not made and via.name.startswith("region")
        noun = scene.names.region if box else scene.names.phrases(via).noun if made else via.name.split()[0]
        rest = Ref(f"the rest of that {noun}", f"the rest of {other.written}", targets, "result")
        if len(targets) == 1:
            rest = scene.names.cells(targets, "result")
        brief = say("in {} the {} lies in {}", house, digit, other)
        none = "has none" if len(targets) > 1 else f"has no {digit}"
        if plain:
            yield Plan(
                (
                    say(
                        "in {} the {} has to be in {}{}{}, so {} {}",
                        house,
                        digit,
                        other,
                        shown,
                        lit,
                        rest,
                        none,
                    ),
                ),
                brief,
            )
            yield Plan(
                (say("the {} of {} lies in {}{}{}, so {} {}", digit, house, other, shown, lit, rest, none),),
                brief,
            )
            yield Plan(
                (
                    say("wherever {} has its {}, it is in {}{}{}", house, digit, other, shown, lit),
                    say("so {} {}", rest, f"has no {digit}"),
                ),
                brief,
            )
            return
        it = "it" if names_digit(struck) else f"the {digit}"
        first = say("{}, so in {} {} is in {}{}", why, house, it, other, shown)
        yield Plan((say("{}, and {} {}", first, rest, none),), brief)
        yield Plan((first, say("so {} has no {}", rest, digit)), brief)
        yield Plan(
            (
                say("the {} of {} lies in {}{}: {}", digit, house, other, shown, why),
                say("so {} {}", rest, none),
            ),
            brief,
        )
        yield Plan(
            (say("in {} the {} has to be in {}{}{}, so {} {}", house, digit, other, shown, lit, rest, none),),
            brief,
            vague=0.4,
        )
        return
    this = scene.names.cells(targets, "result")
    two = scene.names.cells(places, "look")
    brief = say("{} sees every place for the {} of {}", this, digit, house)
    head = (
        say("{}, so the {} of {} is on {}", why, digit, house, two)
        if why
        else say("the {} of {} is on {}{}", digit, house, two, lit)
    )
    end = say(
        "either way {} {} it" if len(places) == 2 else "{} {} all of those", this, this.verb("sees", "see")
    )
    yield Plan((head, say("{}, so no {} there", end, digit)), brief)
    yield Plan(
        (say("the {} of {} is on {}{}", digit, house, two, lit), say("{}, so no {} there", end, digit)),
        brief,
        vague=0.4 if why else 0,
    )


def _common(scene: Scene, own: Source, places: tuple[int, ...], targets: tuple[int, ...]) -> Source | None:
    """Give the one other source along which all these places see all the targets."""
    common: set[Source] | None = None
    for target in targets:
        for place in places:
            here = set()
            for held in scene.frame.relations.get((place, target), ()):
                (source,) = held.sources
                if source in scene.sources and source != own:
                    here.add(source)
            common = here if common is None else common & here
    return min(common) if common else None


def naked(scene: Scene) -> Iterator[Plan]:
    """Tell of k cells of a house that take k digits between them."""
    assert scene.step.house is not None
    held = scene.frame.houses[scene.step.house][0]
    union = scene.step.digits
    cells = tuple(c for c in held.cells if c not in scene.standing and not scene.domain(c) & ~union)
    yield from naked_at(scene, scene.step.house, cells, union)


def naked_at(scene: Scene, index: int, cells: tuple[int, ...], union: int) -> Iterator[Plan]:
    """Tell of these cells that take these digits between them."""
    digits = digits_of(union)
    house = house_at(scene, index, cells)
    these = scene.names.called(cells, f"these {grammar.count(len(cells))}", "because", many=True)
    struck = Struck(scene, cells)
    named = grammar.listed(digits)
    rest = _rest(scene, house)
    none = "neither" if len(digits) == 2 else "none of those"
    brief = say("{} take {}.", these, named)
    way = ", whichever way round" if len(cells) == 2 else " between them"
    placed = _placed_too(scene)
    tail = say("so {} has {}{}", rest, none, placed)
    clauses = struck.clauses(cells)
    lit = Ref("", "", struck.because, "because")
    if not clauses:
        yield Plan((say("{} are {}{}, {}", these, named, way, tail),), brief)
        yield Plan((say("{} are taken by {}{}, {}", named, these, way, tail),), brief)
        return
    numbers = sum(len(found) for found in struck.seen.values()) + len(digits)
    if len(clauses) <= 2 and numbers <= 6:
        yield Plan((say("{}, so {} are {}{}", join(clauses), these, named, way), say("{}", tail)), brief)
        yield Plan((say("{} are {}{}: {}", these, named, way, join(clauses)), say("{}", tail)), brief)
    if not struck.marked:
        yield Plan(
            (
                say(
                    "{} see every digit but {}{}, so they take those, and {} has {}{}",
                    these,
                    named,
                    lit,
                    rest,
                    none,
                    placed,
                ),
            ),
            brief,
        )
    yield Plan((say("Going by what they see, {} are {}{}{}, {}", these, named, way, lit, tail),), brief)


def _placed_too(scene: Scene) -> Phrase:
    """Say the digits that a removal leaves alone in their cells."""
    if not scene.step.places:
        return ()
    parts = [say("{} is {}", _it(scene, cell), digit) for cell, digit in sorted(scene.step.places.items())]
    return say(", and {}", join(parts))


def _rest(scene: Scene, house: Ref) -> Ref:
    targets = tuple(sorted({**scene.step.removes, **scene.step.places}))
    if len(targets) == 1:
        return scene.names.cells(targets, "result")
    return Ref(
        f"the rest of {house.spoken}", f"the rest of {house.written}", targets, "result", source=house.source
    )


def hidden(scene: Scene) -> Iterator[Plan]:
    """Tell of k digits that have only k cells of a house."""
    assert scene.step.house is not None
    held = scene.frame.houses[scene.step.house][0]
    union = scene.step.digits
    cells = tuple(c for c in held.cells if c not in scene.standing and scene.domain(c) & union)
    house = house_at(scene, scene.step.house, cells)
    others = [c for c in held.cells if c not in cells and c not in scene.standing]
    struck = Struck(scene, others, union)
    these = Ref(f"these {grammar.count(len(cells))}", scene.names.written(cells), cells, "result", many=True)
    digits = digits_of(union)
    named = grammar.listed(digits)
    brief = say("{} belong to {}.", named, these)
    lit = Ref("", "", struck.because, "because")
    clauses = struck.clauses(cells)
    numbers = sum(len(found) for found in struck.seen.values()) + len(digits)
    marked: Phrase = ()
    if struck.marked:
        ref = scene.names.cells(struck.marked, "because")
        marked = say("{} {} out for them by now", ref, ref.verb("is", "are"))
    if clauses and len(clauses) <= 2 and numbers <= 6 and not marked:
        yield Plan(
            (
                say("{}, so in {} only {} can take {}", join(clauses), house, these, named),
                say("They hold nothing else"),
            ),
            brief,
        )
    also = say(", as {}", marked) if marked else ()
    yield Plan(
        (say("In {} only {} can take {}{}{}: they hold nothing else", house, these, named, lit, also),), brief
    )
    yield Plan(
        (say("{} have just {} in {}{}{}, so nothing else goes there", named, these, house, lit, also),), brief
    )


def fish(scene: Scene) -> Iterator[Plan]:
    """Tell of a digit whose places in k houses lie in k other houses."""
    frame, bit = scene.frame, scene.step.digits
    digit, size = bit.bit_length(), {name: k for k, name in FISH.items()}[scene.step.idea]
    assert scene.step.house is not None
    kind = frame.houses[scene.step.house][0].kind
    targets = set(scene.step.removes)
    bases = [
        index
        for index, (house, source) in enumerate(frame.houses)
        if house.kind == kind and source in scene.sources and index != scene.step.house
    ]
    for chosen in combinations(bases, size - 1):
        indexes = sorted((scene.step.house, *chosen))
        places = tuple(c for i in indexes for c in frame.houses[i][0].cells if scene.domain(c) & bit)
        covers = [
            (house, source)
            for house, source in frame.houses
            if source in scene.sources
            and house.kind not in (kind, "region")
            and set(house.cells) & set(places)
        ]
        covered = {c for house, _ in covers for c in house.cells}
        if len(covers) != size or not targets <= covered or not set(places) <= covered:
            continue
        rows = houses_named([frame.houses[i][1] for i in indexes], scene)
        columns = houses_named([source for _, source in covers], scene)
        struck = Struck(scene, [c for i in indexes for c in frame.houses[i][0].cells if c not in places], bit)
        because = Ref("", "", struck.because, "because")
        lit = Ref("", "", places, "look")
        those = f"those {grammar.s(covers[0][0].kind, 2)}"
        rest = Ref(f"the rest of {those}", f"the rest of {those}", tuple(sorted(targets)), "result")
        each = "both" if size == 2 else "all"
        brief = say("The {}s of {} fill {}.", digit, rows, columns)
        yield Plan(
            (
                say("In {} the {} fits only {}{}{}", rows, digit, columns, lit, because),
                say("So {} use up {} {}, and {} has no {}", rows, each, those, rest, digit),
            ),
            brief,
        )
        yield Plan(
            (
                say(
                    "The {}s of {} stand in {}, whichever way they fall{}{}",
                    digit,
                    rows,
                    columns,
                    lit,
                    because,
                ),
                say("So {} has no other {}", rest, digit),
            ),
            brief,
        )
        return


def houses_named(sources: list[Source], scene: Scene) -> Phrase:
    """List houses of one kind: "rows 2 and 7"."""
    return houses_listed([scene.names.house(source) for source in sources])
