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
    position = Position.opening(names.frame)
    clauses: list[Phrase] = [inner_clause(Scene(names.frame, names, position, step)) for step, _ in rest]
    sentences = flow(clauses)
    lead = _lead(first, rest[0][0])
    opened = [say("{} {}", lead, sentences[0]), *(say("then {}", more) for more in sentences[1:])]
    settled = told_apart(opened, names.grid)
    return " ".join([told.text, *(grammar.sentence(spoken(sentence)) for sentence in settled)])


def _lead(first: Step, follower: Step) -> str:
    """Say how the consequences hang on the first step."""
    placed = [cell for cell in first.places if cell in follower.reason.facts]
    if len(placed) == 1:
        return f"with that {first.places[placed[0]]},"
    return "that means" if first.removes and not first.places else "then"
