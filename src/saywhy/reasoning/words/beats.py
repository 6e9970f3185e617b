"""The text of a beat: its first thought in full, its small consequences in one breath."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step, Told
from saywhy.reasoning.thought import CLUE_IDEAS, same_lock
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.names import Names
from saywhy.reasoning.words.plan import Phrase, say, spoken, told_apart
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.supposing import flow, inner_clause

#: What leads on from one consequence to the next, in turn.
THEN = ("then", "after that,")
#: A thought that returns is told as such where that spares so many words (by judgement).
SPARED = 6
#: So many beats back a listener still has a thought in the ear (by judgement).
RECENT = 3


def text(names: Names, pairs: Sequence[tuple[Step, Told]], before: Sequence[Told] = ()) -> str:
    """
    Give the text of a beat.

    Args:
        names: The names of the puzzle's things.
        pairs: Its steps with their words, in order; at least one.
        before: What the beats before it began with.
    """
    (first, told), *rest = pairs
    head = _head(first, told, before)
    if not rest:
        return head
    alike = [step for step, _ in rest if step.story or same_lock(first, step)]
    rest = [pair for pair in rest if pair[0] not in alike]
    if alike:
        said = _same_way(names, first, alike) if first.story else [_same_lock(alike)]
        same = told_apart(said, names.grid)
        head = " ".join([head, *(grammar.sentence(spoken(sentence)) for sentence in same)])
    if not rest:
        return head
    position = Position.opening(names.frame)
    clauses: list[Phrase] = [inner_clause(Scene(names.frame, names, position, step)) for step, _ in rest]
    lead = _lead(first, rest[0][0])
    if (digit := _left(first, rest[0][0])) is not None:
        lead, clauses[0] = "that leaves", say("only {} there", digit)
    sentences = flow(clauses)
    opened = [say("{} {}", lead, sentences[0])]
    first_then = int(lead == THEN[0])
    opened += [
        say("{} {}", THEN[place % len(THEN)], more) for place, more in enumerate(sentences[1:], first_then)
    ]
    settled = told_apart(opened, names.grid)
    return " ".join([head, *(grammar.sentence(spoken(sentence)) for sentence in settled)])


def _head(first: Step, told: Told, before: Sequence[Told]) -> str:
    """Tell a beat's first thought: in full, or what it gives where it returns in the very words."""
    if first.idea not in CLUE_IDEAS and not first.story:
        return told.text
    again = say("the same thought again: {}", grammar.lowered(told.brief.partition(":")[0].removesuffix(".")))
    shorter = len(told.text.split()) - len(spoken(again).split()) >= SPARED
    returns = shorter and any(_bare(told.text) == _bare(other.text) for other in before[-RECENT:])
    return grammar.sentence(spoken(again)) if returns else told.text


def _bare(text: str) -> str:
    """Give a text without the word that leads on from the step before it."""
    for lead in grammar.LEADS:
        text = text.removeprefix(f"{lead.capitalize()}, ")
    return grammar.lowered(text)


def _same_way(names: Names, first: Step, steps: Sequence[Step]) -> list[Phrase]:
    """Say that the digit of the first what-if fails elsewhere, or others fail there, by the same story."""
    supposed = [step.suppose for step in (first, *steps) if step.suppose is not None]
    (cell, digit), *others = [(cell, mask.bit_length()) for cell, mask in supposed]
    there = [grammar.a(str(its)) for other, its in others if other == cell]
    elsewhere = [other for other, _ in others if other != cell]
    said = [say("{} fails the same way", grammar.listed(there, "or"))] if there else []
    if elsewhere:
        ref = names.cells(elsewhere, "result")
        said.append(say("{} fails the same way in {}", grammar.a(str(digit)), ref))
    return said


def _same_lock(steps: Sequence[Step]) -> Phrase:
    """Say that other digits are locked in the same cells as the first."""
    digits = [f"the {step.digits.bit_length()}" for step in steps]
    return say("the same goes for {}", grammar.listed(digits))


def _left(first: Step, follower: Step) -> int | None:
    """Give the digit of the one cell that a step has narrowed, where that is placed next."""
    if follower.idea != "only digit" or first.places or first.removes.keys() != follower.places.keys():
        return None
    (digit,) = follower.places.values()
    return digit


def _lead(first: Step, follower: Step) -> str:
    """Say how the consequences hang on the first step."""
    placed = [cell for cell in first.places if cell in follower.reason.facts]
    if len(placed) == 1:
        return f"with that {first.places[placed[0]]},"
    return "that means" if first.removes and not first.places else "then"
