"""
What a listener must hold in mind: every weight in one table, each with its reason.

The unit is one glance: seeing the last digit of a row. Measured difficulty of classic puzzles comes from
the complexity of single steps and from how many are open in parallel (Pelanek, FLAIRS 2011, arXiv
1403.7373); the weights say the first, ``profile`` reports both. They are set by judgement ("common
practice, no source") and can be fitted to a host's own recordings.
"""

from __future__ import annotations

from dataclasses import replace

from saywhy.reasoning.frame import Frame
from saywhy.reasoning.step import Step

#: The least that a thought of each idea costs, in glances.
IDEAS: dict[str, float] = {
    "last digit": 1.0,  # one empty cell, nothing to compare
    "only place": 1.3,  # one digit swept through one house
    "only digit": 1.8,  # one cell, but every digit to tick off
    "clue": 1.8,  # one clue, its arithmetic said once
    "rule": 1.5,  # one relation of a rule that is always in mind
    "locked digit": 2.4,  # a sweep that ends in several places
    "pair": 2.8,  # two cells to find, then a sweep
    "hidden pair": 3.4,  # two sweeps at once
    "clue and house": 3.4,  # the clue's arithmetic and the house's needs together
    "derived sum": 3.6,  # a house's total and the cages in it
    "triple": 4.2,  # three cells, each of which may miss a digit
    "hidden triple": 5.2,  # three sweeps at once
    "two clues": 5.0,  # two sets of options held side by side
    "quadruple": 6.0,  # four cells
    "X-wing": 5.0,  # two lines seen together
    "hidden quadruple": 7.0,  # four sweeps at once
    "clue and two houses": 6.5,  # three things held side by side
    "equal sets": 5.0,  # houses compared, then two sets of cells
    "colouring": 6.0,  # a chain walked twice, then a house counted
    "XY-wing": 5.5,  # three cells, two cases
    "XYZ-wing": 6.5,  # three cells, three cases
    "swordfish": 7.5,  # three lines seen together
    "three clues": 9.0,  # three sets of options held side by side
    "jellyfish": 10.0,  # four lines seen together
    "trial": 40.0,  # more cases than can be told: tried out, and said to be so
    "what-if": 8.0,  # a world that is not so, before its first inner step
}

#: The least that a look of each tier of a sweep costs (``Sweeper.looks``), in glances.
FLOORS = tuple(IDEAS[idea] for idea in ("last digit", "pair", "triple", "quadruple", "three clues"))

CLUE = 0.6  # each clue beyond the first is another place to look at
HOUSE = 0.25  # each house seen along
RULE = 0.25  # each grid-wide rule called on
PLACED = 0.06  # each digit pointed at on the board
MARK = 0.45  # each written mark recalled, more than a digit on the board
LISTED = 0.12  # each digit of such a mark, beyond two: those left or those gone, whichever are fewer
CELL = 0.05  # each cell of a clue looked at
INNER = 0.8  # an inner step of a what-if, times its own effort
FAR = 0.02  # each cell of way between a step and the last digit placed
COLUMN = 0.3  # a row or column is swept less easily than a region


def effort(step: Step, digits: int, clue_cells: int = 0) -> float:
    """
    Give the effort of a step in glances.

    Args:
        step: The step, reasons small.
        digits: How many digits the puzzle has.
        clue_cells: How many cells the clues that it uses have in all.
    """
    reason = step.reason
    clues = len(reason.of_kind("clue"))
    facts = reason.facts.values()
    marks = [min(mask.bit_count(), digits - mask.bit_count()) for mask in facts if mask & (mask - 1)]
    total = IDEAS[step.idea]
    total += CLUE * max(0, clues - 1) + CELL * clue_cells
    total += HOUSE * len(reason.of_kind("house")) + RULE * len(reason.of_kind("rule"))
    total += PLACED * (len(facts) - len(marks))
    total += sum(MARK + LISTED * max(0, told - 2) for told in marks)
    if step.story:
        total += sum(INNER * inner.effort for inner in step.story)
    return total


def weighed(frame: Frame, step: Step) -> Step:
    """Give a step with its effort."""
    return replace(step, effort=effort(step, frame.n, frame.clue_cells(step.reason)))
