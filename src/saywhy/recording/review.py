"""The review of a recorded solve: every move judged, and the whole looked at."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from time import perf_counter
from typing import Any

from saywhy.engine import Budget, prove
from saywhy.errors import NotAllowedError, Problem
from saywhy.grid import Grid
from saywhy.puzzle import Puzzle
from saywhy.reasoning.path import Walk
from saywhy.reasoning.step import PathStep
from saywhy.recording import whole
from saywhy.recording.acts import Finish
from saywhy.recording.chains import SEARCH
from saywhy.recording.chapters import Chapter, chapters, hushed
from saywhy.recording.judging import Judge, Judged, Move, paused
from saywhy.recording.log import Recording, belongs
from saywhy.recording.missed import Missed, missed
from saywhy.recording.shown import START
from saywhy.recording.surprises import Surprise, surprises

#: Wall time for the proof, seconds.
PROOF_S = 30.0


@dataclass(frozen=True)
class Review:
    """
    A recording reviewed.

    Attributes:
        puzzle: The puzzle.
        recording: The recording as read, up to a damage if there is one.
        solution: The puzzle's solution.
        judged: Its moves and boards.
        late: Digits seen late, longest first.
        stalls: Times without a move, longest first.
        passed: What was open by one look and never placed.
        missed: Looks that were never used and would have shortened the solve.
        own: Cells in the order in which they were placed.
        path: The path of least effort.
        agreement: Kendall's tau of both orders; None where there is nothing to compare.
        surprises: What is remarkable in the finished grid.
        chapters: For video sites; empty where the recording is too short.
        seconds: Time that the review took.
    """

    puzzle: Puzzle
    recording: Recording
    solution: tuple[int, ...]
    judged: Judged
    late: list[whole.Late]
    stalls: list[whole.Stall]
    passed: list[whole.Passed]
    missed: list[Missed]
    own: list[int]
    path: Walk
    agreement: float | None
    surprises: list[Surprise]
    chapters: list[Chapter]
    seconds: float
    certified: dict[str, Any] | None = field(default=None)

    @property
    def moves(self) -> list[Move]:
        """Every move, in order."""
        return self.judged.moves

    @property
    def length(self) -> float:
        """Seconds from the start to the last act."""
        return self.recording.acts[-1].t if self.recording.acts else 0.0

    @property
    def played_s(self) -> float:
        """Seconds from the start to the last act, pauses left out."""
        return self.length - paused(self.recording.acts)

    @property
    def counts(self) -> dict[str, int]:
        """How many digits were forced, guessed, wrong and undone."""
        found = Counter(move.verdict for move in self.moves if move.do == "place")
        return {name: found[name] for name in ("forced", "guessed", "wrong", "undone")}

    @property
    def finished(self) -> bool:
        """Whether every cell has its right digit in the end."""
        board = self.judged.played.boards[-1].digits if self.judged.played.boards else {}
        return all(
            given or board.get(cell, (0,))[0] == digit
            for cell, (given, digit) in enumerate(zip(self.puzzle.givens, self.solution, strict=True))
        )

    def chapters_for(self, *, viewers: bool) -> list[Chapter]:
        """Give the chapters; for viewers without titles that could spoil."""
        return hushed(self.chapters) if viewers else self.chapters

    def for_viewers(self, file: str) -> dict[str, Any]:
        """Give what of ``as_json`` spoils nothing: counts, times and chapters."""
        told = self.as_json(file)
        kept = ("counts", "search", "blind", "length", "finished", "said_finished", "time_by_idea", "speed")
        return {
            "file": file,
            "moves": [{"t": move.t, "do": move.do, "verdict": move.verdict} for move in self.moves],
            **{name: told[name] for name in kept},
            "agreement": self.agreement,
            "stalls": [{name: stall[name] for name in ("from", "seconds")} for stall in told["stalls"]],
            "chapters": [{"t": c.t, "title": c.title} for c in self.chapters_for(viewers=True)],
            "damage": told["damage"],
        }

    def as_json(self, file: str) -> dict[str, Any]:
        """Give the object that ``review --json`` prints."""
        grid, damage = self.puzzle.grid, self.recording.damage
        return {
            "file": file,
            "moves": [self._move_json(move) for move in self.moves],
            "counts": self.counts,
            "search": SEARCH,
            "blind": self.recording.header.blind,
            "length": self.length,
            "finished": self.finished,
            "said_finished": any(isinstance(act, Finish) for act in self.recording.acts),
            "late": [
                {
                    "cell": grid.name(item.move.cells[0]),
                    "digit": item.move.digit,
                    "open_since": item.since,
                    "placed": item.move.t,
                    "wait": round(item.wait_s, 2),
                    "cost": round(item.harm_s, 2),
                    "opened_by": self.opened_by(item.move),
                }
                for item in self.late
            ],
            "never_placed": [
                {
                    "cell": grid.name(item.cell),
                    "digit": item.digit,
                    "open_since": item.since,
                    "harder_moves": item.moves,
                }
                for item in self.passed
            ],
            "never_used": [
                {
                    "t": item.t,
                    "look": item.told.written,
                    "effort": round(item.effort, 2),
                    "looks": item.looks,
                    "cell": grid.name(item.cell),
                    "digit": item.digit,
                    "instead": item.instead.said,
                    "instead_effort": round(item.instead.effort, 2),
                    "instead_seconds": round(item.instead.pace_s, 2),
                    "used_later": item.used_s,
                    "step": PathStep(1, 1, item.step, item.told).as_json(grid),
                }
                for item in self.missed
            ],
            "taken_back": [
                {
                    "t": item.t,
                    "do": item.do,
                    "what": item.move.said,
                    "cell": grid.name(item.move.cells[0]),
                    "digit": item.move.digit,
                    "written": item.move.t,
                    "right": item.right,
                }
                for item in self.judged.back
            ],
            "stalls": [
                {
                    "from": round(stall.start, 2),
                    "seconds": round(stall.seconds, 2),
                    "broken_by": stall.broken_by.said,
                    "easiest": stall.easiest,
                    "cell": None if stall.cell is None else grid.name(stall.cell),
                    "looks": stall.looks,
                }
                for stall in self.stalls
            ],
            "order": {
                "own": grid.names(self.own),
                "path": grid.names(whole.path_order(self.path)),
                "agreement": self.agreement,
            },
            "time_by_idea": [
                {"idea": idea, "seconds": round(seconds, 2), "moves": number}
                for idea, seconds, number in whole.time_by_idea(self.moves)
            ],
            "speed": whole.speed(self.judged, [act.t for act in self.recording.acts]),
            "surprises": [surprise.as_json(grid) for surprise in self.surprises],
            "chapters": [{"t": chapter.t, "title": chapter.title} for chapter in self.chapters],
            "damage": None if damage is None else str(damage),
            "certified": self.certified,
            "seconds": round(self.seconds, 3),
        }

    def opened_by(self, move: Move) -> str:
        """Say by which act a move's digit was opened."""
        if move.opening is None:
            return ""
        if move.opening.act == START:
            return "the givens"
        by = next((other for other in self.moves if other.act == move.opening.act), None)
        return "" if by is None else by.said

    def _move_json(self, move: Move) -> dict[str, Any]:
        grid = self.puzzle.grid
        return {
            "t": move.t,
            "do": move.do,
            "cell": grid.name(move.cells[0]),
            "cells": grid.names(move.cells),
            "digit": move.digit,
            "said": move.said,
            "verdict": move.verdict,
            "forced": move.shown,
            "reason": move.reason,
            "open_since": None if move.opening is None else move.opening.since,
            "opened_by": self.opened_by(move),
            "one_look": move.one_look,
            "idea": move.idea,
            "effort": round(move.effort, 2),
            "looks": len(move.steps),
            "rests_on": grid.names(move.rests_on),
            "taken_back": move.taken_s,
            "shown_later": move.shown_s,
            "steps": steps_json(move, grid),
        }


def steps_json(move: Move, grid: Grid) -> list[dict[str, Any]]:
    """Give a move's chain in the form of ``explain --json``."""
    return [PathStep(n, 1, step, told).as_json(grid) for n, (step, told) in enumerate(move.steps, 1)]


class Reviewer:
    """
    Reviews recordings of one puzzle, which is proved and walked through once.

    Raises:
        NotAllowedError: The puzzle does not have exactly one solution.
    """

    def __init__(self, puzzle: Puzzle) -> None:
        started = perf_counter()
        proof = prove(puzzle, Budget(seconds=PROOF_S))
        if proof.verdict != "unique" or proof.solution is None:
            what = f"the puzzle cannot be reviewed: its verdict is {proof.verdict}"
            raise NotAllowedError(Problem(what, "Review a puzzle that has exactly one solution"))
        self.puzzle, self.solution = puzzle, proof.solution
        self.judge = Judge(puzzle, proof.solution)
        self.surprises = surprises(puzzle, proof.solution)
        self.seconds = perf_counter() - started

    def review(self, recording: Recording, *, certify: bool = False) -> Review:
        """
        Review a recording.

        Args:
            recording: One of this puzzle.
            certify: Prove every step of every reason anew by the independent solver.

        Raises:
            NotAllowedError: The recording is of another puzzle.
        """
        started = perf_counter()
        belongs(recording, self.puzzle)
        judge = self.judge
        judged = judge.judge(recording.acts)
        own = whole.own_order(judged.moves)
        stalls = whole.stalls(judged, judged.shown, judge.chains)
        unused = missed(judged, judge.chains, whole.still(judged.moves))
        return Review(
            puzzle=self.puzzle,
            recording=recording,
            solution=self.solution,
            judged=judged,
            late=whole.late(judged, judge.path, recording.acts),
            stalls=stalls,
            passed=whole.passed(judged),
            missed=unused,
            own=own,
            path=judge.path,
            agreement=whole.agreement(own, whole.path_order(judge.path)),
            surprises=self.surprises,
            chapters=chapters(recording.acts),
            seconds=self.seconds + perf_counter() - started,
            certified=_certified(self.puzzle, judged.moves) if certify else None,
        )


def review(puzzle: Puzzle, recording: Recording, *, certify: bool = False) -> Review:
    """
    Review one recording; see ``Reviewer``.

    Raises:
        NotAllowedError: The recording is of another puzzle, or the puzzle does not have one solution.
    """
    belongs(recording, puzzle)
    return Reviewer(puzzle).review(recording, certify=certify)


def _certified(puzzle: Puzzle, moves: list[Move]) -> dict[str, Any]:
    """Prove every step of every reason anew; steps that say the same are proved once."""
    from saywhy.second_opinion import certify

    steps: dict[str, tuple[Move, dict[str, Any]]] = {}
    for move in moves:
        for step in steps_json(move, puzzle.grid):
            key = repr([step[name] for name in ("uses", "facts", "places", "removes")])
            steps.setdefault(key, (move, step))
    faults = []
    for move, step in steps.values():
        if step.get("story"):
            found = _story_faults(puzzle, step)
        else:
            outcome = certify(puzzle, step).outcome
            found = [] if outcome == "holds" else [outcome]
        faults += [{"move": move.said, "fault": fault, "step": step["written"]} for fault in found]
    return {"steps": len(steps), "faults": faults}


def _story_faults(puzzle: Puzzle, step: dict[str, Any]) -> list[str]:
    """Prove a what-if anew, inner steps and all; its facts are taken as told."""
    from saywhy.second_opinion import certify_path

    digits = set(puzzle.grid.digits)
    told = [{"cell": fact["cell"], "digits": sorted(digits - set(fact["digits"]))} for fact in step["facts"]]
    taken = {"n": 1, "uses": {}, "facts": [], "places": [], "removes": told}
    report = certify_path(puzzle, {"complete": False, "steps": [taken, {**step, "n": 2}]})
    faults = [fault for fault in report.faults if fault.startswith("step 2")]
    return faults + [f"step {number}: undecided" for number in report.undecided if number.startswith("2")]
