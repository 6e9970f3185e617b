"""What-ifs and beats: several inferences told one after another."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from saywhy.reasoning.words import grammar, houses
from saywhy.reasoning.words.clauses import clause, taken_together
from saywhy.reasoning.words.links import Link, of_step
from saywhy.reasoning.words.plan import Phrase, Plan, Ref, it, join, say, spoken, words, written
from saywhy.reasoning.words.scene import Scene

#: Words that a sentence of a story may have before the next one begins.
LENGTH = 19
#: Clauses a sentence.
CLAUSES = 3
_VERB = re.compile(r" ?(?:is|are|has|have)\b")


def plans(scene: Scene) -> Iterator[Plan]:
    """Tell a what-if: the supposition, its story, and what is learnt."""
    step = scene.step
    assert step.suppose is not None
    cell, mask = step.suppose
    digit = mask.bit_length()
    told = story(scene)
    here = scene.names.here(cell)
    this = scene.names.cells([cell], "result")
    brief = say("{} can't be {}: {}.", this, digit, told[-1]) if told else say("{} can't be {}.", this, digit)
    for opener in (
        say("try {} {}", grammar.a(str(digit)), here),
        say("what if there were {} {}?", grammar.a(str(digit)), here),
    ):
        sentences = [opener, *flow(told, "then ")]
        last = sentences[-1]
        end = _end(scene, digit)
        numbers = max(grammar.number_count(voice(last)) for voice in (spoken, written))
        if words([last, end]) <= 20 and numbers < grammar.NUMBERS and len(sentences) > 1:
            sentences[-1] = say("{}, {}", last, end)
        else:
            sentences.append(end)
        yield Plan(tuple(sentences), brief, kind="what-if")


def _end(scene: Scene, digit: int) -> Phrase:
    """Say what is learnt: "so not 4", and the digit placed where only one was left."""
    step = scene.step
    if step.places:
        ((cell, placed),) = step.places.items()
        return (
            say("so it is {}", placed)
            if step.suppose and step.suppose[0] == cell
            else say("so not {}", digit)
        )
    return say("so not {}", digit)


def story(scene: Scene) -> list[Phrase]:
    """Give the inner steps of a what-if as clauses."""
    step = scene.step
    assert step.suppose is not None
    cell, mask = step.suppose
    position = scene.position.copy()
    position.place(cell, mask.bit_length())
    told: list[tuple[Phrase | Link, Scene]] = []
    for inner in step.story:
        now = Scene(scene.frame, scene.names, position, inner)
        said: Phrase | Link = _own(now) or of_step(now)
        before, first = told[-1] if told else ((), now)
        together = (
            taken_together((before, said)) if isinstance(before, Link) and isinstance(said, Link) else []
        )
        if len(together) == 1:
            told[-1] = together[0], first
        else:
            told.append((said, now))
        position.apply(inner)
    return [clause(now, said) if isinstance(said, Link) else said for said, now in told]


def _own(scene: Scene) -> Phrase:
    """Give the clause of an inner step that is told in a way of its own; empty for any other."""
    step = scene.step
    if step.suppose is not None and step.story:
        cell, mask = step.suppose
        ref = scene.names.cells([cell])
        return say(
            "{} in {} fails too, as {}", grammar.a(str(mask.bit_length())), ref, join(story(scene)[-2:])
        )
    return houses.locked_clause(scene) if step.idea == "locked digit" else ()


def inner_clause(scene: Scene) -> Phrase:
    """Give one inner step as a clause; a what-if within is told by its end."""
    return _own(scene) or clause(scene, of_step(scene))


def flow(told: Sequence[Phrase], first: str = "") -> list[Phrase]:
    """Join clauses to sentences: at most three clauses and about 22 words each."""
    groups: list[list[Phrase]] = []
    length = numbers = 0
    for place, plain in enumerate(told):
        phrase = _again(told[place - 1], plain) if place else plain
        size = words([phrase]) + 1
        count = max(grammar.number_count(spoken(phrase)), grammar.number_count(written(phrase)))
        full = length + size > LENGTH or numbers + count > grammar.NUMBERS
        if not groups or full or len(groups[-1]) == CLAUSES:
            groups.append([])
            length = numbers = 0
        groups[-1].append(phrase)
        length += size
        numbers += count
    return [say("{}{}", "" if place else first, strung(group)) for place, group in enumerate(groups)]


def strung(clauses: Sequence[Phrase]) -> Phrase:
    """
    String clauses together; those that hold an "and" themselves are parted by commas.

    What is spoken of twice running is "it" the second time.
    """
    clauses = [
        clause_ if not place else _again(clauses[place - 1], clause_) for place, clause_ in enumerate(clauses)
    ]
    if len(clauses) > 2 or (len(clauses) > 1 and any(" and " in spoken(clause_) for clause_ in clauses)):
        return say("{}, and {}", _comma(clauses[:-1]), clauses[-1])
    return join(clauses)


def _again(before: Phrase, clause_: Phrase) -> Phrase:
    """Say "it" in a clause whose subject is that of the clause before."""
    old, new = _subject(before), clause_[0]
    if old is None or not isinstance(new, Ref) or not new.cells or old.cells != new.cells:
        return clause_
    return (it(new), *clause_[1:])


def _subject(clause_: Phrase) -> Ref | None:
    """Give what a clause last speaks of, if that is what it says something about."""
    for place in range(len(clause_) - 1, -1, -1):
        piece = clause_[place]
        if isinstance(piece, Ref) and piece.cells and piece.spoken:
            after = "".join(text for text in clause_[place + 1 :] if isinstance(text, str))
            return piece if place == 0 or _VERB.match(after) else None
    return None


def _comma(clauses: Sequence[Phrase]) -> Phrase:
    found: Phrase = ()
    for place, part in enumerate(clauses):
        found = say("{}, {}", found, part) if place else part
    return found
