"""What the key beside the grid says: which mark is which rule."""

from __future__ import annotations

from dataclasses import dataclass

from saywhy.drawing.collect import collect
from saywhy.drawing.samples import Sample, example, sample
from saywhy.language import ENGLISH, Language
from saywhy.puzzle import Puzzle
from saywhy.rule import Rule
from saywhy.rules import placed


@dataclass(frozen=True)
class KeyEntry:
    """
    One rule in the key.

    Attributes:
        rule: Its name in files.
        title: Its name for people.
        text: One or two short sentences.
        sample: Its mark, drawn on a few cells.
    """

    rule: str
    title: str
    text: str
    sample: Sample


def ground_rule(puzzle: Puzzle, language: Language = ENGLISH) -> str:
    """Give the rule of the empty grid in one sentence."""
    grid = puzzle.grid
    if grid.regions is None:
        houses = "row and column"
    elif grid.box is not None:
        houses = "row, column and box"
    else:
        houses = "row, column and outlined region"
    return language.sentence(f"Every {houses} holds each digit from 1 to {grid.size} once.")


def key_entries(puzzle: Puzzle, language: Language = ENGLISH) -> tuple[KeyEntry, ...]:
    """
    Give the entries of a puzzle's key.

    Returns:
        Grid-wide rules first, then the rules of clues in the order in which the file first names them; a rule
        whose clues read differently (a line that differs by 4, one that differs by 5) has an entry for each
        reading.
    """
    rules = placed(puzzle)
    drawn = collect(puzzle)
    found: dict[tuple[str, str], KeyEntry] = {}
    for name, rule in rules.grid_wide.items():
        shapes = [item.shape for item in drawn if item.clue is None and item.rule == name]
        drawn_example = sample(shapes) if shapes else example(rule.example, puzzle.grid.size)
        _add(found, name, rule, drawn_example, language)
    by_clue: dict[int, list[int]] = {}
    for place, item in enumerate(drawn):
        if item.clue is not None:
            by_clue.setdefault(item.clue, []).append(place)
    for index, clue_rule in enumerate(rules.clues):
        name = puzzle.clues[index].rule
        if (name, clue_rule.phrases.spoken) not in found:
            shapes = [drawn[place].shape for place in by_clue.get(index, ())]
            _add(found, name, clue_rule, sample(shapes), language)
    return tuple(found.values())


def _add(
    found: dict[tuple[str, str], KeyEntry], name: str, rule: Rule, drawn: Sample, language: Language
) -> None:
    spoken = rule.phrases.spoken
    entry = KeyEntry(name, language.sentence(rule.title), language.sentence(spoken), drawn)
    found.setdefault((name, spoken), entry)
