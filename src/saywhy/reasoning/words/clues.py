"""What is said of looks at clues: each kind of thought tries, and gives a plan only if it holds."""

from __future__ import annotations

from collections.abc import Iterator

from saywhy.reasoning.words import linear, relations, sets, story
from saywhy.reasoning.words.plan import Phrase, Plan, join, say
from saywhy.reasoning.words.results import conclusion
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step at clues, a plain one at least."""
    found = False
    if not scene.clue_sources:
        for plan in sets.plans(scene):
            found = True
            yield plan
    if len(scene.clue_sources) == 1:
        for plan in linear.plans(scene):
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


def fallback(scene: Scene) -> Plan:
    """Say what is looked at, what is known there and what that leaves: true of every step."""
    laws: list[Phrase] = []
    for source in scene.clue_sources[:2]:
        laws.append((scene.names.rule(source).phrases.law,))
    cells = {c for s in scene.clue_sources for c in scene.clue(s).scope} or {
        *scene.step.places,
        *scene.step.removes,
    }
    struck = Struck(scene, sorted(cells))
    clauses = struck.clauses() + struck.marks()
    first = join([*clauses]) if clauses else ()
    ends = conclusion(scene, scene.results)
    sentences = [part for part in (first, say("{}", join(laws)) if laws else (), say("so {}", ends)) if part]
    return Plan(tuple(sentences), say("{}.", ends), tuple(sorted(cells)), kind="plain")
