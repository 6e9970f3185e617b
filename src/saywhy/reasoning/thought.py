"""
When two steps are one thought: what the same clues show on nearly the same premises is said once.

Whether a joint thought is also told as one is for the words to say (``explain.told``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from saywhy.reasoning.effort import weighed
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.step import Reason, Step

#: Cells whose digits or marks one thought may settle.
MOST_CELLS = 4
#: Two steps on the same clues are one thought where they rest on so many more cells than one of them does.
MORE = 1
#: Ideas whose thought is about clues.
CLUE_IDEAS = {"clue", "clue and house", "clue and two houses", "derived sum", "two clues", "three clues"}


def stands(step: Step, known: Sequence[int]) -> bool:
    """Say whether all facts of a step hold where these marks stand (one mask a cell)."""
    return all(not known[cell] & ~mask for cell, mask in step.reason.facts.items())


def joined(frame: Frame, first: Step, second: Step) -> Step | None:
    """
    Give two steps as one, or nothing where they are two thoughts or settle too many cells for one.

    The facts of the second are to hold before the first.
    """
    if (
        not {first.idea, second.idea} <= CLUE_IDEAS
        or first.reason.of_kind("clue") != second.reason.of_kind("clue")
        or len({*first.places, *first.removes, *second.places, *second.removes}) > MOST_CELLS
    ):
        return None
    facts = dict(first.reason.facts)
    for cell, mask in second.reason.facts.items():
        facts[cell] = facts.get(cell, mask) & mask
    if len(facts) > max(len(first.reason.facts), len(second.reason.facts)) + MORE:
        return None
    hard = max(first, second, key=lambda step: step.effort)
    one = replace(
        hard,
        reason=Reason(first.reason.sources | second.reason.sources, facts),
        places={**first.places, **second.places},
        removes={
            cell: first.removes.get(cell, 0) | second.removes.get(cell, 0)
            for cell in (*first.removes, *second.removes)
            if cell not in first.places and cell not in second.places
        },
        parts=(*(first.parts or (first,)), *(second.parts or (second,))),
    )
    return weighed(frame, one)


def same_lock(first: Step, second: Step) -> bool:
    """Say whether two digits of one house are locked and strike the same cells, or some of the same house."""
    one, two = first.removes.keys(), second.removes.keys()
    return (
        first.idea == second.idea == "locked digit"
        and first.house == second.house
        and (one == two or (min(len(one), len(two)) > 1 and not one.isdisjoint(two)))
    )


def same_story(first: Step, second: Step) -> bool:
    """Say whether two what-ifs suppose one digit in two cells, or two in one cell, and go on the same way."""
    if first.suppose is None or second.suppose is None or first.places or second.places:
        return False  # a digit placed is a thought of its own
    (cell, digit), (other, its) = first.suppose, second.suppose
    return (
        (digit == its) != (cell == other)
        and len(first.story) == len(second.story)
        and all(
            one.places == two.places
            and one.removes == two.removes
            and one.breaks == two.breaks
            and one.house == two.house
            and {**one.reason.facts, cell: 0, other: 0} == {**two.reason.facts, cell: 0, other: 0}
            for one, two in zip(first.story, second.story, strict=True)
        )
    )
