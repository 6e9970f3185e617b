"""A puzzle described in words, for those who do not see the picture; it spoils nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from saywhy.grid import Grid
from saywhy.language import ENGLISH, Language
from saywhy.puzzle import Puzzle
from saywhy.rule import ClueRule, Form
from saywhy.rules import placed

_NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)

#: More places than this are "spread over the grid".
_MOST_PLACES = 4


#: Every English text from which a description, a heading and a key are made, for tables of other languages.
PATTERNS = (
    *_NUMBERS,
    "A {size} by {size} sudoku grid with {regions} and {givens}",
    "For the whole grid: {rules}",
    "{rule}: {clues}, {where}",
    "no regions",
    *(f"{{number}} {noun}" for noun in ("given digit", "clue", "irregular region")),
    *(f"{{number}} {nouns}" for nouns in ("given digits", "clues", "irregular regions")),
    "{boxes} of {height} by {width}",
    "{number} boxes",
    "outside the grid {sides}",
    "spread over the grid",
    "above",
    "below",
    *(f"in the {down} {right}" for down in ("upper", "lower") for right in ("left", "middle", "right")),
    "on the left",
    "on the right",
    "in the centre",
    "{first} and {last}",
    "set by {setter}",
    "The rules",
)


def describe(puzzle: Puzzle, language: Language = ENGLISH) -> str:
    """
    Describe a puzzle: size, regions, givens, and each rule with how many clues it has and where they lie.

    No digit, no printed number and no cell is named, so it can stand beside a picture before the solve.
    """
    return ". ".join(_Describer(language).parts(puzzle)) + "."


class _Describer:
    """Says what a board is like, in one language."""

    def __init__(self, language: Language) -> None:
        self.language = language
        self.say = language.say

    def parts(self, puzzle: Puzzle) -> list[str]:
        grid = puzzle.grid
        given = sum(1 for digit in puzzle.givens if digit)
        parts = [
            self.say(
                "A {size} by {size} sudoku grid with {regions} and {givens}",
                size=grid.size,
                regions=self._regions(grid),
                givens=self._plural(given, "given digit"),
            )
        ]
        rules = placed(puzzle)
        if rules.grid_wide:
            titles = [self.language.sentence(rule.title).lower() for rule in rules.grid_wide.values()]
            parts.append(self.say("For the whole grid: {rules}", rules=self._listed(titles)))
        held: dict[str, list[ClueRule]] = {}
        for rule in rules.clues:
            held.setdefault(rule.title, []).append(rule)
        for title, clues in held.items():
            said = {"rule": self.language.sentence(title), "clues": self._plural(len(clues), "clue")}
            parts.append(self.say("{rule}: {clues}, {where}", **said, where=self._where(clues, grid)))
        return parts

    def _regions(self, grid: Grid) -> str:
        if grid.regions is None:
            return self.say("no regions")
        if grid.box is None:
            return self._plural(grid.size, "irregular region")
        height, width = grid.box
        boxes = self._plural(grid.size, "box")
        return self.say("{boxes} of {height} by {width}", boxes=boxes, height=height, width=width)

    def _plural(self, count: int, noun: str) -> str:
        nouns = noun if count == 1 else noun + ("es" if noun.endswith("x") else "s")
        number = self.say(_NUMBERS[count]) if count < len(_NUMBERS) else str(count)
        return self.say(f"{{number}} {nouns}", number=number)

    def _where(self, clues: Sequence[ClueRule], grid: Grid) -> str:
        if clues[0].form in (Form.OUTSIDE, Form.DIAGONAL):
            sides = dict.fromkeys(_side(rule.scope, grid) for rule in clues)
            return self.say("outside the grid {sides}", sides=self._listed([self.say(at) for at in sides]))
        places = Counter(_place(rule.scope, grid) for rule in clues)
        if len(places) > _MOST_PLACES:
            return self.say("spread over the grid")
        ordered = sorted(places, key=lambda place: (-places[place], place))
        return self._listed([self.say(place) for place in ordered])

    def _listed(self, words: Sequence[str]) -> str:
        if len(words) == 1:
            return words[0]
        return self.say("{first} and {last}", first=", ".join(words[:-1]), last=words[-1])


def _side(scope: Sequence[int], grid: Grid) -> str:
    """Say on which side of the grid a clue stands, by its first cell and the way it looks."""
    row, column = grid.place(scope[0])
    down, right = 0, 0
    if len(scope) > 1:
        next_row, next_column = grid.place(scope[1])
        down, right = next_row - row, next_column - column
    if down > 0 and row == 0:
        return "above"
    if down < 0 and row == grid.size - 1:
        return "below"
    return "on the left" if right > 0 or column == 0 else "on the right"


def _place(scope: Sequence[int], grid: Grid) -> str:
    """Say in which of nine parts of the grid the middle of some cells lies."""
    places = [grid.place(cell) for cell in scope]
    row = (sum(row for row, _ in places) / len(places) + 0.5) / grid.size
    column = (sum(column for _, column in places) / len(places) + 0.5) / grid.size
    down = "upper" if row < 1 / 3 else "lower" if row > 2 / 3 else ""
    right = "left" if column < 1 / 3 else "right" if column > 2 / 3 else ""
    if down:
        return f"in the {down} {right or 'middle'}"
    return f"on the {right}" if right else "in the centre"
