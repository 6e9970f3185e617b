"""Mending and trimming on the drawing page, by pointer and by keyboard, in a real browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from saywhy.examples import path
from saywhy.files import write
from tests.desk.browsers import DESKTOP, PHONE, window
from tests.desk.desks import Program, harbour
from tests.desk.test_setting_line import loose

AXE = Path(__file__).parent / "node_modules" / "axe-core" / "axe.min.js"


@pytest.fixture
def page(browser: Browser, program: Program) -> Iterator[Page]:
    """The drawing page with a puzzle that has several solutions."""
    with window(browser, program.address) as held:
        held.page.goto(f"{program.root}/draw")
        paste(held.page, write(loose()))
        expect(held.page.locator("[role=gridcell]")).to_have_count(16)
        expect(held.page.locator("#mend")).to_be_enabled()
        yield held.page
        assert held.wrong == []


def paste(page: Page, text: str) -> None:
    page.locator("#pasted").fill(text)
    page.locator("#take").click()


def test_a_proposal_is_shown_on_the_board_taken_and_taken_back(page: Page) -> None:
    expect(page.locator("#trim")).to_be_disabled()
    before = page.locator(".given").count()
    page.locator("#mend").click()
    expect(page.locator("#offers > li").first).to_be_visible()
    expect(page.locator("#setting-told")).to_contain_text("fewer are proved not to do")
    assert page.locator(".mark-border.result").count() == 0
    show = page.get_by_role("button", name="Show proposal 1 on the board")
    show.click()
    expect(show).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".mark-border.result").first).to_be_visible()
    printed = page.locator(".layer-printed").inner_html()
    show.click()
    expect(page.locator(".mark-border.result")).to_have_count(0)
    assert page.locator(".layer-printed").inner_html() != printed
    page.get_by_role("button", name="Take proposal 1").click()
    expect(page.locator("#verdict")).to_have_text("One solution")
    expect(page.locator("[role=gridcell]:focus")).to_have_count(1)
    expect(page.locator("#offers > li")).to_have_count(0)
    expect(page.locator("#trim")).to_be_enabled()
    page.locator("#undo").click()
    expect(page.locator("#verdict")).to_have_text("More than one solution")
    expect(page.locator(".given")).to_have_count(before)


def test_keys_mend_look_take_and_trim(page: Page) -> None:
    page.locator("[data-cell='5']").focus()
    page.keyboard.press("m")
    expect(page.locator("#offers > li").first).to_be_visible()
    page.keyboard.press("n")
    page.keyboard.press("n")
    expect(page.locator("#offers > li").nth(1)).to_have_attribute("aria-current", "true")
    page.keyboard.press("y")
    expect(page.locator("#verdict")).to_have_text("One solution")
    page.locator("[data-cell='5']").focus()
    page.keyboard.press("m")
    expect(page.locator("#setting-told")).not_to_have_text("")
    expect(page.locator("#halt")).to_be_hidden()


def test_an_edit_takes_away_what_was_offered_for_the_drawing_before(page: Page) -> None:
    page.locator("#mend").click()
    expect(page.locator("#offers > li").first).to_be_visible()
    page.locator("[data-cell='15']").focus()
    page.keyboard.press("4")
    expect(page.locator("#offers > li")).to_have_count(0)


def test_long_work_tells_how_far_it_is_and_stops(page: Page) -> None:
    page.locator("#size").select_option("9")
    expect(page.locator("[role=gridcell]")).to_have_count(81)
    expect(page.locator("#mend")).to_be_enabled()
    page.locator("#mend").click()
    expect(page.locator("#setting-told")).to_contain_text(
        re.compile(r"^Trying (each single change|every two changes): \d+ of \d+")
    )
    page.locator("#halt").click()
    expect(page.locator("#setting-told")).to_contain_text("Stopped.", timeout=40_000)
    expect(page.locator("#mend")).to_be_enabled()


def test_one_more_like_the_drawing_is_composed_and_taken(page: Page) -> None:
    paste(page, path("dinghy").read_text(encoding="utf-8"))
    expect(page.locator("#trim")).to_be_enabled()
    page.locator("#anew").select_option("same")
    page.locator("#compose").click()
    expect(page.locator("#offers > li").first).to_be_visible(timeout=60_000)
    # It may have come to its end by itself by then.
    page.locator("#halt").dispatch_event("click")
    expect(page.locator("#compose")).to_be_enabled(timeout=30_000)
    page.get_by_role("button", name="Take proposal 1").click()
    expect(page.locator("#verdict")).to_have_text("One solution")
    assert page.locator("#title").input_value() == "One more like Dinghy"
    page.locator("#undo").click()
    assert page.locator("#title").input_value() == "Dinghy"


def test_wishes_are_filled_in_as_a_form(page: Page) -> None:
    paste(page, path("dinghy").read_text(encoding="utf-8"))
    expect(page.locator("#trim")).to_be_enabled()
    expect(page.locator("#wished")).to_be_hidden()
    page.locator("#anew").select_option("shapes")
    expect(page.locator("#wished")).to_be_visible()
    page.get_by_label("Hidden in the solution").fill("region 99 in order")
    page.locator("#compose").click()
    expect(page.locator("#setting-told")).to_contain_text("99")
    page.get_by_label("Hidden in the solution").fill("")
    page.get_by_label("Givens, at most").fill("9")
    page.get_by_label("They lie").select_option("a half turn")
    page.get_by_label("a stroll").check()
    page.get_by_label("a steady walk").check()
    page.locator("#compose").click()
    expect(page.locator("#offers > li").first).to_be_visible(timeout=60_000)
    page.locator("#halt").dispatch_event("click")
    expect(page.locator("#compose")).to_be_enabled(timeout=30_000)
    page.get_by_role("button", name="Take proposal 1").click()
    expect(page.locator("#verdict")).to_have_text("One solution")
    assert 0 < page.locator(".given").count() <= 9
    # The wishes are no part of the drawing.
    assert page.locator("[name=rule]:checked").count() == 0


def test_a_sketch_that_is_not_there_is_asked_for(page: Page) -> None:
    page.locator("#pasted").fill(" ")
    page.locator("#anew").select_option("sketch")
    page.locator("#compose").click()
    expect(page.locator("#setting-told")).to_contain_text("No sketch is pasted")
    expect(page.locator("#pasted")).to_be_focused()


@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
def test_axe_finds_no_violation_in_what_is_offered(browser: Browser, program: Program, size: object) -> None:
    with window(browser, program.address, size) as held:  # type: ignore[arg-type]
        page = held.page
        page.goto(f"{program.root}/draw")
        paste(page, write(harbour()).replace("1 . 3 .", "1 . . ."))
        expect(page.locator("[role=gridcell]")).to_have_count(16)
        expect(page.locator("#mend")).to_be_enabled()
        page.locator("#mend").click()
        expect(page.locator("#offers > li").first).to_be_visible()
        page.get_by_role("button", name="Show proposal 1 on the board").click()
        page.evaluate(AXE.read_text(encoding="utf-8"))
        found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        assert [item["id"] for item in found["violations"]] == []
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
