"""What a card says about a puzzle without saying anything about its solution."""

from __future__ import annotations

from collections import Counter

from saywhy import rules
from saywhy.puzzle import Puzzle


def heading(puzzle: Puzzle, source: str) -> str:
    """Give the puzzle's title and setter, or the file's name."""
    title = puzzle.title or source
    return f"{title}, by {puzzle.setter}" if puzzle.setter else title


def measures(puzzle: Puzzle) -> str:
    """Give size, regions and how much is given: ``9 by 9, 3 givens, 11 clues``."""
    size = puzzle.grid.size
    parts = [f"{size} by {size}"]
    if puzzle.grid.regions is None:
        parts.append("no regions")
    elif puzzle.grid.box is None:
        parts.append("irregular regions")
    parts.append(counted(sum(digit > 0 for digit in puzzle.givens), "given"))
    if puzzle.clues:
        parts.append(counted(len(puzzle.clues), "clue"))
    return ", ".join(parts)


def rule_titles(puzzle: Puzzle) -> str:
    """Name the rules beyond rows, columns and regions, with how often each stands on the board."""
    held = rules.placed(puzzle)
    titles = [rule.title for rule in held.grid_wide.values()]
    counts = Counter(clue.title for clue in held.clues)
    titles += [title if many == 1 else f"{title} ({many})" for title, many in counts.items()]
    return ", ".join(titles)


def counted(number: int, noun: str) -> str:
    """Give a number with its noun: ``1 clue``, ``2 clues``, ``no clues``."""
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}"
