"""What a trimming is, and the small things that all ways to trim share."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from saywhy.puzzle import Puzzle
from saywhy.reasoning.profile import Profile
from saywhy.setting.symmetry import Symmetry, symmetries
from saywhy.setting.watch import Watch

#: Seconds for one path.
PATH_S = 20.0


@dataclass(frozen=True)
class Part:
    """
    Clues and givens that go together or stay together.

    Attributes:
        clues: Places of clues.
        givens: Cells.
    """

    clues: tuple[int, ...] = ()
    givens: tuple[int, ...] = ()


@dataclass(frozen=True)
class Trimming:
    """
    A puzzle with less on it and the same one solution.

    Attributes:
        clues: Places of the clues that went.
        givens: Cells whose givens went.
        puzzle: What is left.
        pattern: The symmetry of the givens that are left, in words; empty where they have none.
        effort: The effort of its path; None where it was not measured or there is no path to the end.
    """

    clues: tuple[int, ...]
    givens: tuple[int, ...]
    puzzle: Puzzle
    pattern: str = ""
    effort: Profile | None = None

    @property
    def size(self) -> int:
        """How much went."""
        return len(self.clues) + len(self.givens)


@dataclass(frozen=True)
class Trimmed:
    """
    What of a puzzle is not needed.

    Attributes:
        puzzle: The puzzle.
        verdict: Only a ``unique`` puzzle is trimmed.
        spare_clues: Places of the clues without which, one by one, there is still one solution.
        spare_givens: Cells of such givens.
        spare_rules: Names of grid-wide rules that are not needed; they are left where they are.
        trimmings: The best first; empty where nothing may go.
        proved: For ``fewest`` and ``pretty``: whether it is proved that no fewer givens suffice, nor fewer
            clues with these givens. For ``all``: whether these are all.
        least: How many givens at least stay where that is not proved.
        effort: The effort before.
        unmet: What was wished for and could not be had, a sentence; empty where all could.
    """

    puzzle: Puzzle
    verdict: str
    spare_clues: tuple[int, ...] = ()
    spare_givens: tuple[int, ...] = ()
    spare_rules: tuple[str, ...] = ()
    trimmings: tuple[Trimming, ...] = ()
    proved: bool = False
    least: int = 0
    effort: Profile | None = None
    unmet: str = ""


def without(puzzle: Puzzle, clues: Collection[int], givens: Collection[int]) -> Puzzle:
    """Give a puzzle without some clues and givens."""
    digits = tuple(0 if cell in givens else digit for cell, digit in enumerate(puzzle.givens))
    kept = tuple(clue for place, clue in enumerate(puzzle.clues) if place not in clues)
    return replace(puzzle, givens=digits, clues=kept)


def pattern(puzzle: Puzzle) -> str:
    """Give the symmetry of the givens in words; empty where they have none."""
    held = [cell for cell, digit in enumerate(puzzle.givens) if digit]
    kinds: list[Symmetry] = symmetries(held, puzzle.grid.size)
    return kinds[0].name if kinds else ""


def measured(puzzle: Puzzle, watch: Watch) -> Profile | None:
    """
    Give the effort of a puzzle's path; None where there is no path to the end.

    Raises:
        StoppedError: The time is over.
    """
    from saywhy.reasoning import explain

    left = watch.left()
    return explain(puzzle, seconds=PATH_S if left is None else min(PATH_S, left)).effort
