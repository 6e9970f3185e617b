"""The verdict card: what a host may know before the recording, and what ``--reveal`` adds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from saywhy import rules
from saywhy.grid import Grid
from saywhy.terminal.about import counted, heading, measures, rule_titles
from saywhy.terminal.card import Card

if TYPE_CHECKING:
    from saywhy.engine import Conflict, Proof
    from saywhy.puzzle import Puzzle
    from saywhy.reasoning.profile import Profile
    from saywhy.terminal.checking import Checked

VERDICTS = {
    "unique": "exactly one solution: fit to air",
    "none": "no solution",
    "many": "more than one solution",
    "undecided": "not decided in the time allowed",
}


def unfit(verdict: str, longer: str = "saywhy check --seconds") -> str:
    """
    Say why there is no path of a puzzle with this verdict, and what to do about it.

    Args:
        verdict: Any but ``unique``.
        longer: What allows more time.
    """
    if verdict == "undecided":
        return f"{VERDICTS[verdict]}; {longer} allows more"
    return f"{VERDICTS[verdict]}; saywhy repair looks for the fewest changes that give it exactly one"


def verdict_card(checked: Checked, *, reveal: bool) -> Card:
    """Give the card of a checked puzzle; without ``reveal`` nothing on it names a digit or a cell."""
    puzzle, proof, clash = checked.puzzle, checked.proof, checked.clash
    found = Card(
        heading(puzzle, checked.source), {"unique": True, "undecided": None}.get(proof.verdict, False)
    )
    found.add("verdict", VERDICTS[proof.verdict])
    if proof.solution is not None and proof.other is not None:
        differ = sum(a != b for a, b in zip(proof.solution, proof.other, strict=True))
        found.add("", f"two solutions differ in {differ} cells")
    if clash is not None and clash.minimal:
        found.add("", f"{_members(clash)} cannot hold together")
    elif clash is not None:
        found.add("", "what clashes was not narrowed down in the time allowed")
    found.add("size", measures(puzzle))
    if titles := rule_titles(puzzle):
        found.add("rules", titles)
    if checked.effort is not None:
        add_effort(found, checked.effort)
    if checked.stuck:
        found.add("effort", "not measured: no path to the end was found")
    found.add("proof", f"{proof.seconds:.3f} s, {proof.nodes} digits tried")
    if reveal:
        _add_reveal(found, puzzle, proof, clash)
    return found


def add_effort(found: Card, profile: Profile) -> None:
    """Add what the effort is and how long the talk takes."""
    from saywhy.reasoning.profile import whole_minutes

    least, likely, most = map(whole_minutes, profile.minutes)
    found.add("effort", f"{profile.band}: {counted(profile.beats, 'beat')}, {profile.narrow} of them narrow")
    what_ifs = f"needs {counted(profile.what_ifs, 'what-if')}" if profile.what_ifs else "no what-if needed"
    found.add("", what_ifs)
    span = f" ({least} to {most})" if least < most else ""
    found.add("length", f"about {counted(likely, 'minute')} of talk{span}")


def _add_reveal(found: Card, puzzle: Puzzle, proof: Proof, clash: Conflict | None) -> None:
    """Add what spoils: solutions with the cells in which they differ, and the clues that clash."""
    if proof.solution is not None:
        found.add("solution", grid_lines(proof.solution, puzzle.grid))
    if proof.solution is not None and proof.other is not None:
        found.add("other", grid_lines(proof.other, puzzle.grid))
        pairs = enumerate(zip(proof.solution, proof.other, strict=True))
        found.add("differ", " ".join(puzzle.grid.names(cell for cell, (a, b) in pairs if a != b)))
    if clash is not None:
        found.add("clash", [*members_named(puzzle, clash), _standing(clash)])


def grid_lines(digits: Sequence[int], grid: Grid) -> list[str]:
    """Give a filled grid as lines of digits."""
    width = len(str(grid.size))
    rows = (digits[row * grid.size : (row + 1) * grid.size] for row in range(grid.size))
    return [" ".join(str(digit).rjust(width) for digit in row) for row in rows]


def _members(clash: Conflict) -> str:
    counts = [
        (len(clash.clues), "clue"),
        (len(clash.givens), "given"),
        (len(clash.houses), "house"),
        (len(clash.rules), "grid-wide rule"),
    ]
    words = [counted(number, noun) for number, noun in counts if number]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def members_named(puzzle: Puzzle, clash: Conflict) -> list[str]:
    """Give what clashes, each clue, given, house and rule with where it stands: this spoils."""
    grid, placed = puzzle.grid, rules.placed(puzzle)
    clues = []
    for index in clash.clues:
        line = puzzle.clues[index].line
        where = f" (line {line})" if line is not None else ""
        names = " ".join(grid.names(placed.clues[index].scope))
        clues.append(f"clue {index + 1}{where}: {placed.clues[index].phrases.noun}, {names}")
    givens = [f"{puzzle.givens[cell]} in {grid.name(cell)}" for cell in clash.givens]
    return [*clues, *givens, *clash.houses, *clash.rules]


def _standing(clash: Conflict) -> str:
    if clash.smallest:
        return "No smaller clash is there."
    return "All of these are needed for it." if clash.minimal else "Some may be to spare: time ran out."
