"""The viewers' page in a real browser: from disk, without a network, by keyboard, with its own hints."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, ViewportSize, expect

from saywhy.publishing.episode import Episode
from saywhy.publishing.page import page
from tests.desk.browsers import DESKTOP, PHONE, Scheme
from tests.publishing.sight import Sight

AXE = Path(__file__).parents[1] / "desk" / "node_modules" / "axe-core" / "axe.min.js"


@pytest.fixture(scope="module")
def address(harbour: Episode, tmp_path_factory: pytest.TempPathFactory) -> str:
    file = tmp_path_factory.mktemp("page") / "index.html"
    file.write_bytes(page(harbour))
    return file.as_uri()


def test_the_page_is_solved_by_keyboard_with_nothing_but_its_hints(
    browser: Browser, address: str, harbour: Episode
) -> None:
    held = Sight(browser, address, DESKTOP, "light")
    sight = held.page
    held.solve_by_hints(9, 3 * len(harbour.path.steps))
    sight.keyboard.press("c")
    expect(sight.locator("#told")).to_have_text("Solved: every digit is right.")
    assert held.wrong == []
    assert all(url.startswith(("file:", "data:")) for url in held.asked)
    # What was written is there again after the page was closed, and one undo takes one digit back.
    sight.reload()
    sight.locator("#check").click()
    expect(sight.locator("#told")).to_have_text("Solved: every digit is right.")
    sight.locator("[data-cell='0']").focus()
    sight.keyboard.press("Control+z")
    sight.keyboard.press("c")
    expect(sight.locator("#told")).to_have_text("Nothing here breaks a rule so far.")
    held.context.close()


def test_check_marks_what_breaks_a_rule_and_a_hint_names_a_wrong_digit(
    browser: Browser, address: str
) -> None:
    held = Sight(browser, address, DESKTOP, "light")
    sight = held.page
    sight.locator("[data-cell='0']").focus()
    sight.keyboard.press("6")  # row 1 has a given 6
    sight.keyboard.press("c")
    expect(sight.locator("#told")).to_contain_text("breaks a rule")
    assert sight.locator(".break-wave").count() == 1
    # What was said of the grid before an edit does not stand beside the grid after it.
    sight.keyboard.press("Delete")
    expect(sight.locator("#told")).to_have_text("")
    assert sight.locator(".break-wave").count() == 0
    # A check takes the place of a hint, lights and all.
    sight.locator("[data-strength='3']").click()
    expect(sight.locator(".mark-border").first).to_be_visible()
    sight.locator("[data-cell='0']").focus()
    sight.keyboard.press("6")
    sight.keyboard.press("c")
    expect(sight.locator("#told")).to_contain_text("breaks a rule")
    expect(sight.locator("[data-strength][aria-pressed='true']")).to_have_count(0)
    expect(sight.locator(".mark-border")).to_have_count(0)
    sight.keyboard.press("n")
    expect(sight.locator("#told")).to_have_text("Before going on: a digit in row 1 can\u2019t be right.")
    sight.keyboard.press("m")
    expect(sight.locator("#told")).to_contain_text("The 6 in r1c1 can\u2019t be right.")
    held.context.close()


@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_page_has_no_fault_that_axe_finds_and_fits_its_width(
    browser: Browser, address: str, size: ViewportSize, scheme: Scheme, tmp_path: Path
) -> None:
    held = Sight(browser, address, size, scheme)
    sight = held.page
    sight.locator("[data-strength='3']").click()
    sight.locator("#reveal").click()
    expect(sight.locator("#talk li").nth(10)).to_be_visible()
    assert sight.evaluate("document.documentElement.scrollWidth <= innerWidth")
    sight.evaluate(AXE.read_text(encoding="utf-8"))
    faults = sight.evaluate("axe.run().then(r => r.violations.map(v => v.id + ': ' + v.nodes[0].html))")
    assert faults == []
    assert held.wrong == []
    held.context.close()


def test_without_scripts_the_page_is_a_puzzle_to_read_and_print(browser: Browser, address: str) -> None:
    held = Sight(browser, address, DESKTOP, "light", scripts=False)
    text = held.page.locator("body").inner_text()
    assert "Scripts are off" in text
    assert "Double arrow: The digits in the two circles" in text
    assert held.page.locator("#board svg").first.is_visible()
    assert not held.page.locator("#check").is_visible()
    assert not held.page.locator("#reveal").is_visible()
    held.context.close()
