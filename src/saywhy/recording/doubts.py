"""
On what a digit rests that nothing had shown: digits and notes of the solver that are wrong or unproved.

A digit that one look or a short chain forces only once such claims are believed rests on them. Claims that
are true are believed first, then all of them; of these the ones are named that the looks rely on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from saywhy.primitives import digits_of, mask
from saywhy.reasoning.position import Position
from saywhy.reasoning.step import Step
from saywhy.recording.acts import AnyAct, Options, Sum, Tie, Trait
from saywhy.recording.board import Board
from saywhy.recording.chains import Chains, Goal
from saywhy.recording.notes import noted
from saywhy.recording.shown import Shown


@dataclass(frozen=True)
class Claim:
    """
    A claim of the solver's that stands on the board and that nothing has shown.

    Attributes:
        said: In words.
        cells: What it speaks of.
        wrong: Whether it is not so in the solution.
        digit: For a digit that was placed, that digit; otherwise 0.
        act: The note; None for a digit.
    """

    said: str
    cells: tuple[int, ...]
    wrong: bool
    digit: int = 0
    act: AnyAct | None = None


class Doubts:
    """Finds on which doubtful claims a digit rests."""

    def __init__(self, chains: Chains, solution: Sequence[int]) -> None:
        self.chains, self.frame, self.solution = chains, chains.frame, solution

    def standing(self, board: Board, shown: Shown, doubted: Mapping[int, Claim]) -> list[Claim]:
        """
        Give the doubtful claims that stand on a board.

        Args:
            board: The board.
            shown: What has been shown.
            doubted: Notes that were wrong or guessed, by the index of their act.
        """
        name, givens = self.frame.grid.name, self.frame.puzzle.givens
        claims = [
            Claim(f"the {digit} in {name(cell)}", (cell,), digit != self.solution[cell], digit)
            for cell, (digit, _) in board.digits.items()
            if not shown.position.placed[cell] and not givens[cell]
        ]
        notes = {index for _, index in board.notes.values()} & doubted.keys()
        return claims + [doubted[index] for index in sorted(notes)]

    def rests_on(self, claims: Sequence[Claim], shown: Shown, cell: int, digit: int) -> list[Claim]:
        """Give the claims on which a digit rests; empty where it follows from none of them."""
        others = [claim for claim in claims if claim.cells != (cell,) or not claim.digit]
        true = [claim for claim in others if not claim.wrong]
        for believed in (true, others) if len(true) < len(others) else (true,):
            if not believed:
                continue
            position = self._believing(shown.position, believed)
            if position.placed[cell] or not position.domain(cell) >> (digit - 1) & 1 or position.broken:
                continue
            steps = self._steps(position, shown, cell, digit)
            if not steps and believed is true:
                steps = self.chains.to(position, Goal(cell, digit)) or []
            if steps and (used := self._used(steps, shown.position, believed)):
                return used
        return []

    def _steps(self, position: Position, shown: Shown, cell: int, digit: int) -> list[Step]:
        one = shown.easiest(cell, digit, shown.one_look(position))
        return [one] if one is not None else self.chains.easy(position, Goal(cell, digit)) or []

    def _used(self, steps: Sequence[Step], base: Position, claims: Sequence[Claim]) -> list[Claim]:
        """Give the claims that steps rely on: their digits, and marks that the notes alone strike out."""
        facts: dict[int, int] = {}
        for step in steps:
            for cell, left in step.reason.facts.items():
                facts[cell] = facts.get(cell, self.frame.full) & left
        used = []
        for claim in claims:
            if claim.digit:
                if claim.cells[0] in facts:
                    used.append(claim)
            elif any(facts.get(c, self.frame.full) & gone != gone for c, gone in self._gone(base, claim)):
                used.append(claim)
        return used

    def _gone(self, base: Position, claim: Claim) -> list[tuple[int, int]]:
        """Give what a note strikes out of a position, as a mask for each cell."""
        after = self._believing(base, [claim])
        return [
            (cell, gone)
            for cell in self.frame.grid.cells
            if (gone := base.domain(cell) & ~after.domain(cell)) and not after.placed[cell]
        ]

    def _believing(self, base: Position, claims: Sequence[Claim]) -> Position:
        """Give a position with claims believed, digits first."""
        position = base.copy()
        for claim in claims:
            if claim.digit:
                position.place(claim.cells[0], claim.digit)
        for claim in claims:
            if claim.act is not None:
                position.remove(self._struck(position, claim.act, claim.cells))
        return position

    def _struck(self, position: Position, act: AnyAct, cells: Sequence[int]) -> dict[int, int]:
        match act:
            case Options() | Trait():
                return noted(act, cells, self.frame.n)
            case Tie(digit=digit):
                return {
                    cell: 1 << (digit - 1)
                    for house, _ in self.frame.houses
                    if set(cells) <= set(house.cells)
                    for cell in house.cells
                    if cell not in cells
                }
            case Sum(total=total) if total is not None:
                return self._of_sum(position, cells, total)
        return {}

    def _of_sum(self, position: Position, cells: Sequence[int], total: int) -> dict[int, int]:
        """Strike out what is too low or too high for a total, the others at their ends."""
        digits = {cell: digits_of(position.domain(cell)) for cell in cells}
        if not all(digits.values()):
            return {}
        low, high = sum(min(held) for held in digits.values()), sum(max(held) for held in digits.values())
        return {
            cell: mask([d for d in held if not low - min(held) <= total - d <= high - max(held)])
            for cell, held in digits.items()
        }
