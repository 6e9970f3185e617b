"""The sketch shown in the documents is one."""

from __future__ import annotations

import re
from pathlib import Path

from saywhy.rule import Form
from saywhy.setting.compose import EFFORTS, sketch_of
from saywhy.setting.compose.fields import MOST_SHAPES
from saywhy.setting.compose.patterns import KINDS
from saywhy.setting.symmetry import SYMMETRIES

PAGE = (Path(__file__).parents[3] / "docs" / "setting.md").read_text(encoding="utf-8")


def test_the_sketch_on_the_page_reads() -> None:
    [text] = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
    sketch = sketch_of(text)
    assert sketch.open_cells == {39, 41}
    assert sketch.open_values == {0}
    assert (sketch.wish.least, sketch.wish.most, sketch.wish.efforts) == (2, 6, EFFORTS[1:3])
    assert sketch.wish.pattern is not None
    assert [(clue.rule, clue.shapes, clue.form) for clue in sketch.open_clues] == [
        ("double-arrow", 12, Form.LINE)
    ]


def test_every_symmetry_pattern_and_bound_is_on_the_page() -> None:
    words = " ".join(PAGE.split())
    assert all(kind.name.removeprefix("a ") in words for kind in SYMMETRIES)
    assert all(f"`{kind.words}" in words for kind in KINDS)
    assert f"({MOST_SHAPES} at most in a sketch)" in words
