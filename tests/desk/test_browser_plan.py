"""The plan in a real browser: by pointer, by keyboard alone, by day and night, on a phone."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, Route, ViewportSize, expect

from saywhy.shelf import Judged, Permission, Said, Shelf
from tests.desk.browsers import DESKTOP, PHONE, Scheme, window
from tests.desk.desks import Program

AXE = Path(__file__).parent / "node_modules" / "axe-core" / "axe.min.js"
YES = Said(permission=Permission.GRANTED, on="2026-11-01", words="Gladly.")
#: Milliseconds that a plan may take on a busy machine.
SLOW = 60_000
TITLES = ("Low tide", "Long pier", "Fog bell", "Rope walk", "Quay cat", "Old buoy", "Net loft", "Spring tide")
#: The first of a month, so that every slot of these tests lies in one calendar page.
FIRST = (date.today().replace(day=1) + timedelta(days=62)).replace(day=1)
DAYS = [FIRST + timedelta(days=4 * slot) for slot in range(5)]
SHEET = f"""
format = 1
[cadence]
first = {FIRST}
every = 4
episodes = 5
at = 18:00:00
[rest]
setter = 1
"""


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Program]:
    """A desk with eight puzzles that may air, by three setters."""
    folder = tmp_path / "kept"
    with Shelf(folder) as held:
        for number, title in enumerate(TITLES, 1):
            setter = ("gulls", "signal lamp", "tarpaulin")[number % 3]
            judged = Judged(verdict="unique", effort={"band": "a steady walk"})
            text = f'format = 1\nsize = 4\ntitle = "{title}"\n'
            held.puzzles.add(text, setter=setter, received=f"2026-10-0{number}", said=YES, judged=judged)
    (folder / "plan.toml").write_text(SHEET, encoding="utf-8")
    with Program(folder) as running:
        yield running


def cell(page: Page, slot: int) -> Locator:
    return page.locator(f"td[data-day='{DAYS[slot]}']")


def as_text(page: Page) -> Locator:
    """Open the text of the sheet and give it."""
    page.locator("#as-text").evaluate("details => details.open = true")
    return page.get_by_label("The sheet of wishes")


def planned(page: Page, root: str) -> None:
    page.goto(f"{root}/plan")
    page.get_by_role("button", name="Plan anew").click()
    expect(page.locator("#said")).to_contain_text("Proposed: 5 changes", timeout=SLOW)


def taken(page: Page, root: str) -> None:
    planned(page, root)
    page.get_by_role("button", name="Take this plan").click()
    expect(page.locator("#said")).to_contain_text("Taken: 5 episodes")


def test_a_plan_is_shown_before_it_is_taken_and_taken_back(browser: Browser, desk: Program) -> None:
    with window(browser, desk.address) as held:
        page = held.page
        planned(page, desk.root)
        expect(page.locator("#changes li").first).to_contain_text("Low tide is new")
        expect(page.locator("#whose")).to_contain_text("nothing is taken yet")
        page.reload()
        expect(cell(page, 0)).to_contain_text("open")
        taken(page, desk.root)
        page.reload()
        expect(cell(page, 0)).to_contain_text("Low tide")
        page.get_by_role("button", name="Take back").click()
        expect(cell(page, 0)).to_contain_text("open")
        assert held.wrong == []


def test_the_sheet_is_kept_with_its_plan_and_taken_back_with_it(browser: Browser, desk: Program) -> None:
    with window(browser, desk.address) as held:
        page = held.page
        page.goto(f"{desk.root}/plan")
        page.get_by_role("button", name="Take back").click()
        expect(page.locator("#said")).to_contain_text("No plan was taken yet")
        sheet = as_text(page)
        sheet.fill(SHEET.replace("setter = 1", "setter = 0"))
        page.get_by_role("button", name="Try these wishes").click()
        page.get_by_role("button", name="Take this plan").click()
        expect(page.locator("#said")).to_contain_text("Taken: 5 episodes", timeout=SLOW)
        expect(page.locator("[role=gridcell]:focus")).to_have_count(1)
        sheet.fill("format = 1\n[cadence]\nepisodes = 2\n")
        page.get_by_role("button", name="Try these wishes").click()
        page.get_by_role("button", name="Leave it as it was").click()
        expect(sheet).to_have_value(SHEET.replace("setter = 1", "setter = 0"))
        page.get_by_role("button", name="Take back").click()
        expect(sheet).to_have_value(SHEET)
        assert held.wrong == []


def test_an_episode_is_dragged_to_a_day_and_pinned_there(browser: Browser, desk: Program) -> None:
    with window(browser, desk.address) as held:
        page = held.page
        taken(page, desk.root)
        here, there = cell(page, 0), cell(page, 3)
        there.scroll_into_view_if_needed()
        a, b = here.bounding_box(), there.bounding_box()
        assert a is not None and b is not None
        page.mouse.move(a["x"] + 20, a["y"] + 30)
        page.mouse.down()
        page.mouse.move(a["x"] + 60, a["y"] + 50)
        page.mouse.move(b["x"] + 20, b["y"] + 30, steps=4)
        expect(page.locator(".ghost")).to_have_text("Low tide")
        expect(there).to_have_attribute("data-over", "")
        page.mouse.up()
        expect(page.locator("#changes")).to_contain_text("Low tide moves from", timeout=SLOW)
        expect(there).to_contain_text("Low tide")
        expect(there).to_contain_text("pinned")
        page.get_by_role("button", name="Leave it as it was").click()
        expect(here).to_contain_text("Low tide")
        expect(there).not_to_contain_text("pinned")
        assert held.wrong == []


def test_the_same_by_keyboard_alone(browser: Browser, desk: Program) -> None:
    """Keys of a grid as WAI-ARIA describes them (W3C, ARIA Authoring Practices, grid pattern)."""
    with window(browser, desk.address) as held:
        page = held.page
        taken(page, desk.root)
        expect(page.locator("[role=gridcell][tabindex='0']")).to_have_count(1)
        page.locator("[role=gridcell][tabindex='0']").focus()

        def focused() -> str:
            return str(page.evaluate("document.activeElement.dataset.day"))

        assert focused() == str(DAYS[0])
        expected = DAYS[0]
        for key, by in (("ArrowRight", 1), ("ArrowDown", 7), ("ArrowLeft", -1), ("ArrowUp", -7)):
            page.keyboard.press(key)
            expected += timedelta(days=by)
            if expected.month == FIRST.month:
                assert focused() == str(expected), key
        cell(page, 0).focus()
        page.keyboard.press("Enter")
        expect(page.locator("#said")).to_contain_text("Low tide is taken up")
        for _ in range(12):
            page.keyboard.press("ArrowRight")
        assert focused() == str(DAYS[3])
        page.keyboard.press("Escape")
        expect(page.locator("#said")).to_have_text("Left where it was.")
        cell(page, 0).focus()
        page.keyboard.press("Enter")
        for _ in range(12):
            page.keyboard.press("ArrowRight")
        page.keyboard.press("Enter")
        expect(cell(page, 3)).to_contain_text("pinned", timeout=SLOW)
        expect(cell(page, 3)).to_contain_text("Low tide")
        cell(page, 3).focus()
        page.keyboard.press("p")
        expect(cell(page, 3)).not_to_contain_text("pinned", timeout=SLOW)
        assert held.wrong == []


def test_why_an_episode_is_there_and_what_speaks_against_other_days(browser: Browser, desk: Program) -> None:
    with window(browser, desk.address) as held:
        page = held.page
        taken(page, desk.root)
        cell(page, 0).click()
        expect(page.locator("#chosen")).to_contain_text("It was planned for this day before")
        expect(page.locator("#chosen")).to_contain_text("without breaking a wish")
        marked = page.locator("td[data-breaks]")
        expect(marked).to_have_count(4)
        assert held.wrong == []


def test_wishes_that_clash_are_told_and_a_waiting_puzzle_is_put_on_a_day(
    browser: Browser, desk: Program
) -> None:
    with window(browser, desk.address) as held:
        page = held.page
        taken(page, desk.root)
        page.get_by_role("button", name="Take up Spring tide").click()
        cell(page, 1).click()
        expect(cell(page, 1)).to_contain_text("Spring tide", timeout=SLOW)
        page.get_by_role("button", name="Leave it as it was").click()
        expect(page.get_by_text("Left as it was.")).to_be_visible(timeout=SLOW)
        sheet = as_text(page)
        day = DAYS[1]
        both = "".join(f'\n[[request]]\npuzzle = "{name}"\non = {day}\n' for name in ("p1", "p2"))
        sheet.fill(SHEET + both)
        page.get_by_role("button", name="Try these wishes").click()
        expect(page.locator("#clashing li")).to_have_count(2, timeout=SLOW)
        expect(page.locator("#mends")).to_contain_text("days from")
        page.get_by_role("button", name="Plan with as few given up as may be").click()
        expect(page.locator("#missed li")).to_have_count(1, timeout=SLOW)
        sheet.fill("format = 1\n[cadense]\n")
        page.get_by_role("button", name="Try these wishes").click()
        expect(page.locator("#told")).to_contain_text("Did you mean cadence")
        assert held.wrong == []


def test_days_that_stay_empty_are_told_with_a_proposal_and_only_then(browser: Browser, desk: Program) -> None:
    with window(browser, desk.address) as held:
        page = held.page
        planned(page, desk.root)
        expect(page.locator("#empty p")).to_have_count(0)
        sheet = as_text(page)
        longer = SHEET.replace("episodes = 5", "episodes = 13\ngaps = true")
        sheet.fill(longer.replace("setter = 1", "setter = 3"))
        page.get_by_role("button", name="Try these wishes").click()
        told = page.locator("#empty p").first
        expect(told).to_contain_text("empty before the last episode", timeout=SLOW)
        expect(told).to_contain_text("a setter rests for 3 episodes; 8 puzzles by 3 setters may air.")
        expect(page.locator("#missed-part")).to_be_hidden()
        page.locator("td.slot.empty").first.click()
        expect(page.locator("#chosen")).to_contain_text("nothing yet")
        expect(page.locator("#chosen .whys li")).to_have_count(1)
        sheet.fill(longer.replace("setter = 1", 'setter = 3\ngive-way = ["setter"]'))
        page.get_by_role("button", name="Try these wishes").click()
        expect(page.locator("#empty p")).to_have_text(
            ["5 days after the last episode stay empty: all puzzles that may air have their day."],
            timeout=SLOW,
        )
        # Every rest that is not kept stands in one sentence, by its setters and days.
        expect(page.locator("#missed li")).to_have_count(1)
        expect(page.locator("#missed li")).to_contain_text("A setter rests for 3 episodes: gulls on ")
        page.get_by_role("button", name="Leave it as it was").click()
        expect(page.locator("#empty")).to_be_hidden()
        page.locator("td.slot.empty").first.click()
        expect(page.locator("#chosen .whys")).to_have_count(0)
        assert held.wrong == []


@pytest.mark.parametrize(("size", "scheme"), [(DESKTOP, "light"), (PHONE, "dark")], ids=["desktop", "phone"])
def test_axe_finds_no_violation_and_nothing_is_cut_off(
    browser: Browser, desk: Program, size: ViewportSize, scheme: Scheme
) -> None:
    source = AXE.read_text(encoding="utf-8")
    found: list[str] = []

    def look(page: Page, name: str) -> None:
        page.evaluate(source)
        result = page.evaluate("axe.run({resultTypes: ['violations']})")
        assert len(result["passes"]) > 5, name
        for violation in result["violations"]:
            targets = [node["target"] for node in violation["nodes"][:3]]
            found.append(f"{name}: {violation['id']}: {violation['help']} {targets}")
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            found.append(f"{name}: {wide} px wider than the window")

    with window(browser, desk.address, size, scheme) as held:
        page = held.page
        page.goto(f"{desk.root}/plan")
        look(page, "open")
        planned(page, desk.root)
        cell(page, 1).click()
        expect(page.locator("#chosen")).to_contain_text("without breaking a wish")
        look(page, "proposed")
        page.get_by_role("button", name="Take it up").click()
        # Nothing lies over the days among which one is to be chosen.
        assert page.locator(".chosen-part").evaluate("part => getComputedStyle(part).position") == "static"
        look(page, "carrying")
        as_text(page).fill(SHEET.replace("episodes = 5", "episodes = 9"))
        page.get_by_role("button", name="Try these wishes").click()
        expect(page.locator("#clash")).to_be_visible(timeout=SLOW)
        look(page, "clash")
        page.get_by_role("button", name="Plan with as few given up as may be").click()
        expect(page.locator("#empty p")).to_have_count(1, timeout=SLOW)
        page.locator("td.slot.empty").first.click()
        look(page, "empty days")
        assert held.wrong == []
    assert not found, "\n".join(found)


def test_a_wish_is_added_by_a_press_and_tried(browser: Browser, desk: Program) -> None:
    with window(browser, desk.address) as held:
        page = held.page
        page.goto(f"{desk.root}/plan")
        for name in ("Gentle first", "Never two hard in a row", "A puzzle by a day", "A setter around a day"):
            page.get_by_role("button", name=name).click()
        page.get_by_role("button", name="Try these wishes").click()
        expect(page.locator("#said")).to_contain_text("Proposed: 5 changes", timeout=SLOW)
        expect(page.locator("#missed-part")).to_be_hidden()
        assert held.wrong == []


def test_wishes_are_a_form_and_its_text_says_the_same(browser: Browser, desk: Program) -> None:
    with window(browser, desk.address) as held:
        page = held.page
        page.goto(f"{desk.root}/plan")
        sheet = page.locator("#sheet")
        days = page.locator("[data-owner=cadence]")
        expect(days.get_by_label("or every")).to_have_value("4")
        expect(days.get_by_label("Episodes")).to_have_value("5")
        expect(days.get_by_label("At", exact=True)).to_have_value("18:00")
        # A cadence by weekdays takes the place of one by a number of days.
        days.get_by_label("Tue").check()
        expect(days.get_by_label("Tue")).to_be_focused()
        days.get_by_label("Fri").check()
        expect(days.get_by_label("or every")).to_have_value("")
        expect(sheet).to_have_value(re.compile(r'weekdays = \["tuesday", "friday"\]'))
        days.get_by_role("button", name="Add days off").click()
        expect(days.get_by_label("Off from")).to_be_focused()
        days.get_by_label("Off from").fill(str(FIRST))
        days.get_by_label("to", exact=True).fill(str(FIRST + timedelta(days=2)))
        days.get_by_label("to", exact=True).blur()
        expect(sheet).to_have_value(re.compile(f'skip = \\["{FIRST} to {FIRST + timedelta(days=2)}"\\]'))
        page.get_by_role("button", name="Gentle first").click()
        effort = page.locator("[data-owner='effort 1']")
        expect(effort.get_by_label("In", exact=True)).to_be_focused()
        effort.get_by_label("In", exact=True).select_option("each month")
        expect(sheet).to_have_value(re.compile(r'in = "each month"'))
        effort.get_by_label("may give way").check()
        expect(sheet).to_have_value(re.compile(r"firm = false"))
        # What is wrong is told beside the part that it is about, with what to do.
        effort.get_by_label("only these").uncheck()
        expect(sheet).not_to_have_value(re.compile(r"only = true"))
        page.get_by_role("button", name="Try these wishes").click()
        expect(effort.locator(".wrong")).to_contain_text("It asks for nothing. Add least, most")
        effort.get_by_role("button", name="Remove: Effort 1").click()
        expect(page.locator("[data-owner='effort 1']")).to_have_count(0)
        page.get_by_role("button", name="Try these wishes").click()
        expect(page.locator("#said")).to_contain_text("Proposed: 5 changes", timeout=SLOW)
        # What is written as text is in the form, and a text that cannot be read leaves the form as it was.
        as_text(page).fill(SHEET.replace("setter = 1", "setter = 2"))
        sheet.blur()
        expect(page.locator("[data-owner=rest]").get_by_label("A setter rests for")).to_have_value("2")
        sheet.fill("format = ")
        sheet.blur()
        expect(page.locator("#told")).to_contain_text("This is not TOML")
        expect(days.get_by_label("or every")).to_have_value("4")
        assert held.wrong == []


def test_a_long_pile_stands_within_the_page(browser: Browser, tmp_path: Path) -> None:
    folder = tmp_path / "kept"
    with Shelf(folder) as held:
        for number in range(1, 14):
            judged = Judged(verdict="unique", effort={"band": "a steady walk"})
            text = f'format = 1\nsize = 4\ntitle = "Pier {number}"\n'
            held.puzzles.add(text, setter="gulls", received=f"2026-10-{number:02}", said=YES, judged=judged)
    with Program(folder) as running, window(browser, running.address) as opened:
        page = opened.page
        page.goto(f"{running.root}/plan")
        expect(page.locator("#waiting li")).to_have_count(10)
        page.get_by_text("3 more").click()
        page.get_by_role("button", name="Take up Pier 13").click()
        expect(page.locator("#said")).to_contain_text("Pier 13")
        for pile in page.locator("ol.waiting").all():
            assert pile.evaluate("list => getComputedStyle(list).overflowY") == "visible"
        assert opened.wrong == []


def test_a_late_answer_does_not_undo_what_was_entered_after_it(browser: Browser, desk: Program) -> None:
    held_up: list[Route] = []
    with window(browser, desk.address) as held:
        page = held.page
        page.goto(f"{desk.root}/plan")
        page.route(
            "**/api/plan/sheet",
            lambda route: route.continue_() if held_up else held_up.append(route),
        )
        many = page.locator("[data-owner=cadence]").get_by_label("Episodes")
        many.fill("6")
        many.blur()
        many.fill("7")
        many.blur()
        sheet = page.locator("#sheet")
        expect(sheet).to_have_value(re.compile("episodes = 7"))
        with page.expect_response("**/api/plan/sheet") as late:
            held_up[0].continue_()
        assert "episodes = 6" in late.value.json()["sheet"]
        page.evaluate("new Promise((done) => setTimeout(done, 100))")
        expect(sheet).to_have_value(re.compile("episodes = 7"))
        assert held.wrong == []
