"""Rules of the whole grid: diagonals, chess moves, neighbours, places in boxes, unmarked borders."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from saywhy.second_opinion.board import Board
from saywhy.second_opinion.registry import grid_wide


@grid_wide("falling-diagonal")
def falling(board: Board) -> None:
    """Top left to bottom right: each digit once."""
    board.different([k * board.size + k for k in range(board.size)])


@grid_wide("rising-diagonal")
def rising(board: Board) -> None:
    """Bottom left to top right: each digit once."""
    board.different([(board.size - 1 - k) * board.size + k for k in range(board.size)])


@grid_wide("diagonals")
def both(board: Board) -> None:
    """Both diagonals: each digit once."""
    falling(board)
    rising(board)


@grid_wide("anti-knight")
def knight(board: Board) -> None:
    """Squared distance 5: digits differ."""
    for a, b in _at_squared_distance(board, 5):
        board.model.add(board.cell(a) != board.cell(b))


@grid_wide("anti-king")
def king(board: Board) -> None:
    """Squared distance 2, that is corner to corner: digits differ."""
    for a, b in _at_squared_distance(board, 2):
        board.model.add(board.cell(a) != board.cell(b))


@grid_wide("non-consecutive")
def apart(board: Board) -> None:
    """Squared distance 1: digits are equal or at least 2 apart (the houses rule out equal)."""
    allowed = [gap for gap in range(1 - board.size, board.size) if abs(gap) != 1]
    for a, b in _at_squared_distance(board, 1):
        board.among(board.cell(a) - board.cell(b), allowed)


@grid_wide("disjoint-groups")
def same_places(board: Board) -> None:
    """The k-th cells, in reading order, of all regions: each digit once."""
    regions: dict[int, list[int]] = {}
    for cell, region in enumerate(board.puzzle.grid.regions or ()):
        regions.setdefault(region, []).append(cell)
    for cells in zip(*regions.values(), strict=True):
        board.different(cells)


#: For a rule of which all are given: how two digits stand that an unmarked border rules out.
_RELATIONS: dict[str, Callable[[int, int], bool]] = {
    "white-dot": lambda a, b: abs(a - b) == 1,
    "black-dot": lambda a, b: 2 * min(a, b) == max(a, b),
    "x": lambda a, b: a + b == 10,
    "v": lambda a, b: a + b == 5,
}


@grid_wide("all-given")
def unmarked(board: Board) -> None:
    """Borders without a mark: none of the pairs of digits that such a mark would allow."""
    marks: dict[frozenset[int], set[str]] = {}
    for clue in board.puzzle.clues:
        if clue.rule in _RELATIONS:
            marks.setdefault(frozenset(clue.cells), set()).add(clue.rule)
    dots = {"white-dot", "black-dot"}
    for a, b in _at_squared_distance(board, 1):
        there = marks.get(frozenset((a, b)), set())
        refused = set()
        for x in range(1, board.size + 1):
            for y in range(1, board.size + 1):
                for name in board.puzzle.all_given:
                    stands_in = dots if {x, y} == {1, 2} and dots <= set(board.puzzle.all_given) else {name}
                    needed = stands_in if name in dots else {name}
                    if _RELATIONS[name](x, y) and not there & needed:
                        refused.add((x, y))
        if refused:
            board.model.add_forbidden_assignments([board.cell(a), board.cell(b)], sorted(refused))


def _at_squared_distance(board: Board, wanted: int) -> Iterator[tuple[int, int]]:
    """Give every two cells whose centres are so far apart, each pair once."""
    n = board.size
    reach = range(-2, 3)
    for a in range(n * n):
        row, column = divmod(a, n)
        for down in reach:
            for right in reach:
                to_row, to_column = row + down, column + right
                if down**2 + right**2 == wanted and 0 <= to_row < n and 0 <= to_column < n:
                    b = to_row * n + to_column
                    if a < b:
                        yield a, b
