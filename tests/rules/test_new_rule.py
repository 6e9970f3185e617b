"""A new rule is one new file: nothing else is touched, and everything that knows rules knows it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from saywhy import rules
from saywhy.drawing import board_svg, key_entries
from saywhy.engine import count
from saywhy.errors import SaywhyError
from saywhy.files import read_text
from saywhy.rules_text import rules_text

FILE = '''
"""
Turning tide.

Meaning:
    Along the line the digits rise to one highest digit and fall after it, or only rise or only fall.
Drawn as:
    A fine wavy line between bars.
Example:
    2, 5, 9, 4 along the line.
Often confused with:
    A thermometer, which never falls.
Source:
    Made up for this test.
"""

from dataclasses import dataclass
from typing import ClassVar

from saywhy.primitives import Regular, automaton
from saywhy.rule import CellsRule, Form, Part, Phrases
from saywhy.shapes import Cap, Line, Texture, Weight


@dataclass(frozen=True)
class TurningTide(CellsRule):
    name: ClassVar[str] = "turning-tide"
    title: ClassVar[str] = "Turning tide"
    specimen: ClassVar[str] = ""
    form: ClassVar[Form] = Form.LINE
    fewest: ClassVar[int] = 3

    def holds(self, digits):
        held = self.held(digits)
        if held is None:
            return None
        top = held.index(max(held))
        rising, falling = held[: top + 1], held[top:]
        return list(rising) == sorted(set(rising)) and list(falling) == sorted(set(falling), reverse=True)

    def compile(self):
        def step(state, digit):
            last, turned = state
            if digit == last or (turned and digit > last):
                return None
            return digit, turned or digit < last

        size = self.grid.size
        return [Regular(self.cells, automaton(len(self.cells), size, (0, False), step, lambda _: True))]

    def draw(self):
        return [Line(self.cells, Texture.ZIGZAG, Weight.FINE, start=Cap.BAR, end=Cap.BAR)]

    @property
    def phrases(self):
        return Phrases(
            noun="tide",
            parts=(Part("cell", "line", self.cells),),
            law="the line rises and then falls",
            spoken="On a tide the digits rise and then fall.",
            written="Along a tide the digits rise to one highest digit and fall after it.",
        )
'''

PUZZLE = """
format = 1
size = 4
[[clue]]
rule = "turning-tide"
cells = "r1c1-r1c4"
"""


@pytest.fixture
def tide(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    (tmp_path / "turning_tide.py").write_text(FILE, encoding="utf-8")
    monkeypatch.setattr(rules, "__path__", [*rules.__path__, str(tmp_path)])
    _forget()
    yield
    monkeypatch.undo()
    sys.modules.pop("saywhy.rules.turning_tide", None)
    _forget()


def _forget() -> None:
    for known in (rules.all_rules, rules.placed, rules._modules, rules._held):
        known.cache_clear()


@pytest.mark.usefixtures("tide")
def test_one_new_file_is_read_proved_drawn_and_told() -> None:
    [puzzle] = read_text(PUZZLE)
    # 8 of the 24 orders of a row rise and then fall; 288 / 24 = 12 grids have each first row.
    assert count(puzzle, limit=1000).solutions == 8 * 12
    assert 'data-rule="turning-tide"' in board_svg(puzzle)
    assert [entry.title for entry in key_entries(puzzle)] == ["Turning tide"]
    assert rules_text(puzzle).spoken.endswith("On a tide the digits rise and then fall.")
    assert "turning-tide" in rules.all_rules()


@pytest.mark.usefixtures("tide")
def test_its_clues_are_checked_like_all_others() -> None:
    with pytest.raises(SaywhyError, match="needs at least 3 cells and has 2"):
        read_text(PUZZLE.replace("r1c1-r1c4", "r1c1 r1c2"))
    with pytest.raises(SaywhyError, match="takes no value"):
        read_text(PUZZLE + "value = 3\n")


def test_without_the_file_the_rule_is_unknown() -> None:
    with pytest.raises(SaywhyError, match="turning-tide"):
        read_text(PUZZLE)
