"""The rules page and the walk-through say what the rules say."""

from __future__ import annotations

import importlib.util
import re
import sys
from pathlib import Path
from types import ModuleType

import pytest

from saywhy.rules import all_rules

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def docs() -> ModuleType:
    sys.path.insert(0, str(ROOT / "scripts"))
    try:
        spec = importlib.util.spec_from_file_location("docs", ROOT / "scripts" / "docs.py")
        assert spec
        assert spec.loader
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    finally:
        sys.path.remove(str(ROOT / "scripts"))
    return module


def test_generated_files_are_up_to_date(docs: ModuleType) -> None:
    assert docs.stale() == []


def test_the_page_has_every_rule_once_with_its_picture() -> None:
    text = (ROOT / "docs" / "rules.md").read_text(encoding="utf-8")
    titles = re.findall(r"^### (.*)$", text, re.MULTILINE)
    assert sorted(titles) == sorted(rule.title for rule in all_rules().values())
    pictures = re.findall(r"!\[.*\]\((rules/.*\.svg)\)", text)
    assert sorted(pictures) == sorted(f"rules/{name}.svg" for name in all_rules())
    assert all((ROOT / "docs" / picture).is_file() for picture in pictures)
    anchors = set(re.findall(r"\]\(#(.*?)\)", text))
    assert anchors == {title.lower().replace(" ", "-") for title in titles}


def test_no_picture_of_a_rule_that_is_gone_is_left() -> None:
    left = {path.stem for path in (ROOT / "docs" / "rules").glob("*.svg")}
    assert left == set(all_rules())


def test_the_walk_through_shows_the_real_file() -> None:
    text = (ROOT / "docs" / "new-rule.md").read_text(encoding="utf-8")
    code = (ROOT / "src" / "saywhy" / "rules" / "edge_sum.py").read_text(encoding="utf-8")
    blocks = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
    assert len(blocks) == 6
    for block in blocks:
        assert block in code
