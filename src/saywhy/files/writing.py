"""Write a puzzle as format 1, and name it by what it says."""

from __future__ import annotations

import json
from collections.abc import Sequence

from saywhy.grid import BOXES, Grid
from saywhy.puzzle import Clue, Puzzle

_SYMBOLS = "ABCDEFGHIJKLMNOP"


def write(puzzle: Puzzle) -> str:
    """Give the text of a puzzle file of format 1; reading it gives an equal puzzle."""
    grid = puzzle.grid
    parts = ["format = 1"]
    parts += [f"{name} = {_text(held)}" for name in ("title", "setter") if (held := getattr(puzzle, name))]
    parts.append(f"size = {grid.size}")
    if any(puzzle.givens):
        width = len(str(grid.size))
        symbols = [(str(digit) if digit else ".").rjust(width) for digit in puzzle.givens]
        parts.append(f'givens = """\n{_board(symbols, grid.size, " ")}\n"""')
    if grid.regions is None:
        parts.append('regions = "none"')
    elif grid.size not in BOXES or grid != Grid.standard(grid.size):
        symbols = [_SYMBOLS[number] for number in grid.regions]
        parts.append(f'regions = """\n{_board(symbols, grid.size, "")}\n"""')
    if puzzle.rules:
        parts.append(f"rules = {json.dumps(puzzle.rules)}")
    if puzzle.all_given:
        parts.append(f"all-given = {json.dumps(puzzle.all_given)}")
    parts += ["\n" + _clue(clue, grid) for clue in puzzle.clues]
    return "\n".join(parts) + "\n"


def canonical(puzzle: Puzzle) -> str:
    """
    Give the text that says the same for the same puzzle, however its file was laid out.

    One JSON object with sorted keys and no spaces. Title and setter are left out: to correct the
    spelling of a title does not make another puzzle. Clues keep their order.
    """
    grid = puzzle.grid
    said = {
        "format": 1,
        "size": grid.size,
        "regions": grid.regions,
        "givens": puzzle.givens,
        "rules": sorted(puzzle.rules),
        "all-given": sorted(puzzle.all_given),
        "clues": [_canonical_clue(clue, grid) for clue in puzzle.clues],
    }
    return json.dumps(said, sort_keys=True, separators=(",", ":"))


def puzzle_id(puzzle: Puzzle) -> str:
    """Give the SHA-256 of the canonical text, in hexadecimal: what recordings refer to."""
    import hashlib  # a third of the time that reading a file takes, and few commands need it

    return hashlib.sha256(canonical(puzzle).encode()).hexdigest()


def _canonical_clue(clue: Clue, grid: Grid) -> dict[str, object]:
    held: dict[str, object] = {
        "rule": clue.rule,
        "cells": grid.names(clue.cells),
        "groups": [grid.names(group) for group in clue.groups],
        "value": clue.value,
        "digits": clue.digits,
        "pill": clue.pill,
        "count": clue.count,
    }
    return {name: value for name, value in held.items() if value not in (None, [], ())}


def _clue(clue: Clue, grid: Grid) -> str:
    lines = ["[[clue]]", f"rule = {_text(clue.rule)}"]
    if clue.cells:
        lines.append(f'cells = "{path_text(clue.cells, grid)}"')
    if clue.groups:
        groups = ", ".join(f'"{path_text(group, grid)}"' for group in clue.groups)
        lines.append(f"groups = [{groups}]")
    if clue.digits:
        lines.append(f"digits = {list(clue.digits)}")
    for name in ("value", "pill", "count"):
        if (number := getattr(clue, name)) is not None:
            lines.append(f"{name} = {number}")
    return "\n".join(lines)


def path_text(cells: Sequence[int], grid: Grid) -> str:
    """Give cells as a file writes them; three or more in a straight run are shortened."""
    words = []
    start = 0
    while start < len(cells):
        end = start + 1
        step = None
        while end < len(cells):
            (row, column), (next_row, next_column) = grid.place(cells[end - 1]), grid.place(cells[end])
            move = next_row - row, next_column - column
            if max(map(abs, move)) != 1 or (step is not None and move != step):
                break
            step = move
            end += 1
        if end - start < 3:
            end = start + 1
        names = grid.names(cells[start:end])
        words.append(names[0] if len(names) == 1 else f"{names[0]}-{names[-1]}")
        start = end
    return " ".join(words)


def _board(symbols: Sequence[str], size: int, between: str) -> str:
    return "\n".join(between.join(symbols[row * size : (row + 1) * size]) for row in range(size))


def _text(held: str) -> str:
    """Give a TOML basic string; JSON's escapes are a part of TOML's, which wants DEL escaped too."""
    return json.dumps(held, ensure_ascii=False).replace("\x7f", "\\u007f")
