"""What stands on the board after each act, undo and redo followed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from msgspec import UNSET

from saywhy.grid import Grid
from saywhy.primitives import mask
from saywhy.recording.acts import AnyAct, Erase, Options, Place, Redo, Sum, Tie, Tint, Trait, Undo


@dataclass(frozen=True)
class Board:
    """
    A board at one moment; givens are not part of it.

    Attributes:
        digits: By cell, the digit and the index of the act that wrote it.
        options: By cell, the mask of digits noted.
    """

    digits: dict[int, tuple[int, int]] = field(default_factory=dict)
    options: dict[int, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Played:
    """
    A recording played through.

    Attributes:
        boards: The board after each act.
        taken: For each act that wrote a digit or a note that did not stay: when it was taken back or gave
            way, in seconds.
    """

    boards: tuple[Board, ...]
    taken: dict[int, float]


def play(acts: Sequence[AnyAct], grid: Grid) -> Played:
    """
    Play acts on an empty board.

    Args:
        acts: Acts whose cells and digits are on the grid.
        grid: The grid.
    """
    board = Board()
    done: list[tuple[int, Board]] = []
    undone: list[tuple[int, Board]] = []
    boards: list[Board] = []
    taken: dict[int, float] = {}
    for index, act in enumerate(acts):
        before = board
        if isinstance(act, Undo) and done:
            number, board = done.pop()
            undone.append((number, before))
            taken[number] = act.t
        elif isinstance(act, Redo) and undone:
            number, board = undone.pop()
            done.append((number, before))
            taken.pop(number, None)
        elif act.writes and not isinstance(act, Undo | Redo):
            board = _after(board, act, index, grid)
            done.append((index, before))
            undone.clear()
        _note_taken(before, board, act.t, taken)
        boards.append(board)
    return Played(tuple(boards), taken)


def _note_taken(before: Board, after: Board, t: float, taken: dict[int, float]) -> None:
    """Note which writers lost their digit, and which have it back."""
    if before.digits is after.digits:
        return
    for cell, held in before.digits.items():
        if after.digits.get(cell) != held:
            taken[held[1]] = t
    for cell, held in after.digits.items():
        if before.digits.get(cell) != held:
            taken.pop(held[1], None)


def _after(board: Board, act: AnyAct, index: int, grid: Grid) -> Board:
    match act:
        case Place(cell=name, digit=digit):
            cell = grid.cell(name)
            return replace(board, digits={**board.digits, cell: (digit, index)})
        case Erase(cell=name) if name is not UNSET:
            cell = grid.cell(str(name))
            if cell in board.digits:
                return replace(board, digits={c: held for c, held in board.digits.items() if c != cell})
            return replace(board, options={c: held for c, held in board.options.items() if c != cell})
        case Options(cell=name, digits=digits):
            cell = grid.cell(name)
            options = {c: held for c, held in board.options.items() if c != cell}
            return replace(board, options=options if not digits else {**options, cell: mask(digits)})
        case Erase() | Tie() | Sum() | Trait() | Tint():
            return board
        case _:
            raise AssertionError(f"{act} does not write")
