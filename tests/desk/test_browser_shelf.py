"""The shelf in a real browser: by hand, by keyboard alone, by day and night, on a phone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, FilePayload, Page, ViewportSize, expect

from saywhy.files import write
from saywhy.shelf import Shelf
from tests.desk.browsers import DESKTOP, PHONE, Scheme, window
from tests.desk.desks import HARBOUR, Program, harbour

PAGES = (
    *("/shelf", "/shelf?list=setters", "/shelf?list=episodes", "/shelf?find=very"),
    *("/shelf/p1", "/shelf/s1", "/shelf/e1", "/shelf/p9"),
)
AXE = Path(__file__).parent / "node_modules" / "axe-core" / "axe.min.js"


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """A desk for all tests of this module."""
    expect.set_options(timeout=30_000)
    folder = tmp_path_factory.mktemp("desk")
    with Program(folder / "kept") as program:
        yield program
    expect.set_options(timeout=5_000)


@pytest.fixture
def desk(running: Program) -> Program:
    """The desk with nothing on its shelf, and numbers from 1."""
    with Shelf(running.folder) as shelf, shelf.writing() as base:
        for table in (
            "review",
            "recording",
            "episode",
            "puzzle",
            "setter",
            "deed",
            "copy",
            "sqlite_sequence",
        ):
            base.execute(f"DELETE FROM {table}")
    return running


@pytest.fixture
def page(browser: Browser, desk: Program) -> Iterator[Page]:
    """The shelf; anything that goes wrong on it fails the test."""
    with window(browser, desk.address) as held:
        held.page.goto(f"{desk.root}/shelf")
        yield held.page
        assert held.wrong == []


def bring(page: Page, text: str = HARBOUR, name: str = "monday.toml") -> None:
    """Choose a file, and wait until its puzzle is judged."""
    page.locator("#file").set_input_files({"name": name, "mimeType": "text/plain", "buffer": text.encode()})
    expect(page.locator("#judged")).to_contain_text("One solution", timeout=90_000)


def grant(page: Page) -> None:
    """Keep a granted answer on a puzzle's page."""
    page.get_by_label("Granted").check()
    page.get_by_label("In their words").fill("Air it, with pleasure")
    page.get_by_role("button", name="Keep the answer").click()
    expect(page.locator(".verdict")).to_have_text("It may air")


def test_a_puzzle_is_brought_permitted_planned_recorded_and_published(page: Page, desk: Program) -> None:
    bring(page)
    expect(page.locator("h1")).to_have_text("Harbour lights")
    expect(page.locator(".verdict")).to_have_text("It may not air yet")
    expect(page.get_by_role("button", name="Plan it")).to_have_count(0)
    # Granted without words is refused, and says how to mend it.
    page.get_by_label("Granted").check()
    assert page.get_by_label("On the day").input_value()  # today, until another is chosen
    page.get_by_role("button", name="Keep the answer").click()
    expect(page.locator("form", has_text="Their answer").get_by_role("alert")).to_have_text(
        "Permission is granted without words. Give the setter's own words."
    )
    page.get_by_label("On the day").fill("2026-11-20")
    grant(page)
    expect(page.locator("#main")).to_contain_text("Granted on Fri 20 November 2026")
    page.get_by_label("Airs on").fill("2026-12-01")
    page.get_by_label("at", exact=True).fill("18:00")
    page.get_by_role("button", name="Plan it").click()
    page.get_by_role("link", name="Harbour lights").click()
    expect(page.locator(".byline")).to_contain_text("planned for Tue 1 December 2026, 18:00")
    page.get_by_label("rehearsed").check()
    page.get_by_role("button", name="It is recorded").click()
    expect(page.locator(".byline")).to_contain_text("recorded, planned for Tue 1 December 2026")
    expect(page.get_by_role("button", name="Pack")).to_be_visible()
    page.get_by_label("Where it can be seen").fill("https://example.org/1")
    page.get_by_role("button", name="It is published").click()
    expect(page.get_by_role("link", name="https://example.org/1")).to_be_visible()
    page.goto(f"{desk.root}/shelf?list=episodes")
    expect(page.locator(".contents li")).to_contain_text("published")


def test_a_planned_permission_is_lost_only_with_the_plan(page: Page) -> None:
    bring(page)
    grant(page)
    page.get_by_label("Airs on").fill("2026-12-01")
    page.get_by_role("button", name="Plan it").click()
    expect(page.locator("section", has_text="Episodes").locator("li")).to_have_count(1)
    page.get_by_label("Refused").check()
    page.get_by_role("button", name="Keep the answer").click()
    alert = page.locator("form", has_text="Their answer").get_by_role("alert")
    expect(alert).to_contain_text("planned to air")
    page.get_by_label("Take it off the plan").check()
    page.get_by_role("button", name="Keep the answer").click()
    expect(page.locator(".verdict")).to_have_text("It may not air")
    expect(page.locator("#main")).to_contain_text("Its setter has refused, so it cannot be planned.")
    expect(page.locator("section", has_text="Episodes").locator("li")).to_have_count(0)


def test_the_puzzle_on_the_page_draw_goes_on_the_shelf(page: Page, desk: Program) -> None:
    page.goto(f"{desk.root}/draw")
    page.get_by_label("Text of a puzzle").fill(HARBOUR)
    page.get_by_role("button", name="Take it").click()
    expect(page.locator("#verdict")).to_have_text("One solution")
    page.get_by_role("button", name="Put on the shelf").click()
    expect(page.locator("h1")).to_have_text("Harbour lights")
    expect(page.locator("#judged")).to_contain_text("One solution", timeout=90_000)
    with Shelf(desk.folder) as shelf:
        [held] = shelf.puzzles.all()
        assert held.puzzle == harbour() and held.text == write(harbour())


def test_a_puzzle_of_the_shelf_is_rehearsed_and_recorded(page: Page, desk: Program) -> None:
    bring(page, HARBOUR.replace("1 . 3 .", "1 2 3 ."))  # of this one no other test makes a recording
    grant(page)
    page.get_by_label("Airs on").fill("2026-12-01")
    page.get_by_role("button", name="Plan it").click()
    page.get_by_role("button", name="Rehearse").click()
    expect(page.locator("#reveal")).to_be_visible()
    page.goto(f"{desk.root}/shelf")
    page.get_by_role("button", name="Record: Harbour lights").click()
    page.locator("#blind").check()
    page.get_by_role("button", name="Open the stage").click()
    expect(page.locator("#saved")).to_have_text("Every move is on disk.")
    page.keyboard.press("Control+End")
    page.keyboard.press("4")
    expect(page.locator(".layer-digits text", has_text="4")).to_have_count(1)
    page.wait_for_timeout(300)
    expect(page.locator("#saved")).to_have_text("Every move is on disk.")
    page.goto(f"{desk.root}/shelf/e1")
    page.get_by_role("button", name="It is recorded").click()
    expect(page.locator("section", has_text="Recordings kept")).to_contain_text("blind, 1 act")


def test_of_many_files_each_is_told_and_what_can_be_read_is_judged_on_the_list(
    page: Page, desk: Program
) -> None:
    bring(page)
    page.goto(f"{desk.root}/shelf")
    texts = {
        "monday.toml": HARBOUR,
        "ebb.toml": HARBOUR.replace("Harbour lights", "Ebb").replace("1 . 3 .", "1 2 3 ."),
        "moon.toml": "format = 1\nsize = 4\nrules = ['moon']\n",
    }
    page.locator("#file").set_input_files(
        [FilePayload(name=name, mimeType="text/plain", buffer=text.encode()) for name, text in texts.items()]
    )
    expect(page.locator("#done")).to_have_text("New on the shelf: p2. There already: p1.")
    expect(page.locator("#told li")).to_have_count(1)
    expect(page.locator("#told")).to_contain_text("moon.toml: Line 3, rules: there is no grid-wide rule")
    expect(page.locator("[data-line='2']")).to_contain_text("a stroll")
    expect(page.locator("#deeds li").first).to_contain_text("Ebb was judged")
    # What is taken back stays so: the list does not judge of its own accord.
    page.get_by_role("button", name="Take back the last").click()
    expect(page.locator("[data-line='2']")).to_contain_text("not judged yet")
    expect(page.locator("#told li")).to_have_count(0)
    page.get_by_role("button", name="Take back the last").click()
    expect(page.locator("#done")).to_have_text("Taken back: Ebb was put on the shelf.")


def test_searching_and_sieving(page: Page, desk: Program) -> None:
    bring(page)
    page.goto(f"{desk.root}/shelf")
    bring(page, HARBOUR.replace("Harbour lights", "Ebb").replace("1 . 3 .", "1 2 3 ."), "ebb.toml")
    page.goto(f"{desk.root}/shelf")
    titles = page.locator(".contents .to")
    expect(titles).to_have_text(["Ebb", "Harbour lights"])
    page.get_by_label("Find").fill("HARB gul")
    page.keyboard.press("Enter")
    expect(titles).to_have_text(["Harbour lights"])
    for hostile in ('"', "NEAR(", "*", "a OR"):
        page.get_by_label("Find").fill(hostile)
        page.keyboard.press("Enter")
        expect(titles).to_have_count(0)
    page.get_by_role("link", name="Show everything again").click()
    page.get_by_role("link", name="Granted").click()
    expect(titles).to_have_count(0)
    page.get_by_role("link", name="Not asked").click()
    expect(titles).to_have_count(2)
    page.get_by_role("link", name="Setters (1)").click()
    expect(titles).to_have_text(["gulls"])


def test_a_removal_asks_and_is_taken_back(page: Page) -> None:
    bring(page)
    page.get_by_role("button", name="Take it off the shelf").click()
    dialog = page.get_by_role("dialog", name="Take it off the shelf?")
    expect(dialog).to_contain_text("Harbour lights goes. It can be taken back.")
    expect(dialog.get_by_role("button", name="Leave it")).to_be_focused()
    dialog.get_by_role("button", name="Leave it").click()
    expect(page.locator("h1")).to_have_text("Harbour lights")
    page.get_by_role("button", name="Take it off the shelf").click()
    dialog.get_by_role("button", name="Take it off").click()
    expect(page.locator("#done")).to_have_text("It is off the shelf, and can be taken back.")
    expect(page.locator(".contents .to")).to_have_count(0)
    page.get_by_role("button", name="Take back the last").click()
    expect(page.locator(".contents .to")).to_have_text(["Harbour lights"])
    expect(page.locator("#done")).to_have_text("Taken back: Harbour lights was removed.")


def test_a_setter_gets_their_data_and_is_erased(page: Page, desk: Program) -> None:
    bring(page)
    page.get_by_role("link", name="gulls").click()
    page.get_by_label("How they are reached").fill("gulls@example.org")
    page.get_by_role("button", name="Keep this").click()
    with page.expect_download() as loading:
        page.get_by_role("link", name="All that is known, for them").click()
    assert "gulls@example.org" in loading.value.path().read_text()
    page.get_by_role("button", name="Erase this setter").click()
    page.get_by_role("button", name="Erase for good").click()
    expect(page.locator("#done")).to_contain_text("Erased.")
    expect(page.locator(".contents .to")).to_have_count(0)
    page.goto(f"{desk.root}/shelf/p1")
    expect(page.locator(".byline")).to_have_text("4 by 4, p1")


def test_the_shelf_is_used_by_keyboard_alone(page: Page) -> None:
    bring(page)
    page.get_by_role("link", name="To the page").focus()

    def tab_to(what: str) -> None:
        for _ in range(80):
            page.keyboard.press("Tab")
            if page.evaluate(f"document.activeElement.matches({what!r})"):
                ring = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
                assert ring != "none"
                return
        raise AssertionError(f"{what} is not reached")

    tab_to("input[name=permission]")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    tab_to("#said-words")
    page.keyboard.type("Air it, with pleasure")
    tab_to("button[type=submit]")
    page.keyboard.press("Enter")
    expect(page.locator(".verdict")).to_have_text("It may air")
    tab_to("button[data-sure]")
    page.keyboard.press("Enter")
    expect(page.locator("#sure")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator("#sure")).to_be_hidden()
    expect(page.locator("h1")).to_have_text("Harbour lights")


@pytest.mark.parametrize(("size", "scheme"), [(DESKTOP, "light"), (DESKTOP, "dark"), (PHONE, "light")])
def test_axe_finds_no_violation_and_nothing_is_cut_off(
    browser: Browser, desk: Program, size: ViewportSize, scheme: Scheme
) -> None:
    source = AXE.read_text(encoding="utf-8")
    found: list[str] = []
    with window(browser, desk.address, size, scheme) as held:
        page = held.page
        page.goto(f"{desk.root}/shelf")
        bring(page, HARBOUR.replace("Harbour lights", "A very long title " * 8))
        grant(page)
        page.get_by_label("Airs on").fill("2026-12-01")
        page.get_by_role("button", name="Plan it").click()
        expect(page.locator(".contents .to")).to_have_count(1)
        for path in PAGES:
            page.goto(desk.root + path)
            if path == "/shelf/p1":
                page.get_by_role("button", name="Take it off the shelf").click()
            page.evaluate(source)
            result = page.evaluate("axe.run({resultTypes: ['violations']})")
            assert len(result["passes"]) > 5, path
            for violation in result["violations"]:
                targets = [node["target"] for node in violation["nodes"][:3]]
                found.append(f"{path}: {violation['id']}: {violation['help']} {targets}")
            wide = page.evaluate(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth"
            )
            if wide > 0:
                found.append(f"{path}: {wide} px wider than the window")
        assert held.wrong == []
    assert not found, "\n".join(found)
