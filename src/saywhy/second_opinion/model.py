"""A puzzle, or the named parts of it, posted to the general-purpose solver."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from saywhy.puzzle import Puzzle
from saywhy.second_opinion.board import Board
from saywhy.second_opinion.registry import clue_models, grid_models


@dataclass(frozen=True)
class Model:
    """
    A posted model.

    Attributes:
        board: The solver's variables and constraints.
        houses: Names of the rows, columns and regions posted.
        rules: Names of the grid-wide rules posted.
        clues: Indexes of the clues posted.
    """

    board: Board
    houses: tuple[str, ...]
    rules: tuple[str, ...]
    clues: tuple[int, ...]


def house_cells(puzzle: Puzzle) -> dict[str, tuple[int, ...]]:
    """
    Give the cells of every row, column and region by name.

    Regions are numbered in reading order of their first cells, whatever numbers the grid gives them.
    """
    n = puzzle.grid.size
    found = {f"row {r + 1}": tuple(r * n + c for c in range(n)) for r in range(n)}
    found |= {f"column {c + 1}": tuple(r * n + c for r in range(n)) for c in range(n)}
    regions: dict[int, list[int]] = {}
    for cell, region in enumerate(puzzle.grid.regions or ()):
        regions.setdefault(region, []).append(cell)
    found |= {f"region {k}": tuple(cells) for k, cells in enumerate(regions.values(), 1)}
    return found


def grid_wide_names(puzzle: Puzzle) -> tuple[str, ...]:
    """Name the grid-wide rules of a puzzle; all borders of which all marks are given count as one rule."""
    return (*puzzle.rules, *(("all-given",) if puzzle.all_given else ()))


def build(  # noqa: PLR0913
    puzzle: Puzzle,
    *,
    houses: Iterable[str] | None = None,
    rules: Iterable[str] | None = None,
    clues: Iterable[int] | None = None,
    givens: bool = False,
    domains: Mapping[int, Iterable[int]] | None = None,
) -> Model:
    """
    Post a puzzle, or parts of it.

    Args:
        puzzle: Only its fields are read; no code of a rule's own file runs.
        houses: Names such as ``row 3``, ``column 2``, ``region 5``; None for all.
        rules: Names of grid-wide rules that the puzzle has, ``all-given`` being one; None for all.
        clues: Indexes of clues in file order; None for all.
        givens: Whether the given digits are posted.
        domains: For cell indices, the digits that may stand there; every digit elsewhere.

    Raises:
        ValueError: The puzzle has no such house, rule or clue, or there is no model of a rule.
        NotAllowedError: OR-Tools is not installed.
    """
    known = house_cells(puzzle)
    wide = grid_wide_names(puzzle)
    chosen_houses = tuple(known if houses is None else dict.fromkeys(houses))
    chosen_rules = tuple(wide if rules is None else dict.fromkeys(rules))
    chosen_clues = tuple(range(len(puzzle.clues)) if clues is None else dict.fromkeys(clues))
    _refuse_unknown("house", chosen_houses, known)
    _refuse_unknown("grid-wide rule", chosen_rules, wide)
    _refuse_unknown("clue", chosen_clues, range(len(puzzle.clues)))
    _refuse_unknown("model of grid-wide rule", chosen_rules, grid_models())
    _refuse_unknown("model of rule", [puzzle.clues[k].rule for k in chosen_clues], clue_models())

    board = Board(puzzle, domains)
    for name in chosen_houses:
        board.different(known[name])
    for name in chosen_rules:
        grid_models()[name](board)
    for index in chosen_clues:
        clue = puzzle.clues[index]
        clue_models()[clue.rule](board, clue)
    if givens:
        for cell, digit in enumerate(puzzle.givens):
            if digit:
                board.model.add(board.cell(cell) == digit)
    return Model(board, chosen_houses, chosen_rules, chosen_clues)


def _refuse_unknown(kind: str, asked: Iterable[object], known: Iterable[object]) -> None:
    there = set(known)
    for one in asked:
        if one not in there:
            raise ValueError(f"there is no {kind} {one!r} in this puzzle")
