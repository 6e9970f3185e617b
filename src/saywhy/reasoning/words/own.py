"""A rule's own thoughts in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from saywhy.reasoning.words.needs import lead
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, it, join, say, spoken
from saywhy.reasoning.words.results import conclusion, enough
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.sights import Struck
from saywhy.thoughts import Said, Thought


def plans(scene: Scene) -> Iterator[Plan]:
    """Give the plans of a step that a rule has its own words for."""
    (source,) = scene.clue_sources
    clue = scene.clue(source)
    yield from _settled(scene, clue.scope)
    known = {cell: scene.domain(cell) for cell in clue.scope}
    gone = {**scene.step.removes}
    for cell, digit in scene.step.places.items():
        gone[cell] = scene.full & ~(1 << (digit - 1))
    if len(clue.scope) == 1:
        law = Thought(((scene.names.phrases(source).law,),), scene.results)
        yield from _told(scene, law, lead(scene, clue.scope, lambda _: False), clue.scope)
    for thought in clue.thoughts(known, gone):
        if not shows(scene, thought, gone):
            continue

        def still(left: Mapping[int, int], said: tuple[Said, ...] = thought.said) -> bool:
            again = clue.thoughts({**known, **left}, gone)
            return any(other.said == said and shows(scene, other, gone) for other in again)

        yield from _told(scene, thought, lead(scene, clue.scope, still), clue.scope)


def _settled(scene: Scene, cells: tuple[int, ...]) -> Iterator[Plan]:
    """Some cells have one digit left, and the others differ: "this cell is 9 and that one 8 or 9, so 8"."""
    single = [c for c in cells if c not in scene.standing and scene.domain(c).bit_count() == 1]
    left: dict[int, int] = {}
    used: set[int] = set()
    for cell in scene.results:
        left[cell] = scene.domain(cell)
        for other in single:
            if other != cell and scene.domain(other) & left[cell] and scene.differ(cell, other) is not None:
                left[cell] &= ~scene.domain(other)
                used.add(other)
    if used and enough(scene, left):
        ends = conclusion(scene, left)
        known = join(Struck(scene, [*sorted(used), *scene.results]).known())
        yield Plan((say("{}, so {}", known, ends),), say("{}.", ends))
        yield Plan((known, say("so {}", ends)), say("{}.", ends))


def shows(scene: Scene, thought: Thought, gone: Mapping[int, int]) -> bool:
    """Say whether a thought shows all that the step concludes."""
    return all(cell in thought.left for cell in gone) and enough(scene, thought.left)


def _told(scene: Scene, thought: Thought, clauses: list[Phrase], look: tuple[int, ...]) -> Iterator[Plan]:
    ends = conclusion(scene, thought.left)
    brief = say("{}.", ends)
    said = [_phrase(scene, part) for part in thought.said]
    start = list(clauses)
    tail = [] if thought.whole else [say("so {}", _again(said[-1], ends))]
    if tail and len(said) == 1:
        if not any(isinstance(piece, str) and ", so " in piece for piece in said[0]):
            yield Plan((*start, say("{}, {}", said[0], tail[0])), brief, look)
        if len(start) == 1:
            yield Plan((*said, say("{}, so {}", start[0], ends)), brief, look)
    yield Plan((*start, *said, *tail), brief, look)


def _again(said: Phrase, ends: Phrase) -> Phrase:
    """Say "it" of what a conclusion is about where the clause before it was about that."""
    subject, *rest = ends
    if not isinstance(subject, Ref) or any(isinstance(piece, Ref) for piece in rest):
        return ends
    named = [piece for piece in said if isinstance(piece, Ref) and piece.cells]
    spoken_of = named[-1].cells == subject.cells if named else spoken(said).startswith(f"{subject.spoken} ")
    return (it(subject), *rest) if spoken_of else ends


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
