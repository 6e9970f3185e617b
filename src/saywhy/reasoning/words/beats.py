"""The text of a beat: its first thought in full, its small consequences in one breath."""

from __future__ import annotations

from collections.abc import Sequence

from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step, Told
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.names import Names
from saywhy.reasoning.words.plan import Phrase, say, spoken, told_apart
from saywhy.reasoning.words.scene import Scene
from saywhy.reasoning.words.supposing import flow, inner_clause

#: What leads on from one consequence to the next, in turn.
THEN = ("then", "after that,")


def text(names: Names, pairs: Sequence[tuple[Step, Told]]) -> str:
    """
    Give the text of a beat.

    Args:
        names: The names of the puzzle's things.
        pairs: Its steps with their words, in order; at least one.
    """
    (first, told), *rest = pairs
    if not rest:
        return told.text
    alike = [step for step, _ in rest if step.story]
    rest = [pair for pair in rest if not pair[0].story]
    head = told.text
    if alike:
        (same,) = told_apart((_same_way(names, alike),), names.grid)
        head = f"{head} {grammar.sentence(spoken(same))}"
    if not rest:
        return head
    position = Position.opening(names.frame)
    clauses: list[Phrase] = [inner_clause(Scene(names.frame, names, position, step)) for step, _ in rest]
    lead = _lead(first, rest[0][0])
    if (narrowed := _narrowed(first, rest[0][0])) is not None:
        cell, digit = narrowed
        lead, clauses[0] = "that leaves", say("only {} for {}", digit, names.cells([cell], "result"))
    sentences = flow(clauses)
    opened = [say("{} {}", lead, sentences[0])]
    opened += [say("{} {}", THEN[place % len(THEN)], more) for place, more in enumerate(sentences[1:])]
    settled = told_apart(opened, names.grid)
    return " ".join([head, *(grammar.sentence(spoken(sentence)) for sentence in settled)])


def _same_way(names: Names, steps: Sequence[Step]) -> Phrase:
    """Say that the digit of the first what-if fails elsewhere by the same story."""
    cells = [step.suppose[0] for step in steps if step.suppose is not None]
    digit = next(mask.bit_length() for step in steps if step.suppose is not None for mask in step.suppose[1:])
    return say("{} fails the same way in {}", grammar.a(str(digit)), names.cells(cells, "result"))


def _narrowed(first: Step, follower: Step) -> tuple[int, int] | None:
    """Give the one cell that a step has narrowed and its digit, where that is placed next."""
    if follower.idea != "only digit" or first.places or first.removes.keys() != follower.places.keys():
        return None
    ((cell, digit),) = follower.places.items()
    return cell, digit


def _lead(first: Step, follower: Step) -> str:
    """Say how the consequences hang on the first step."""
    placed = [cell for cell in first.places if cell in follower.reason.facts]
    if len(placed) == 1:
        return f"with that {first.places[placed[0]]},"
    return "that means" if first.removes and not first.places else "then"
