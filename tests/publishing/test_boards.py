"""The viewers' page for small and large grids, and for every example, in a browser."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from saywhy import examples
from saywhy.files import read
from saywhy.publishing.episode import Episode
from saywhy.publishing.page import MOST_BYTES, page
from saywhy.reasoning.explain import explain
from tests.desk.browsers import DESKTOP, PHONE
from tests.publishing.test_page_browser import AXE, Sight

NAMES = [*examples.names(), "customs-house"]


def puzzle_file(name: str) -> Path:
    """Give the file of an example, or of a puzzle of these tests."""
    own = Path(__file__).parent / "puzzles" / f"{name}.toml"
    return own if own.exists() else Path(examples.path(name))


@pytest.mark.parametrize("name", NAMES)
def test_every_page_is_solved_by_keyboard_with_its_hints_alone(
    browser: Browser, name: str, tmp_path: Path
) -> None:
    puzzle = read(puzzle_file(name))[0]
    path = explain(puzzle)
    html = page(Episode(puzzle, path))
    assert len(html) <= MOST_BYTES == 400 * 1024
    file = tmp_path / "index.html"
    file.write_bytes(html)
    held = Sight(browser, file.as_uri(), DESKTOP, "light")
    sight, size = held.page, puzzle.grid.size
    sight.locator("[data-cell='0']").focus()
    at = 0
    for _ in range(2 * len(path.steps)):
        for key in ("n", "m", "m"):
            sight.keyboard.press(key)
        told = sight.locator("#told").inner_text()
        found = re.findall(r"r(\d+)c(\d+) is (\d+)", told.rpartition("So ")[2]) if "So " in told else []
        if "Every cell has its digit." in told or "every digit is right" in told:
            break
        for row, column, digit in found:
            goal = (int(row) - 1) * size + int(column) - 1
            down, right = goal // size - at // size, goal % size - at % size
            for key in ["ArrowDown" if down > 0 else "ArrowUp"] * abs(down):
                sight.keyboard.press(key)
            for key in ["ArrowRight" if right > 0 else "ArrowLeft"] * abs(right):
                sight.keyboard.press(key)
            for key in f"0{int(digit) - 10}" if int(digit) > 9 else digit:
                sight.keyboard.press(key)
            at = goal
    sight.keyboard.press("c")
    assert sight.locator("#told").inner_text() == "Solved: every digit is right."
    assert held.wrong == []
    assert all(url.startswith(("file:", "data:")) for url in held.asked)
    held.context.close()


@pytest.mark.parametrize("name", ["dinghy", "customs-house"])
def test_small_and_large_pages_have_no_fault_on_a_phone(browser: Browser, name: str, tmp_path: Path) -> None:
    puzzle = read(puzzle_file(name))[0]
    file = tmp_path / "index.html"
    file.write_bytes(page(Episode(puzzle, explain(puzzle))))
    held = Sight(browser, file.as_uri(), PHONE, "dark")
    held.page.locator("[data-strength='3']").click()
    held.page.locator(".so").wait_for()
    assert held.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    held.page.evaluate(AXE.read_text(encoding="utf-8"))
    faults = held.page.evaluate("axe.run().then(r => r.violations.map(v => v.id + ': ' + v.nodes[0].html))")
    assert faults == []
    held.context.close()
