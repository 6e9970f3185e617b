"""What is said of looks at clues: each kind of thought tries, and gives a plan only if it holds."""

from __future__ import annotations

from collections.abc import Iterator

from saywhy.reasoning.words import derived, grammar, linear, own, relations, sets, shared, story
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, join, say
from saywhy.reasoning.words.results import conclusion, groups, result_ref, verdict
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck, houses_listed


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step at clues, a plain one at least."""
    found = False
    if not scene.clue_sources:
        for plan in sets.plans(scene):
            found = True
            yield plan
    if scene.step.idea == "trial":
        yield tried(scene)
        return
    if scene.step.idea == "derived sum":
        for plan in derived.plans(scene):
            found = True
            yield plan
    if len(scene.clue_sources) == 1:
        for plan in own.plans(scene):
            found = True
            yield plan
        for plan in linear.plans(scene):
            found = True
            yield plan
    for plan in shared.plans(scene):
        found = True
        yield plan
    if len(scene.clue_sources) <= 1:
        for plan in relations.plans(scene):
            found = True
            yield plan
    for plan in story.plans(scene):
        found = True
        yield plan
    if not found:
        yield fallback(scene)


def tried(scene: Scene) -> Plan:
    """Say honestly that a digit was found by trying all others."""
    ends = conclusion(scene, scene.results)
    cells = tuple(sorted(scene.results))
    first = say("no short reason shows itself here, so every other digit is tried, and each one fails")
    return Plan((first, say("so {}", ends)), say("By trying all others, {}.", ends), cells, kind="trial")


def fallback(scene: Scene) -> Plan:
    """Say what is looked at, what is known there and what that leaves: true of every step."""
    cells = {c for s in scene.clue_sources for c in scene.clue(s).scope} or {
        *scene.step.places,
        *scene.step.removes,
    }
    struck = Struck(scene, sorted(cells), own=False)
    premises = struck.told()
    clues = [scene.names.clue(source) for source in scene.clue_sources]
    ends = _leaves(scene)
    named = {piece.source for phrase in premises for piece in phrase if isinstance(piece, Ref)}
    houses = [s for s in sorted(scene.sources) if s.kind == "house" and s not in named]
    within = (
        say(" with {}", houses_listed([scene.names.house(s) for s in houses]))
        if houses and len(houses) <= 2
        else ()
    )
    if clues:
        count = len({ref.spoken for ref in clues})
        listed = (
            join(clues)
            if count == len(clues)
            else say("these {} {}", grammar.count(len(clues)), _nouns(scene))
        )
        lit = tuple(c for s in scene.clue_sources for c in scene.clue(s).scope)
        if count != len(clues):
            listed = (
                Ref(
                    "".join(p if isinstance(p, str) else p.spoken for p in listed),
                    join_written(clues),
                    lit,
                    many=True,
                ),
            )
        body = say("every way to fill {}{} {}", listed, within, ends)
    else:
        body = say(
            "every way to fill {}{}",
            houses_listed([scene.names.house(s) for s in sorted(scene.sources) if s.kind == "house"]),
            say(" {}", ends),
        )
    lead = [join(premises)] if premises else []
    return Plan(
        (*lead, body), say("{}.", conclusion(scene, scene.results)), tuple(sorted(cells)), kind="plain"
    )


def join_written(refs: list[Ref]) -> str:
    """List references as written."""
    return grammar.listed([ref.written for ref in refs])


def _nouns(scene: Scene) -> str:
    noun = scene.clue(scene.clue_sources[0]).phrases.noun
    return grammar.s(noun, len(scene.clue_sources))


def _leaves(scene: Scene) -> Phrase:
    """Say the conclusion as what every way does: "puts a 7 here", "leaves this cell 6 or more"."""
    parts: list[Phrase] = []
    for cells, mask in groups(scene, scene.results):
        ref = result_ref(scene, cells)
        text = verdict(scene, cells, mask, many=ref.many)
        if not mask & (mask - 1):
            parts.append(say("puts {} in {}", grammar.a(str(mask.bit_length())), ref))
            continue
        verb, rest = text.split(" ", 1)
        if verb in ("has", "have"):
            parts.append(say("leaves {} in {}", rest, ref))
        elif rest.startswith("neither"):
            parts.append(say("leaves {} in {}", rest, ref))
        else:
            parts.append(say("leaves {} {}", ref, _only(rest)))
    return join(parts)


def _only(rest: str) -> str:
    return rest if not rest[:1].isdigit() or " or more" in rest or "at most" in rest else f"only {rest}"
