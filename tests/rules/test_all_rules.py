"""One walk over all rules that discovery finds: docs, titles, words, parts, pictures."""

from __future__ import annotations

import importlib
import re
from collections import Counter
from pathlib import Path

import pytest

from saywhy import rules as package
from saywhy.rule import ClueRule, Form, GridRule, Rule
from saywhy.rules import all_rules, clue_rules, grid_rules, pair_rules, placed
from saywhy.shapes import Area, Corner, Edge, Line, Outside, Ring, Shape, Sign
from tests.rules.samples import empty, grid_of, samples, specimen

HEADINGS = ("Meaning", "Drawn as", "Example", "Often confused with", "Source")
RULES = all_rules()

#: The rules of the trade that the program promises.
_PROMISED = """
diagonals falling-diagonal rising-diagonal anti-knight anti-king non-consecutive disjoint-groups all-given
odd even low-spot high-spot counting-circles
white-dot black-dot x v pair-sum less-than quadruple
thermometer slow-thermometer arrow double-arrow between-line lockout-line palindrome renban whisper nabner
parity-line modular-line entropic-line region-sum-line sum-line zipper-line
killer-cage equal-sum-cages clone extra-region magic-square
little-killer sandwich x-sum skyscraper numbered-room edge-sum
"""


def _module(name: str) -> str:
    found = importlib.import_module(f"saywhy.rules.{name.replace('-', '_')}").__doc__
    assert found
    return found


def _placed(name: str) -> list[Rule]:
    """Give every placed rule of this name in the samples."""
    found: list[Rule] = []
    for owner, puzzle in samples():
        if owner == name:
            rules = placed(puzzle)
            found += [rule for rule in (*rules.grid_wide.values(), *rules.clues) if rule.name == name]
    assert found
    return found


def test_discovery_finds_the_promised_rules() -> None:
    assert set(RULES) == set(_PROMISED.split())


def test_each_file_holds_the_rule_of_its_name_and_no_other() -> None:
    files = {path.stem for path in Path(package.__path__[0]).glob("*.py")} - {"__init__"}
    assert files == {name.replace("-", "_") for name in RULES}
    for name, rule in RULES.items():
        assert rule.__module__ == f"saywhy.rules.{name.replace('-', '_')}"


def test_each_rule_is_one_of_the_grid_or_of_a_clue() -> None:
    assert set(grid_rules()) | set(clue_rules()) | {"all-given"} == set(RULES)
    assert not set(grid_rules()) & set(clue_rules())
    assert set(pair_rules()) == {"white-dot", "black-dot", "x", "v"}


@pytest.mark.parametrize("name", RULES)
def test_the_docs_of_a_rule_have_all_headings_in_order(name: str) -> None:
    text = _module(name)
    found = re.findall(r"^(\S.*):$", text, re.MULTILINE)
    assert found == list(HEADINGS)
    for heading, after in zip(HEADINGS, (*HEADINGS[1:], ""), strict=True):
        body = text.partition(f"\n{heading}:\n")[2].partition(f"\n{after}:\n")[0] if after else text
        assert len(body.split()) > 3, heading
    first = text.strip().splitlines()[0]
    assert first == f"{RULES[name].title}."


@pytest.mark.parametrize("name", RULES)
def test_the_name_and_the_title_of_a_rule_are_plain(name: str) -> None:
    assert re.fullmatch(r"[a-z]+(-[a-z]+)*", name)
    title = RULES[name].title
    assert title[0].isupper()
    assert title.lower().replace(" ", "-") == name


@pytest.mark.parametrize("name", RULES)
def test_the_specimen_of_a_rule_uses_it_and_each_of_its_options(name: str) -> None:
    puzzle, rule = specimen(name), RULES[name]
    if issubclass(rule, GridRule):
        assert puzzle.rules == (name,)
        return
    if not issubclass(rule, ClueRule):
        assert puzzle.all_given
        return
    assert {clue.rule for clue in puzzle.clues} == {name}
    for field in rule.takes | rule.needs:
        assert any(getattr(clue, field) not in (None, ()) for clue in puzzle.clues), field
        if field in rule.takes:
            assert any(getattr(clue, field) in (None, ()) for clue in puzzle.clues), field


@pytest.mark.parametrize("name", RULES)
def test_the_words_of_a_rule_are_complete_and_speakable(name: str) -> None:
    for rule in _placed(name):
        words = rule.phrases
        assert words.noun
        assert words.noun[0] != " "
        assert not words.noun.startswith(("the ", "a ", "an "))
        assert not words.law.endswith(".")
        assert words.law[0].islower() or words.law[0].isdigit()
        for sentence in (words.spoken, words.written):
            assert sentence.endswith(".")
            assert sentence[0].isupper()
            assert "  " not in sentence
            assert not re.search(r"[{}\[\]<>_]|\bNone\b|clearly|obviously|simply", sentence)
        assert len(words.spoken.split()) <= 22
        assert len(words.spoken) <= len(words.written) + 40


@pytest.mark.parametrize("name", RULES)
def test_every_cell_of_a_rule_is_in_a_named_part(name: str) -> None:
    for rule in _placed(name):
        parts = rule.phrases.parts
        assert {cell for part in parts for cell in part.cells} == set(rule.scope)
        for part in parts:
            assert part.cells
            assert part.singular
            assert part.plural
            assert part.noun in (part.singular, part.plural)


@pytest.mark.parametrize("name", RULES)
def test_the_example_of_a_rule_shows_some_of_its_cells_each_once(name: str) -> None:
    for rule in _placed(name):
        assert rule.example
        assert set(rule.example) <= set(rule.scope)
        assert len(set(rule.example)) == len(rule.example)


@pytest.mark.parametrize("name", RULES)
def test_what_a_rule_draws_lies_on_its_cells(name: str) -> None:
    for rule in _placed(name):
        for shape in rule.draw():
            assert _cells(shape) <= set(rule.grid.cells)
            if not isinstance(shape, Outside):
                assert _cells(shape) <= set(rule.scope)
        if isinstance(rule, ClueRule):
            assert rule.draw()


def _cells(shape: Shape) -> set[int]:
    if isinstance(shape, Line | Ring | Area | Corner):
        return set(shape.cells)
    if isinstance(shape, Sign | Outside):
        return {shape.cell}
    return {shape.a, shape.b} if isinstance(shape, Edge) else set()


def _look(rule: Rule) -> tuple[object, ...]:
    """What tells a rule's drawing from others without colour and without its printed numbers."""
    look: Counter[tuple[object, ...]] = Counter()
    for shape in rule.draw():
        if isinstance(shape, Line):
            look["line", shape.texture, shape.weight, shape.start, shape.end] = 1
        elif isinstance(shape, Ring):
            look["ring", shape.dashed, len(shape.cells) > 1] += 0 if shape.dashed else 1
        elif isinstance(shape, Area):
            look["area", shape.outline, shape.fill] = 1
        elif isinstance(shape, Sign):
            look["sign", shape.kind] = 1
        elif isinstance(shape, Edge):
            look["edge", shape.kind, shape.text if not shape.text.isdigit() else "number"] = 1
        elif isinstance(shape, Outside):
            look["outside", shape.kind, shape.pointer] = 1
        else:
            look[type(shape).__name__,] += 1
    return tuple(sorted(map(str, look.items())))


def test_no_two_rules_are_drawn_alike_even_without_colour() -> None:
    owners: dict[tuple[object, ...], set[str]] = {}
    for name in RULES:
        for rule in _placed(name):
            if rule.draw():
                owners.setdefault(_look(rule), set()).add(name)
    shared = {look: names for look, names in owners.items() if len(names) > 1}
    assert list(shared.values()) == [{"falling-diagonal", "rising-diagonal"}]


def test_no_two_line_rules_share_texture_weight_and_caps() -> None:
    owners: dict[tuple[object, ...], set[str]] = {}
    for name, rule in clue_rules().items():
        if rule.form is Form.LINE:
            for one in _placed(name):
                [line] = [shape for shape in one.draw() if isinstance(shape, Line)]
                owners.setdefault((line.texture, line.weight, line.start, line.end), set()).add(name)
    assert all(len(names) == 1 for names in owners.values())
    assert {name for names in owners.values() for name in names} == {
        name for name, rule in clue_rules().items() if rule.form is Form.LINE
    }


def test_no_two_area_rules_share_outline_and_fill_and_no_two_outside_rules_a_plate() -> None:
    areas: dict[tuple[object, ...], set[str]] = {}
    plates: dict[str, set[str]] = {}
    for name in RULES:
        for rule in _placed(name):
            for shape in rule.draw():
                if isinstance(shape, Area) and (shape.outline or shape.fill):
                    areas.setdefault((shape.outline, shape.fill), set()).add(name)
                if isinstance(shape, Outside):
                    plates.setdefault(shape.kind, set()).add(name)
    assert all(len(names) == 1 for names in (*areas.values(), *plates.values()))


@pytest.mark.parametrize("size", [4, 9, 16])
def test_houses_of_rules_are_as_large_as_a_row_and_hold_each_digit_once_by_their_primitives(
    size: int,
) -> None:
    from saywhy.primitives import AllDifferent

    for name in grid_rules():
        [rule] = placed(empty(grid_of(size), rules=(name,))).grid_wide.values()
        for number, house in enumerate(rule.houses(), 1):
            assert house.number == number
            assert len(house.cells) == size
            assert list(house.cells) == sorted(set(house.cells))
            assert AllDifferent(house.cells) in rule.compile()


def test_two_sets_of_cages_or_clones_on_one_board_bear_letters_and_one_alone_does_not() -> None:
    rules = placed(specimen("clone")).clues
    assert [shape.label for rule in rules for shape in rule.draw() if isinstance(shape, Area)] == list("AABB")
    [alone] = placed(specimen("equal-sum-cages")).clues
    assert {shape.label for shape in alone.draw() if isinstance(shape, Area)} == {"="}
