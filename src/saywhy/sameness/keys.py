"""Keys of a puzzle: one that it shares with its symmetric copies, one that it shares with its likes."""

from __future__ import annotations

from dataclasses import dataclass

from saywhy.engine.constraints import constraints
from saywhy.primitives import Pair
from saywhy.puzzle import Puzzle
from saywhy.sameness.encoding import encode, relabels
from saywhy.sameness.graphs import ColouredGraph
from saywhy.sameness.relations import relations

#: Goes before every key. Raised when keys come to be made another way: keys of different forms are not
#: compared, and a catalogue of them is made anew.
FORM = "1"


@dataclass(frozen=True)
class Keys:
    """
    What a puzzle is known by.

    Attributes:
        same: As ``same_key``.
        near: As ``near_key``.
    """

    same: str
    near: str


def keys(puzzle: Puzzle) -> Keys:
    """
    Give both keys of a puzzle.

    Raises:
        RuleError: A rule is not allowed on this grid.
    """
    return Keys(same_key(puzzle), near_key(puzzle))


def same_key(puzzle: Puzzle) -> str:
    """
    Give a text that two puzzles share just where they are the same puzzle.

    They are where what the one asks becomes what the other asks by an exchange of cells, which takes rows
    and columns to rows and columns and regions to regions (turns, mirrors, rows, columns, bands and stacks
    exchanged), and a relabelling of digits: any at all where nothing is summed or counted, else that of d to
    n + 1 - d. Title, setter, the order of clues and the end from which a line is drawn tell no puzzles
    apart.

    Returns:
        The form of the key, a colon, and 64 hexadecimal digits. Nothing can be read from it about the
        solution.

    Raises:
        RuleError: A rule is not allowed on this grid.
    """
    asked = relations(puzzle)
    graph = encode(asked)
    if relabels(asked):
        return f"{FORM}:{graph.certificate()}"
    other = encode(relations(puzzle, turned=True))
    one_outline, other_outline = graph.outline(), other.outline()
    if one_outline != other_outline:
        return f"{FORM}:{(graph if one_outline < other_outline else other).certificate()}"
    return f"{FORM}:{min(graph.certificate(), other.certificate())}"


def near_key(puzzle: Puzzle) -> str:
    """
    Give a text that puzzles share which look alike but for their digits and numbers.

    They have the same grid, givens in the same places and the same rules on the same cells, after exchanges
    as for ``same_key``. Which digits are given and what numbers are printed does not count, nor does the
    direction of a line.

    Raises:
        RuleError: A rule is not allowed on this grid.
    """
    graph = ColouredGraph()
    for digit in puzzle.givens:
        graph.vertex(("given" if digit else "cell",))
    for house in puzzle.grid.houses:
        graph.vertex(("region" if house.kind == "region" else "line",), house.cells)
    for constraint in constraints(puzzle):
        if constraint.source.kind == "rule":
            primitive = constraint.primitive
            cells = (primitive.a, primitive.b) if isinstance(primitive, Pair) else primitive.cells
            graph.vertex(("rule",), cells)
    for clue in puzzle.clues:
        groups = [graph.vertex(("group",), group) for group in clue.groups]
        graph.vertex(("clue", clue.rule), [*clue.cells, *groups])
    return f"{FORM}:{graph.certificate()}"
