"""What stands on the board after each act, undo and redo followed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from msgspec import UNSET, UnsetType

from saywhy.grid import Grid
from saywhy.primitives import mask
from saywhy.recording.acts import AnyAct, Erase, Options, Place, Redo, Sum, Tie, Trait, Undo

#: What a note speaks of: its kind, its cells and, for a tie, the digit, for a trait which pair of traits. One
#: of each stands at a time.
NoteKey = tuple[str, tuple[int, ...], int]


@dataclass(frozen=True)
class Board:
    """
    A board at one moment; givens are not part of it.

    Attributes:
        digits: By cell, the digit and the index of the act that wrote it.
        options: By cell, the mask of digits noted.
        notes: By what they speak of, the acts of all notes that stand, options among them, and their indexes.
    """

    digits: dict[int, tuple[int, int]] = field(default_factory=dict)
    options: dict[int, int] = field(default_factory=dict)
    notes: dict[NoteKey, tuple[AnyAct, int]] = field(default_factory=dict)

    def writers(self) -> dict[NoteKey, int]:
        """Give what stands, with the index of the act that wrote it."""
        digits: dict[NoteKey, int] = {
            ("digit", (cell,), 0): index for cell, (_, index) in self.digits.items()
        }
        return digits | {key: index for key, (_, index) in self.notes.items()}


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
            board = replace(board, digits={**board.digits, grid.cell(name): (digit, index)})
        case Options(cell=name, digits=digits):
            cell = grid.cell(name)
            options = {c: held for c, held in board.options.items() if c != cell}
            board = replace(board, options={**options, cell: mask(digits)} if digits else options)
            board = _noted(board, [("options", (cell,), 0)], (act, index) if digits else None)
        case Erase():
            board = _erased(board, act, grid)
        case Tie(cells=names, digit=digit):
            board = _noted(board, [("tie", _cells(names, grid), digit)], (act, index))
        case Sum(cells=names, total=total):
            key: NoteKey = "sum", _cells(names, grid), 0
            board = _noted(board, [key], None if total is None else (act, index))
        case Trait(cells=names, trait=trait):
            keys = _traits(_cells(names, grid), trait)
            board = _noted(board, keys, None if trait is None else (act, index))
    return board


def _erased(board: Board, act: Erase, grid: Grid) -> Board:
    if act.cell is UNSET:
        return _noted(board, [("tie", _cells(act.cells, grid), int(act.digit or 0))], None)
    cell = grid.cell(act.cell)
    if cell in board.digits:
        return replace(board, digits={c: held for c, held in board.digits.items() if c != cell})
    options = {c: held for c, held in board.options.items() if c != cell}
    return _noted(replace(board, options=options), [("options", (cell,), 0), *_traits((cell,))], None)


def _traits(cells: Sequence[int], trait: str | None = None) -> list[NoteKey]:
    """Give the keys of a trait of cells, of every trait for none; low and high share one, odd and even."""
    kinds = [trait in {"odd", "even"}] if trait else [False, True]
    return [("trait", (cell,), int(kind)) for cell in cells for kind in kinds]


def _cells(names: Sequence[str] | UnsetType, grid: Grid) -> tuple[int, ...]:
    return () if names is UNSET else tuple(sorted({grid.cell(name) for name in names}))


def _noted(board: Board, keys: Sequence[NoteKey], held: tuple[AnyAct, int] | None) -> Board:
    """Write a note in place of what these keys held; None takes that away only."""
    notes = {key: note for key, note in board.notes.items() if key not in keys}
    return replace(board, notes=notes if held is None else {**notes, **dict.fromkeys(keys, held)})
