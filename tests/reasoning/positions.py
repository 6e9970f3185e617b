"""Puzzles and positions written down in a line or two."""

from __future__ import annotations

from saywhy.files import read_text
from saywhy.puzzle import Puzzle
from saywhy.reasoning.frame import Frame
from saywhy.reasoning.position import Position


def puzzle(text: str) -> Puzzle:
    """Give the one puzzle of a text."""
    return read_text(text)[0]


def toml(size: int, givens: str = "", extra: str = "") -> Puzzle:
    """Give a puzzle of this size from its rows, parted by spaces, and further lines of TOML."""
    rows = givens.split() or ["." * size] * size
    written = "\n".join(" ".join(row) for row in rows)
    return puzzle(f'format = 1\nsize = {size}\ngivens = """\n{written}\n"""\n{extra}')


def clue(rule: str, cells: str, value: int | None = None) -> str:
    """Give one clue in TOML."""
    valued = "" if value is None else f"value = {value}\n"
    return f'[[clue]]\nrule = "{rule}"\ncells = "{cells}"\n{valued}'


def opening(held: Puzzle) -> Position:
    """Give the opening position of a puzzle."""
    return Position.opening(Frame(held))


def keep(position: Position, marks: dict[str, str]) -> Position:
    """Write marks: for each cell's name the digits that stay."""
    for name, digits in marks.items():
        mask = sum(1 << (int(digit) - 1) for digit in digits)
        position.remove({position.frame.grid.cell(name): position.frame.full & ~mask})
    return position


def named(position: Position, masks: dict[int, int]) -> dict[str, str]:
    """Give masks by cell in names and digits."""
    grid = position.frame.grid
    return {
        grid.name(cell): "".join(str(digit) for digit in grid.digits if mask >> (digit - 1) & 1)
        for cell, mask in masks.items()
    }
