"""The second opinion shares nothing with what it judges, and costs nothing until it is asked."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import saywhy.second_opinion
from saywhy.errors import NotAllowedError
from saywhy.second_opinion import build
from tests.second_opinion.samples import puzzle

FOLDER = Path(saywhy.second_opinion.__file__).parent
SHARED = {"saywhy.errors", "saywhy.puzzle"}


@pytest.mark.parametrize("path", sorted(FOLDER.rglob("*.py")), ids=lambda path: path.name)
def test_it_imports_only_puzzles_and_errors_from_outside_itself(path: Path) -> None:
    named = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            named.add(node.module or "")
        elif isinstance(node, ast.Import):
            named |= {alias.name for alias in node.names}
    ours = {name for name in named if name.startswith("saywhy")}
    assert {name for name in ours if not name.startswith("saywhy.second_opinion")} <= SHARED


def test_the_solver_is_not_imported_before_a_model_is_built() -> None:
    code = (
        "import sys, saywhy.second_opinion; sys.exit(any(name.startswith('ortools') for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_without_the_solver_the_error_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "ortools.sat.python", None)
    with pytest.raises(NotAllowedError, match=r"pip install 'saywhy\[certify\]'"):
        build(puzzle(4))
