"""The viewers' page for small and large grids, and for every example, in a browser."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from saywhy import examples
from saywhy.files import read
from saywhy.publishing.episode import Episode
from saywhy.publishing.page import MOST_BYTES, page
from saywhy.reasoning.explain import explain
from tests.desk.browsers import DESKTOP, PHONE
from tests.publishing.sight import Sight
from tests.publishing.test_page_browser import AXE

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
    held.solve_by_hints(size, 2 * len(path.steps))
    sight.keyboard.press("c")
    expect(sight.locator("#told")).to_have_text("Solved: every digit is right.")
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
