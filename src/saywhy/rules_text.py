"""
The rules of a puzzle as text: written, spoken, and one example of each on the board.

All of it comes from the puzzle as its file states it, never from its solution, so it spoils nothing: an
example is a clue's cells, chosen by their number alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import median_low

from saywhy.grid import Grid
from saywhy.language import ENGLISH, Language
from saywhy.puzzle import Puzzle
from saywhy.rule import ClueRule, Rule
from saywhy.rules import placed

#: Spoken words a minute that lengths are reckoned with (common practice for talk to an audience).
PACE = 150

#: A host has about half a minute for the rules.
MOST_WORDS = PACE // 2


@dataclass(frozen=True)
class Example:
    """
    What to light up on the board while one rule is told.

    Attributes:
        rule: Its name in files.
        title: Its name for people.
        spoken: What is said meanwhile.
        clue: Index of the clue that is shown; None for a rule of the whole grid.
        cells: The cells to light, in the clue's order.
    """

    rule: str
    title: str
    spoken: str
    clue: int | None
    cells: tuple[int, ...]


@dataclass(frozen=True)
class RulesText:
    """
    The rules of one puzzle for its viewers.

    Attributes:
        written: Paragraphs for a description: the grid, then one for each rule.
        spoken: The same to be read aloud in one breath or two.
        examples: One for each rule, in the order of the paragraphs after the first.
    """

    written: tuple[str, ...]
    spoken: str
    examples: tuple[Example, ...]

    @property
    def words(self) -> int:
        """How many words the spoken version has."""
        return len(self.spoken.split())

    @property
    def seconds(self) -> float:
        """How long the spoken version takes at ``PACE``."""
        return self.words * 60 / PACE

    @property
    def brief(self) -> bool:
        """Whether the spoken version fits in about half a minute."""
        return self.words <= MOST_WORDS


@dataclass(frozen=True)
class _Reading:
    """One way in which a rule reads on this board, and the clues that read so."""

    rule: Rule
    clues: list[int]


def rules_text(puzzle: Puzzle, language: Language = ENGLISH) -> RulesText:
    """
    Give the rules of a puzzle as text.

    Args:
        puzzle: The puzzle.
        language: The language of the text.

    Returns:
        Grid-wide rules come first, then rules of clues in the order in which the file first names them. A
        rule whose clues read differently, such as cages with and without a total, has a paragraph for each
        reading.

    Raises:
        RuleError: A clue or grid-wide rule is not allowed on this grid.
    """
    readings = list(_readings(puzzle))
    sentences = [language.sentence(reading.rule.phrases.spoken) for reading in readings]
    return RulesText(
        written=(
            language.sentence(ground_written(puzzle.grid)),
            *(
                f"{language.sentence(reading.rule.title)}: {language.sentence(reading.rule.phrases.written)}"
                for reading in readings
            ),
        ),
        spoken=" ".join([language.sentence(ground_spoken(puzzle.grid)), *sentences]),
        examples=tuple(_example(reading, puzzle, language) for reading in readings),
    )


def ground_written(grid: Grid) -> str:
    """Give the rule of the empty grid for a description."""
    n = grid.size
    if grid.regions is None:
        return f"Every row and every column holds each digit from 1 to {n} once. There are no regions."
    if grid.box is None:
        return f"Every row, every column and every outlined region holds each digit from 1 to {n} once."
    height, width = grid.box
    boxes = f"every box of {height} by {width} cells" if height == width else f"every box of {n} cells"
    return f"Every row, every column and {boxes} holds each digit from 1 to {n} once."


def ground_spoken(grid: Grid) -> str:
    """Give the rule of the empty grid to be read aloud."""
    if grid.regions is None:
        where = "row and column"
    else:
        where = "row, column and box" if grid.box else "row, column and outlined region"
    return f"Every {where} takes the digits 1 to {grid.size}, each once."


def _readings(puzzle: Puzzle) -> Iterator[_Reading]:
    """Go through the rules as they read on this board, each once."""
    rules = placed(puzzle)
    for rule in rules.grid_wide.values():
        yield _Reading(rule, [])
    found: dict[tuple[str, str], _Reading] = {}
    for index, clue in enumerate(rules.clues):
        key = clue.name, clue.phrases.written
        found.setdefault(key, _Reading(clue, [])).clues.append(index)
    yield from found.values()


def _example(reading: _Reading, puzzle: Puzzle, language: Language) -> Example:
    rule = reading.rule
    title, spoken = language.sentence(rule.title), language.sentence(rule.phrases.spoken)
    if not reading.clues:
        return Example(rule.name, title, spoken, None, rule.example)
    clues = placed(puzzle).clues
    best = _best(reading.clues, clues)
    return Example(rule.name, title, spoken, best, clues[best].example)


def _best(indices: list[int], clues: tuple[ClueRule, ...]) -> int:
    """
    Choose the clue to show: of a usual length or shorter, the least entangled, the shortest, the first.

    The shortest of all may be a stub that shows the rule badly, such as a thermometer of two cells, so
    clues shorter than a third of the usual length, or of two cells where others have more, come last.
    """
    usual = median_low(len(clues[index].scope) for index in indices)

    def rank(index: int) -> tuple[bool, bool, int, int, int]:
        cells = set(clues[index].scope)
        stub = len(cells) < min(3, usual) or 3 * len(cells) < usual
        shared = sum(bool(cells & set(other.scope)) for place, other in enumerate(clues) if place != index)
        return len(cells) > usual, stub, shared, len(cells), index

    return min(indices, key=rank)
