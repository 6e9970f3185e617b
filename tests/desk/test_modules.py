"""The desk's modules by themselves: their types, and what is pure in them under Node."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

HERE = Path(__file__).parent
SOURCE = HERE.parents[1] / "src" / "saywhy"
STATIC = SOURCE / "desk" / "static"
BOARD = SOURCE / "board"
MODULES = {
    **{f"board/{path.relative_to(BOARD).as_posix()}": path for path in BOARD.rglob("*.js")},
    **{path.relative_to(STATIC).as_posix(): path for path in STATIC.rglob("*.js")},
}
NODE = shutil.which("node")


def run(*command: str) -> str:
    done = subprocess.run(command, cwd=HERE, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_pure_modules_do_what_they_say() -> None:
    assert NODE, "Node 20 or later is needed: apt-get install nodejs npm"
    said = run(NODE, "--test", "--test-reporter=tap", "modules/")
    passed = re.search(r"^# pass (\d+)$", said, re.MULTILINE)
    assert passed is not None and int(passed[1]) >= 30, said


def test_all_modules_are_rightly_typed(tmp_path: Path) -> None:
    tsc = HERE / "node_modules" / ".bin" / "tsc"
    assert tsc.exists(), "run scripts/browser, which brings what the tests need from npm"
    run(str(tsc), "-p", str(SOURCE / "jsconfig.json"))
    # The checker does check: a wrong line in a copy is found.
    copy = tmp_path / "saywhy"
    shutil.copytree(BOARD, copy / "board")
    shutil.copytree(STATIC, copy / "desk" / "static")
    for name in ("jsconfig.json", "package.json"):
        shutil.copy(SOURCE / name, copy / name)
    with (copy / "board" / "cells.js").open("a", encoding="utf-8") as file:
        file.write('\n/** @type {number} */\nexport const wrong = "text";\n')
    with pytest.raises(AssertionError, match="TS2322"):
        run(str(tsc), "-p", str(copy / "jsconfig.json"))


def test_no_modules_import_each_other_in_a_circle() -> None:
    imports = {
        name: re.findall(r'from "#app/([^"]+)"', path.read_text(encoding="utf-8"))
        for name, path in MODULES.items()
    }
    assert all(name in imports for held in imports.values() for name in held)

    def walk(name: str, way: tuple[str, ...]) -> None:
        assert name not in way, " -> ".join((*way, name))
        for further in imports[name]:
            walk(further, (*way, name))

    for name in imports:
        walk(name, ())


def test_the_board_leans_on_nothing_else_and_only_its_picture_writes_the_page() -> None:
    """The same board goes into pages without a server, so it may not know of one."""
    for path in BOARD.rglob("*.js"):
        text = path.read_text(encoding="utf-8")
        assert not re.findall(r'from "#app/(?!board/)', text), path
        assert not re.search(r"\b(?:fetch|WebSocket|localStorage|innerHTML|eval)\b", text), path
    pure = ("cells", "claims", "history", "state", "transitions", "speech", "keys")
    for name in pure:
        assert "document" not in (BOARD / f"{name}.js").read_text(encoding="utf-8"), name


def test_no_module_writes_markup_from_text() -> None:
    for path in MODULES.values():
        text = path.read_text(encoding="utf-8")
        assert not re.search(
            r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function", text
        ), path


def test_every_colour_of_a_page_is_a_variable() -> None:
    for path in [*STATIC.rglob("*.css"), *BOARD.rglob("*.css")]:
        text = re.sub(r"/\*.*?\*/", "", path.read_text(encoding="utf-8"), flags=re.DOTALL)
        named = re.findall(
            r"(?::|,|\s)(#[0-9a-fA-F]{3,8}|rgba?\([^)]*\)|hsl\([^)]*\)|white\b(?!-)|black\b(?!-))", text
        )
        assert all(colour.startswith("rgb(20 18 15") for colour in named), (path, named)


def test_every_module_is_short() -> None:
    for path in [*MODULES.values(), *STATIC.rglob("*.css")]:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= 500, path
