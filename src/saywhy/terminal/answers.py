"""What ``saywhy explain`` says back: about one cell, or from somebody's position."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from saywhy.errors import NotAllowedError, Problem
from saywhy.terminal.lines import print_json
from saywhy.terminal.waiting import waiting

if TYPE_CHECKING:
    from saywhy.engine import Budget
    from saywhy.files.positions import Board
    from saywhy.puzzle import Puzzle
    from saywhy.reasoning.step import PathStep


def show_at(puzzle: Puzzle, name: str, source: str, budget: Budget, *, as_json: bool) -> str:
    """
    Say why one cell is what it is: the steps that its digit rests on, in order.

    Returns:
        The puzzle's verdict; nothing is said unless it is ``unique``.

    Raises:
        NotAllowedError: There is no such cell, or the path does not come to it.
    """
    from saywhy.engine import prove

    try:
        cell = puzzle.grid.cell(name)
    except ValueError as error:
        raise NotAllowedError(Problem(str(error), "Name a cell of the grid", "--at"), source) from error
    given = puzzle.givens[cell]
    verdict, steps = (prove(puzzle, budget).verdict, []) if given else _steps_to(puzzle, cell, budget)
    if verdict != "unique":
        return verdict
    if not steps and not given:
        what = f"the path does not come to {name}"
        raise NotAllowedError(Problem(what, "Ask for a cell that it places", "--at"), source)
    if as_json:
        told = [step.as_json(puzzle.grid) for step in steps]
        print_json({"file": source, "cell": name, "given": bool(given), "steps": told})
    elif given:
        click.echo(f"The {given} in {name} is given.")
    else:
        for step in steps:
            click.echo(click.wrap_text(step.told.written, 88, f"{step.n:>4}  ", " " * 6))
    return verdict


def _steps_to(puzzle: Puzzle, cell: int, budget: Budget) -> tuple[str, list[PathStep]]:
    """Give the verdict, and the steps on which a cell's digit rests."""
    from saywhy.reasoning import explain
    from saywhy.reasoning.answer import rests_on

    with waiting("Looking for the path"):
        path = explain(puzzle, budget)
    return path.verdict, rests_on(path, cell)


def show_from(  # noqa: PLR0913 - a position of a puzzle, and how much to say of it
    puzzle: Puzzle, file: str, source: str, strength: int, budget: Budget, *, as_json: bool
) -> str:
    """
    Say what is first to be said at somebody's position.

    Returns:
        The puzzle's verdict; nothing is said unless it is ``unique``.

    Raises:
        SaywhyError: The position file is not good.
    """
    from saywhy.engine import prove
    from saywhy.files.positions import read_board
    from saywhy.primitives import mask
    from saywhy.reasoning.answer import from_position, nudge
    from saywhy.reasoning.claims import Claims

    board = read_board(file, puzzle.grid)
    proof = prove(puzzle, budget)
    if proof.verdict != "unique" or proof.solution is None:
        return proof.verdict
    options = {cell: mask(left) for cell, left in board.options.items()}
    with waiting("Looking at the position"):
        answer = from_position(puzzle, Claims(board.digits, options), proof.solution)
    text = answer.text
    if answer.kind == "next" and strength < 3:
        text = nudge(puzzle, answer.steps[0], strength)
    others = _others_false(board, proof.solution, answer.cells) if answer.kind == "false" else {}
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
        return proof.verdict
    click.echo(click.wrap_text(text, 88))
    if answer.kind == "next" and strength >= 3:
        for step in answer.steps:
            if step.told.written != text:
                click.echo(click.style(click.wrap_text(step.told.written, 88, "    ", "    "), dim=True))
    return proof.verdict


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
