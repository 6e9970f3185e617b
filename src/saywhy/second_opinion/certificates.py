"""The certificate of one step: what it names, with its conclusion denied, has no solution."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from saywhy.puzzle import Puzzle
from saywhy.second_opinion.answers import quiet_solver
from saywhy.second_opinion.board import Board, solver_library
from saywhy.second_opinion.model import build, house_cells

#: Digits that may stand in a cell, by cell index.
Marks = Mapping[int, frozenset[int]]

#: A step in the form that ``explain --json`` prints it.
Step = Mapping[str, Any]


@dataclass(frozen=True)
class Certificate:
    """
    What came of denying a step's conclusion.

    Attributes:
        outcome: ``holds``, ``fails`` or ``undecided`` (out of time).
        counterexample: Where it fails, a filling of the cells concerned, by cell name, that obeys all that
            the step names and not its conclusion.
        seconds: Time taken, building included.
    """

    outcome: Literal["holds", "fails", "undecided"]
    counterexample: Mapping[str, int] = field(default_factory=dict)
    seconds: float = 0.0

    @property
    def holds(self) -> bool:
        """Whether the certificate is good."""
        return self.outcome == "holds"


def certify(
    puzzle: Puzzle, step: Step, *, supposing: Marks | None = None, seconds: float | None = 10.0
) -> Certificate:
    """
    Check that a step follows from exactly what it names.

    The clues, houses and grid-wide rules of ``uses`` are posted and nothing else, not even givens; ``facts``
    narrow their cells; then at least one of ``places`` and ``removes`` must be false. A step that concludes
    nothing claims that what it names cannot be.

    Args:
        puzzle: The puzzle that the step belongs to.
        step: As ``explain`` gives it.
        supposing: Further facts, as inside a what-if.
        seconds: Time allowed; None for any.

    Raises:
        ValueError: The step names what the puzzle does not have, or is not in the expected form.
        NotAllowedError: OR-Tools is not installed.
    """
    started = time.perf_counter()
    uses = step.get("uses", {})
    facts = meet(read_marks(puzzle, step.get("facts", ())), supposing or {})
    denials = [
        *((cell, all_digits(puzzle) - digits) for cell, digits in read_places(puzzle, step).items()),
        *read_marks(puzzle, step.get("removes", ())).items(),
    ]
    if any(not digits for digits in facts.values()):
        return Certificate("holds", {}, time.perf_counter() - started)
    model = build(
        puzzle,
        houses=uses.get("houses", ()),
        rules=uses.get("rules", ()),
        clues=uses.get("clues", ()),
        domains=facts,
    )
    board = model.board
    board.all(facts)
    for name in model.houses:  # follows from the house, but the solver is slow to see it
        board.sums_to(house_cells(puzzle)[name], sum(all_digits(puzzle)))
    _deny(board, denials)
    library = solver_library()
    solver = quiet_solver(seconds)
    status = solver.solve(board.model)
    spent = time.perf_counter() - started
    if status == library.INFEASIBLE:
        return Certificate("holds", {}, spent)
    if status in (library.OPTIMAL, library.FEASIBLE):
        filling = {
            puzzle.grid.name(cell): int(solver.value(variable))
            for cell, variable in sorted(board.spoken_of.items())
        }
        return Certificate("fails", filling, spent)
    return Certificate("undecided", {}, spent)


def _deny(board: Board, denials: Sequence[tuple[int, frozenset[int]]]) -> None:
    """Demand that at least one of these cells holds one of its digits; nothing if there are none."""
    if len(denials) == 1:
        cell, digits = denials[0]
        board.among(board.cell(cell), digits)
    elif denials:
        board.model.add_bool_or(
            [board.has(cell, digit) for cell, digits in denials for digit in sorted(digits)]
        )


def all_digits(puzzle: Puzzle) -> frozenset[int]:
    """Give every digit of the puzzle."""
    return frozenset(range(1, puzzle.grid.size + 1))


def meet(marks: Marks, others: Marks) -> dict[int, frozenset[int]]:
    """Give the marks that agree with both; a cell that only one names keeps what that one says."""
    found = dict(marks)
    for cell, digits in others.items():
        found[cell] = found.get(cell, digits) & digits
    return found


def read_marks(puzzle: Puzzle, entries: Iterable[Mapping[str, Any]]) -> dict[int, frozenset[int]]:
    """
    Read ``[{"cell": "r1c1", "digits": [2, 5]}]``; a cell named twice gets the digits of both.

    Raises:
        ValueError: Not in this form, off the grid, or not a digit of the puzzle.
    """
    found: dict[int, frozenset[int]] = {}
    for entry in entries:
        cell = puzzle.grid.cell(_part(entry, "cell"))
        digits = frozenset(_part(entry, "digits"))
        if not digits <= all_digits(puzzle):
            raise ValueError(f"{entry} has digits that the puzzle does not have")
        found[cell] = found.get(cell, frozenset()) | digits
    return found


def read_places(puzzle: Puzzle, step: Step) -> dict[int, frozenset[int]]:
    """
    Read ``[{"cell": "r1c1", "digit": 5}]`` as marks of one digit each.

    Raises:
        ValueError: Not in this form, or two digits in one cell.
    """
    entries = [{"cell": _part(p, "cell"), "digits": [_part(p, "digit")]} for p in step.get("places", ())]
    found = read_marks(puzzle, entries)
    if any(len(digits) > 1 for digits in found.values()):
        raise ValueError(f"step {step.get('n')} places two digits in one cell")
    return found


def _part(entry: Mapping[str, Any], key: str) -> Any:
    if key not in entry:
        raise ValueError(f"{dict(entry)} has no {key!r}")
    return entry[key]
