"""How a solve is opened and closed: where to start, and that the last digit was the last one."""

from __future__ import annotations

from saywhy.reasoning.frame import Frame
from saywhy.reasoning.step import Step
from saywhy.reasoning.words import grammar
from saywhy.reasoning.words.names import Names

CLOSE = "And that was the last one."


def opened(names: Names, step: Step, text: str) -> str:
    """
    Give the text of a solve's first thought with the place where it is: "Start in the top left box: ...".

    Args:
        names: The names of the puzzle's things.
        step: The first step.
        text: The beat that it leads.
    """
    first, *rest = grammar.sentences(text)
    where = _where(names, step)
    if where.removeprefix("in ") in grammar.lowered(first):
        return f"To start, {grammar.lowered(text)}"
    start = f"Start {where}"
    joined = f"{start}: {grammar.lowered(first)}"
    if grammar.word_count(joined) <= grammar.WORDS:
        return " ".join([joined, *rest])
    return f"{start}. {text}"


def _where(names: Names, step: Step) -> str:
    """Name the smallest house that holds what is looked at, boxes first; else point at the cells."""
    frame = names.frame
    cells = _looked_at(frame, step)
    ranked = sorted(enumerate(frame.grid.houses), key=lambda house: house[1].kind != "region")
    for index, house in ranked:
        if cells <= set(house.cells):
            return f"in {names.house(frame.houses[index][1]).spoken}"
    clues = step.reason.of_kind("clue")
    if not clues:
        return "here"
    clue = names.clue(clues[0])
    return f"with {clue.verb('this', 'these')} {clue.spoken.removeprefix('the ')}"


def _looked_at(frame: Frame, step: Step) -> set[int]:
    clues = step.reason.of_kind("clue")
    if clues:
        return {cell for source in clues for cell in frame.clues[source.number].scope}
    if step.house is not None:
        return set(frame.houses[step.house][0].cells)
    return {*step.places, *step.removes}
