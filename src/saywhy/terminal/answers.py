"""What ``saywhy explain`` says back: about one cell, or from somebody's position."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from saywhy.errors import NotAllowedError, Problem
from saywhy.terminal.lines import print_json

if TYPE_CHECKING:
    from saywhy.files.positions import Board
    from saywhy.puzzle import Puzzle
    from saywhy.reasoning import Path
    from saywhy.reasoning.step import PathStep


def show_at(path: Path, name: str, source: str, *, as_json: bool) -> None:
    """
    Say why one cell is what it is: the steps that its digit rests on, in order.

    Raises:
        NotAllowedError: There is no such cell, or the path does not come to it.
    """
    from saywhy.reasoning.answer import rests_on

    grid = path.puzzle.grid
    try:
        cell = grid.cell(name)
    except ValueError as error:
        raise NotAllowedError(Problem(str(error), "Name a cell of the grid", "--at"), source) from error
    given = path.puzzle.givens[cell]
    steps = rests_on(path, cell)
    if not steps and not given:
        what = f"the path does not come to {name}"
        raise NotAllowedError(Problem(what, "Ask for a cell that it places", "--at"), source)
    if as_json:
        print_json({"file": source, "cell": name, "given": bool(given), "steps": _steps(path, steps)})
    elif given:
        click.echo(f"The {given} in {name} is given.")
    else:
        for step in steps:
            click.echo(click.wrap_text(step.told.written, 88, f"{step.n:>4}  ", " " * 6))


def show_from(puzzle: Puzzle, file: str, source: str, strength: int, *, as_json: bool) -> None:
    """
    Say what is first to be said at somebody's position.

    Raises:
        SaywhyError: The position file is not good.
    """
    from saywhy.engine import prove
    from saywhy.files.positions import read_board
    from saywhy.primitives import mask
    from saywhy.reasoning.answer import from_position, nudge
    from saywhy.reasoning.claims import Claims

    board = read_board(file, puzzle.grid)
    solution = prove(puzzle).solution
    assert solution is not None, "only puzzles with one solution come here"
    options = {cell: mask(left) for cell, left in board.options.items()}
    answer = from_position(puzzle, Claims(board.digits, options), solution)
    text = answer.text
    if answer.kind == "next" and strength < 3:
        text = nudge(puzzle, answer.steps[0], strength)
    others = _others_false(board, solution, answer.cells) if answer.kind == "false" else {}
    if any(others.values()):
        text = f"{text.removesuffix('.')}, and {_others(others)}."
    if as_json:
        found: dict[str, Any] = {"file": source, "kind": answer.kind, "text": text}
        if answer.kind == "false":
            found["others"] = others
        if answer.kind != "next" or strength >= 2:
            found["cells"] = puzzle.grid.names(answer.cells)
        if answer.kind == "next" and strength >= 3:
            found["steps"] = [step.as_json(puzzle.grid) for step in answer.steps]
        print_json(found)
        return
    click.echo(click.wrap_text(text, 88))
    if answer.kind == "next" and strength >= 3:
        for step in answer.steps:
            if step.told.written != text:
                click.echo(click.style(click.wrap_text(step.told.written, 88, "    ", "    "), dim=True))


def _others_false(board: Board, solution: Sequence[int], told: Sequence[int]) -> dict[str, int]:
    """Count the digits and the notes that are false beside those told: how many, not which."""
    digits = [cell for cell, digit in board.digits.items() if digit != solution[cell]]
    options = [cell for cell, left in board.options.items() if solution[cell] not in left]
    if digits:
        return {"digits": len(set(digits) - set(told)), "options": len(options)}
    return {"digits": 0, "options": len(set(options) - set(told))}


def _others(counts: Mapping[str, int]) -> str:
    digits, notes = counts["digits"], counts["options"]
    parts = []
    if digits:
        parts.append(f"{_words(digits)} more digit{'' if digits == 1 else 's'} on the board")
    if notes:
        parts.append(f"the notes of {_words(notes)} other cell{'' if notes == 1 else 's'}")
    return f"{' and '.join(parts)} {'is' if digits == 1 and not notes else 'are'} false"


def _words(count: int) -> str:
    small = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
    return small[count] if count < len(small) else str(count)


def _steps(path: Path, steps: list[PathStep]) -> list[dict[str, object]]:
    return [step.as_json(path.puzzle.grid) for step in steps]
