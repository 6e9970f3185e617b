"""A rule's own thoughts in words."""

from __future__ import annotations

from collections.abc import Iterator

from saywhy.reasoning.words.plan import Phrase, Plan, join, say
from saywhy.reasoning.words.results import conclusion, enough
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.thoughts import Said, Thought


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step that a rule has its own words for."""
    (source,) = scene.clue_sources
    clue = scene.clue(source)
    known = {cell: scene.domain(cell) for cell in clue.scope}
    gone = {**scene.step.removes}
    for cell, digit in scene.step.places.items():
        gone[cell] = scene.full & ~(1 << (digit - 1))
    struck = Struck(scene, clue.scope, own=False)
    clauses = struck.told(clue.scope)
    if len(clue.scope) == 1:
        yield from _told(
            scene, Thought(((scene.names.phrases(source).law,),), scene.results), clauses, clue.scope
        )
    for thought in clue.thoughts(known, gone):
        if all(cell in thought.left for cell in gone) and enough(scene, thought.left):
            yield from _told(scene, thought, clauses, clue.scope)


def _told(scene: Scene, thought: Thought, clauses: list[Phrase], look: tuple[int, ...]) -> Iterator[Plan]:
    ends = conclusion(scene, thought.left)
    brief = say("{}.", ends)
    said = [_phrase(scene, part) for part in thought.said]
    lead = [join(clauses)] if clauses else []
    tail = [] if thought.whole else [say("so {}", ends)]
    if tail and len(said) == 1:
        if not any(isinstance(piece, str) and ", so " in piece for piece in said[0]):
            yield Plan((*lead, say("{}, {}", said[0], tail[0])), brief, look)
        if clauses:
            yield Plan((*said, say("{}, {}", join(clauses), tail[0])), brief, look)
    yield Plan((*lead, *said, *tail), brief, look)


def _phrase(scene: Scene, said: Said) -> Phrase:
    parts: list[Phrase] = []
    for piece in said:
        if isinstance(piece, str):
            parts.append((piece,))
        else:
            parts.append(
                (scene.names.cells(piece, "result" if set(piece) <= set(scene.results) else "look"),)
            )
    return tuple(piece for part in parts for piece in part)
