"""A whole path re-proved: each step's certificate, each fact's origin, and the grid that it ends in."""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from saywhy.puzzle import Puzzle
from saywhy.second_opinion.answers import enumerate_fillings, search
from saywhy.second_opinion.certificates import (
    Certificate,
    Marks,
    Step,
    all_digits,
    certify,
    meet,
    read_marks,
    read_places,
)
from saywhy.second_opinion.model import build


@dataclass(frozen=True)
class CheckedStep:
    """
    What was found about one step.

    Attributes:
        n: The step's own number; inside a what-if ``3.1``, ``3.2`` ...
        certificate: Of the step as a whole; None if the step could not be read.
        faults: What is wrong, in sentences; empty if nothing is.
        inner: The steps of its story, if it tells one.
    """

    n: str
    certificate: Certificate | None
    faults: tuple[str, ...]
    inner: tuple[CheckedStep, ...] = ()


@dataclass(frozen=True)
class PathReport:
    """
    What was found about a path.

    Attributes:
        steps: In order.
        faults: Everything wrong with the path and its steps, each with the step's number.
        undecided: Numbers of the steps for which time ran out.
        seconds: Time taken.
    """

    steps: tuple[CheckedStep, ...]
    faults: tuple[str, ...]
    undecided: tuple[str, ...]
    seconds: float

    @property
    def sound(self) -> bool:
        """Whether all of it was proved."""
        return not self.faults and not self.undecided


def certify_path(
    puzzle: Puzzle,
    path: Mapping[str, Any],
    *,
    seconds_a_step: float | None = 10.0,
    seconds_for_solution: float | None = 10.0,
) -> PathReport:
    """
    Re-prove a path as ``explain`` gives it.

    Checked are: every certificate, inner steps of a what-if included; that every digit missing from a fact
    was ruled out before, in that very cell, by a given, a placed digit or a removed one; that no step
    contradicts a solution found independently; and that a path called complete ends in a full grid that is a
    solution.

    A what-if supposes what its conclusion denies (or what its ``suppose`` says, which must cover that): its
    inner steps may use that as a fact, their own conclusions live only inside it, and it must end in a
    contradiction: a step that concludes nothing, or a cell with no digit left.

    Args:
        puzzle: The puzzle.
        path: With ``steps`` and ``complete``.
        seconds_a_step: Time allowed for a certificate.
        seconds_for_solution: Time allowed for finding a solution where the path does not end in one.
    """
    started = time.perf_counter()
    solution, faults = _solution(puzzle, path, seconds_for_solution)
    checker = _Checker(puzzle, seconds_a_step)
    state: Marks = {
        cell: frozenset({digit}) if digit else all_digits(puzzle) for cell, digit in enumerate(puzzle.givens)
    }
    steps = []
    for place, step in enumerate(path.get("steps", ()), 1):
        checked, state = checker.check(step, str(step.get("n", place)), state, solution)
        steps.append(checked)
    everything = list(_flat(steps))
    faults += [f"step {step.n}: {fault}" for step in everything for fault in step.faults]
    undecided = tuple(s.n for s in everything if s.certificate and s.certificate.outcome == "undecided")
    return PathReport(tuple(steps), tuple(faults), undecided, time.perf_counter() - started)


def _solution(
    puzzle: Puzzle, path: Mapping[str, Any], seconds: float | None
) -> tuple[tuple[int, ...] | None, list[str]]:
    """
    Find a solution that no step may contradict.

    Returns:
        The path's own final grid if that is a solution, else one that the solver finds, None if it finds
        none; and what is wrong with the end of the path.
    """
    faults: list[str] = []
    final = dict(enumerate(puzzle.givens))
    for step in path.get("steps", ()):
        try:
            final |= {cell: min(digits) for cell, digits in read_places(puzzle, step).items()}
        except (ValueError, TypeError, AttributeError):
            continue  # the step is reported when its turn comes
    if all(final.values()):
        domains = {cell: (digit,) for cell, digit in final.items()}
        model = build(puzzle, givens=True, domains=domains)
        own = enumerate_fillings(model, puzzle.grid.cells, 1, seconds)
        if own.solutions:
            return own.solutions[0], faults
        faults.append("the final grid is not a solution")
    elif path.get("complete"):
        faults.append("the path is called complete but leaves cells empty")
    found = search(puzzle, 1, seconds)
    if not found.solutions:
        faults.append("the puzzle has no solution" if found.finished else "no solution was found in time")
        return None, faults
    return found.solutions[0], faults


class _Checker:
    """Checks steps of one puzzle, each against the pencil marks before it."""

    def __init__(self, puzzle: Puzzle, seconds: float | None) -> None:
        self.puzzle = puzzle
        self.seconds = seconds

    def check(
        self,
        step: Step,
        number: str,
        state: Marks,
        solution: Sequence[int] | None,
        supposing: Marks | None = None,
    ) -> tuple[CheckedStep, Marks]:
        """
        Check one step.

        Args:
            step: The step.
            number: What to call it.
            state: What is established before it, suppositions included.
            solution: A solution that it must not contradict; None inside a what-if.
            supposing: The suppositions in force; None outside a what-if.

        Returns:
            The step, checked, and what is established after it if it is believed.
        """
        try:
            facts = read_marks(self.puzzle, step.get("facts", ()))
            placed = read_places(self.puzzle, step)
            removed = read_marks(self.puzzle, step.get("removes", ()))
            certificate = certify(self.puzzle, step, supposing=supposing, seconds=self.seconds)
        except (ValueError, TypeError, KeyError, AttributeError) as error:
            return CheckedStep(number, None, (f"cannot be read: {error}",)), state
        faults = list(self._unestablished(facts, state))
        if solution is not None:
            faults += self._contradictions(placed, removed, solution)
        if certificate.outcome == "fails":
            faults.append(f"does not follow: {dict(certificate.counterexample)} obeys all that it names")
        if not placed and not removed and supposing is None:
            faults.append("concludes nothing")
        inner: tuple[CheckedStep, ...] = ()
        if step.get("story"):
            inner, troubles = self._story(
                step, number, state, supposing or {}, self._denial(facts, placed, removed)
            )
            faults += troubles
        after = meet(state, placed)
        for cell, digits in removed.items():
            after[cell] -= digits
        return CheckedStep(number, certificate, tuple(faults), inner), after

    def _denial(self, facts: Marks, placed: Marks, removed: Marks) -> Marks:
        """Give for each cell concerned the digits that its facts allow and its conclusion does not."""
        denied = dict(removed)
        for cell, digits in placed.items():
            denied[cell] = denied.get(cell, frozenset()) | (all_digits(self.puzzle) - digits)
        return {cell: digits & facts.get(cell, digits) for cell, digits in denied.items()}

    def _story(
        self, step: Step, number: str, state: Marks, supposing: Marks, denial: Marks
    ) -> tuple[tuple[CheckedStep, ...], list[str]]:
        supposed = denial
        if "suppose" in step:
            supposed = read_marks(self.puzzle, [step["suppose"]])
        elif len(denial) != 1:
            return (), [f"its story supposes one cell's digits, but it concludes about {len(denial)} cells"]
        if any(not digits <= supposed.get(cell, frozenset()) for cell, digits in denial.items()):
            return (), ["it concludes more than the opposite of what its story supposes"]
        within = meet(supposing, supposed)
        now: Marks = meet(state, supposed)
        inner: list[CheckedStep] = []
        ended = False
        for place, told in enumerate(step["story"], 1):
            checked, now = self.check(told, f"{number}.{place}", now, None, within)
            inner.append(checked)
            concludes = told.get("places") or told.get("removes")
            proved = checked.certificate is not None and checked.certificate.holds
            ended = any(not digits for digits in now.values()) or (proved and not concludes)
        return tuple(inner), [] if ended else ["its story does not end in a contradiction"]

    def _unestablished(self, facts: Marks, state: Marks) -> Iterator[str]:
        for cell, digits in facts.items():
            missing = state[cell] - digits
            if missing:
                name, listed = self.puzzle.grid.name(cell), ", ".join(map(str, sorted(missing)))
                yield f"relies on {name} not being {listed}, which nothing before it shows"

    def _contradictions(self, placed: Marks, removed: Marks, solution: Sequence[int]) -> Iterator[str]:
        for cell, digits in placed.items():
            if solution[cell] not in digits:
                yield f"places {min(digits)} in {self.puzzle.grid.name(cell)}, where a solution has another"
        for cell, digits in removed.items():
            if solution[cell] in digits:
                yield f"removes {solution[cell]} from {self.puzzle.grid.name(cell)}, where a solution has it"


def _flat(steps: Sequence[CheckedStep]) -> Iterator[CheckedStep]:
    for step in steps:
        yield step
        yield from _flat(step.inner)
