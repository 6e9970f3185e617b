"""A puzzle as its file states it: immutable values, no behaviour of any rule."""

from __future__ import annotations

from dataclasses import dataclass, field

from saywhy.grid import Grid


@dataclass(frozen=True)
class Clue:
    """
    One ``[[clue]]`` of a puzzle file; what it means is its rule's business.

    Attributes:
        rule: Name of the rule, such as ``double-arrow``.
        cells: Cell indices in the order written; empty where ``groups`` is used.
        groups: Groups of cells in the order written; empty where ``cells`` is used.
        value: The printed number, if any.
        digits: The printed digits (quadruple), repeats kept.
        pill: How many first cells of an arrow make one number.
        count: How many cells an edge sum reaches.
        line: Line of the file on which the clue begins; not part of its identity.
    """

    rule: str
    cells: tuple[int, ...] = ()
    groups: tuple[tuple[int, ...], ...] = ()
    value: int | None = None
    digits: tuple[int, ...] = ()
    pill: int | None = None
    count: int | None = None
    line: int | None = field(default=None, compare=False)


@dataclass(frozen=True)
class Puzzle:
    """
    A puzzle: grid, givens, grid-wide rules and clues.

    Attributes:
        grid: Size and regions.
        givens: One digit a cell, 0 where the cell is empty.
        rules: Names of the grid-wide rules, in file order.
        all_given: Names of the clue rules of which all are given, in file order.
        clues: In file order; an index into this tuple names a clue in every output.
        title: Shown to people; plain text from a stranger.
        setter: The setter's credit; plain text from a stranger.
    """

    grid: Grid
    givens: tuple[int, ...]
    rules: tuple[str, ...] = ()
    all_given: tuple[str, ...] = ()
    clues: tuple[Clue, ...] = ()
    title: str = ""
    setter: str = ""
