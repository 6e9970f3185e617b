"""Colours in words: which cells come out alike, and why a house says of which kind they are."""

from __future__ import annotations

from collections.abc import Iterator

from saywhy.reasoning.colouring import Coloured, coloured
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.scene import Scene


def plans(scene: Scene) -> Iterator[Plan]:
    """Say along what the kinds are followed, which cells are alike, and what room a house has."""
    assert scene.step.house is not None
    house, source = scene.frame.houses[scene.step.house]
    for one, kind, colour in _followed(scene):
        held = one.trait.kinds[kind]
        known = [c for c in house.cells if c not in one.colour and not scene.domain(c) & ~held]
        counted = [c for c in house.cells if one.colour.get(c) == colour]
        counted = counted[: held.bit_count() + 1 - len(known)]
        if len(counted) + len(known) <= held.bit_count():
            continue
        wrong = one.trait.names[kind]
        number = grammar.count(held.bit_count())
        place = scene.names.house(source, counted)
        head: list[Phrase] = [
            say("follow {} and {} along {}", *one.trait.names, _clues(scene)),
        ]
        if len(counted) > 1:
            head = [say("{}: {} come out alike", head[0], _these(scene, counted))]
        if known:
            ref = scene.names.cells(known, "because")
            seen = Ref("", "", tuple(c for c in scene.facts if c not in known), "because")
            room = say(
                "{} {} {}{}, and {} has only {} {} digits",
                ref,
                ref.verb("is", "are"),
                wrong,
                seen,
                place,
                number,
                wrong,
            )
        else:
            room = say("{} has only {} {} digits", place, number, wrong)
        ends, told = _ends(scene, one, kind, colour, counted)
        lit = (*counted, *scene.step.removes)
        yield Plan((*head, say("{}, so {}", room, ends)), say("{}.", told), lit)
        yield Plan((*head, room, say("so {}", ends)), say("{}.", told), lit)


def _followed(scene: Scene) -> Iterator[tuple[Coloured, int, int]]:
    """Give the coloured cells of a step, the kind that its house has no room for, and the colour meant."""
    for one in coloured(scene.frame):
        for kind, held in enumerate(one.trait.kinds):
            if held != scene.step.digits or not set(scene.step.removes) <= set(one.colour):
                continue
            for colour in (0, 1):
                if all(
                    not gone & ~one.trait.kinds[kind ^ one.colour[cell] ^ colour]
                    for cell, gone in scene.step.removes.items()
                ):
                    yield one, kind, colour


def _clues(scene: Scene) -> Phrase:
    """Name the clues that are followed; more than two are pointed at."""
    sources = scene.clue_sources
    refs = [scene.names.clue(source) for source in sources]
    if len(refs) < 3:
        return join(refs)
    nouns = {scene.names.phrases(source).noun.split()[-1] for source in sources}
    noun = grammar.s(nouns.pop(), 2) if len(nouns) == 1 else "clues"
    cells = tuple(sorted({cell for source in sources for cell in scene.clue(source).scope}))
    firsts = grammar.listed(scene.frame.grid.names(scene.clue(source).scope[0] for source in sources))
    return (
        Ref(f"these {grammar.count(len(refs))} {noun}", f"the {noun} at {firsts}", cells, "look", many=True),
    )


def _these(scene: Scene, cells: list[int]) -> Ref:
    return scene.names.called(cells, f"these {grammar.count(len(cells))}", "look", many=True)


def _ends(scene: Scene, one: Coloured, kind: int, colour: int, counted: list[int]) -> tuple[Phrase, Phrase]:
    """Say of which kind the counted cells are, and the others concluded on; the second without the first."""
    alike = len(counted) > 1
    parts = [say("they are {}", one.trait.names[1 - kind])] if alike else []
    told = []
    for its in (colour, 1 - colour):
        cells = [cell for cell in sorted(scene.step.removes) if one.colour[cell] == its]
        name = one.trait.names[1 - (kind ^ its ^ colour)]
        if cells:
            ref = scene.names.cells(cells, "result")
            told.append(say("{} {} {}", ref, ref.verb("is", "are"), name))
        others = [cell for cell in cells if not alike or cell not in counted]
        if others:
            ref = scene.names.cells(others, "result")
            parts.append(say("{} {} {}", ref, ref.verb("is", "are"), name))
    return join(parts), join(told)
