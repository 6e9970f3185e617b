"""A solve recorded on the stage, finished and reviewed: by keyboard, light and dark, on a small screen."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, ViewportSize, expect

from saywhy.engine import prove
from tests.desk.browsers import DESKTOP, PHONE, SCREEN, Scheme, window
from tests.desk.desks import Program, harbour, written
from tests.desk.test_browser_record import begin

AXE = Path(__file__).parent / "node_modules" / "axe-core" / "axe.min.js"
SOLUTION = prove(harbour()).solution or ()


def solve(page: Page, root: str) -> str:
    """Record a whole solve by keyboard, one digit wrong at first and taken back, and finish it."""
    key = begin(page, root)
    keys = page.keyboard
    keys.press("m")
    for cell, digit in enumerate(SOLUTION):
        if harbour().givens[cell]:
            continue
        keys.press("Control+Home")
        for _ in range(cell // 4):
            keys.press("ArrowDown")
        for _ in range(cell % 4):
            keys.press("ArrowRight")
        if cell == 1:
            keys.press(str(digit % 4 + 1))
            keys.press("Control+z")
        keys.press(str(digit))
    keys.press("Control+Enter")
    expect(page.locator("#state")).to_have_text("finished")
    expect(page.locator("#saved")).to_have_text("Every move is on disk.")
    return key


def open_review(page: Page) -> None:
    page.locator("#review-door").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/review/*")
    expect(page.locator("#moves")).to_be_visible(timeout=60_000)


@pytest.fixture(scope="module")
def reviewed(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Program, str]]:
    """A desk with one reviewed solve; gives the program and the key of the recording."""
    folder = tmp_path_factory.mktemp("reviewing")
    with Program(folder / "desk", (written(folder, harbour()),)) as program:
        with window(browser, program.address) as held:
            key = solve(held.page, program.root)
            open_review(held.page)
            assert held.wrong == []
        yield program, key


def test_every_move_is_judged_and_the_timeline_leads_the_board(
    browser: Browser, reviewed: tuple[Program, str]
) -> None:
    program, key = reviewed
    with window(browser, program.address) as held:
        page = held.page
        page.goto(f"{program.root}/review/{key}")
        rows = page.locator("#moves button")
        empty = sum(not given for given in harbour().givens)
        expect(rows).to_have_count(empty + 2)  # the wrong digit and the undo besides
        counts = page.locator(".counts li")
        expect(counts).to_contain_text([f"{empty + 1} digits placed", "0 notes made", "0 guesses", "1 error"])
        expect(page.locator(".answer")).to_have_text(
            f"{empty} of {empty + 1} digits had a reason when written."
        )
        wrong = rows.filter(has=page.locator(".v-wrong"))
        expect(wrong).to_have_count(1)
        wrong.click()
        expect(page.locator("#why")).to_contain_text("wrong")
        expect(page.locator("#why")).to_contain_text("It was taken back at 0:")
        digit = str(SOLUTION[1] % 4 + 1)
        assert str(page.locator("[data-cell='1']").get_attribute("aria-label")).split(", ")[2] == digit
        page.locator("#after").click()
        assert str(page.locator("[data-cell='1']").get_attribute("aria-label")).split(", ")[2] != digit
        # A press at the right end of the strip leads to the finished grid, one at its left end to the start.
        box = page.locator("#strip").bounding_box()
        assert box is not None
        page.mouse.click(box["x"] + box["width"] - 1, box["y"] + 10)
        labels = [str(page.locator(f"[data-cell='{c}']").get_attribute("aria-label")) for c in range(16)]
        assert [int(label.split(", ")[2].split()[-1]) for label in labels] == list(SOLUTION)
        page.mouse.click(box["x"] + 1, box["y"] + 10)
        assert "empty" in str(page.locator("[data-cell='1']").get_attribute("aria-label"))
        assert held.wrong == []


@pytest.mark.parametrize(("size", "columns"), [(DESKTOP, 1), (SCREEN, 2)], ids=["desktop", "screen"])
def test_findings_stand_beside_the_board_and_the_board_stays_in_sight(
    browser: Browser, reviewed: tuple[Program, str], size: ViewportSize, columns: int
) -> None:
    program, key = reviewed
    with window(browser, program.address, size) as held:
        page = held.page
        page.goto(f"{program.root}/review/{key}")
        boxes = [section.bounding_box() for section in page.locator(".findings > section").all()]
        board = page.locator("#board").bounding_box()
        assert board is not None
        assert all(box and box["x"] > board["x"] + board["width"] for box in boxes)
        assert len({round(box["x"]) for box in boxes if box}) == columns
        assert max(box["x"] + box["width"] for box in boxes if box) > 0.95 * size["width"]
        lines = page.locator(".findings p").evaluate_all("held => held.map(p => p.clientWidth)")
        assert max(lines) <= 46 * 17, "no line is too long to read"
        page.mouse.wheel(0, 900)
        page.wait_for_timeout(200)
        plate = page.locator(".plate").bounding_box()
        assert plate is not None and plate["y"] >= 0
        assert plate["y"] + plate["height"] <= size["height"], "board, timeline and buttons in one view"
        page.locator("#out").scroll_into_view_if_needed()
        expect(page.locator("#board")).to_be_in_viewport()


def test_keyboard_alone_goes_through_the_review(browser: Browser, reviewed: tuple[Program, str]) -> None:
    program, key = reviewed
    with window(browser, program.address) as held:
        page = held.page
        page.goto(f"{program.root}/review/{key}")
        page.locator("#moment").focus()
        page.keyboard.press("End")
        expect(page.locator("#why")).not_to_contain_text("Before the first move")
        reached = set()
        page.locator("body").focus()
        for _ in range(80):
            page.keyboard.press("Tab")
            reached.add(
                page.evaluate("document.activeElement.id || document.activeElement.textContent.trim()")
            )
        assert {
            "moment",
            "before",
            "after",
            "play",
            "speed",
            "moves",
            "report.html",
            "without spoilers",
        } <= reached
        row = page.locator("#moves button").nth(3)
        row.focus()
        page.keyboard.press("Enter")
        expect(row).to_have_attribute("aria-current", "step")
        page.locator("#speed").select_option("20")
        page.locator("#moment").focus()
        page.keyboard.press("Home")
        page.locator("#play").focus()
        page.keyboard.press("Enter")
        expect(page.locator("#play")).to_have_attribute("aria-pressed", "false", timeout=30_000)
        # The whole solve may have taken less than the second that the clock shows.
        expect(page.locator("#moment")).not_to_have_value("0")


def test_what_goes_out_spoils_nothing_for_viewers(
    browser: Browser, reviewed: tuple[Program, str], tmp_path: Path
) -> None:
    program, key = reviewed
    with window(browser, program.address) as held:
        page = held.page
        page.goto(f"{program.root}/review/{key}")
        names = {}
        for link in page.locator(".downloads a").all():
            with page.expect_download() as loading:
                link.click()
            target = tmp_path / loading.value.suggested_filename
            loading.value.save_as(target)
            names[target.name] = target.read_text("utf-8")
        assert {
            "report.html",
            "viewers-report.html",
            "errata.txt",
            "viewers-errata.txt",
            "review.json",
        } <= names.keys()
        assert "r1c2" in names["errata.txt"] and "r1c2" in names["report.html"]
        for name, text in names.items():
            if name.startswith("viewers-"):
                assert "r1c2" not in text and "#board" not in text, name
        # The report works by itself, from disk.
        page.goto(f"file://{tmp_path / 'report.html'}")
        page.locator("#moves button").filter(has=page.locator(".v-wrong")).click()
        expect(page.locator("#why")).to_contain_text("wrong")
        assert page.locator("[data-cell='1']").count() == 1
        assert held.wrong == []


@pytest.mark.parametrize("size", [DESKTOP, PHONE], ids=["desktop", "phone"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_and_nothing_is_cut_off(
    browser: Browser,
    reviewed: tuple[Program, str],
    size: ViewportSize,
    scheme: Scheme,
    tmp_path: Path,
) -> None:
    program, key = reviewed
    source = AXE.read_text(encoding="utf-8")
    with window(browser, program.address, size, scheme) as held:
        page = held.page
        page.goto(f"{program.root}/review/{key}")
        page.locator("#moves button").filter(has=page.locator(".v-wrong")).click()
        held.page.locator("summary").first.click()
        report = tmp_path / "report.html"
        report.write_text(
            page.evaluate(f"fetch('/api/recordings/{key}/report.html').then((answer) => answer.text())")
        )
        for address in ("", f"file://{report}"):
            if address:
                page.goto(address)
                # The report's own policy lets no other script in: the checker comes in by the debugger.
                client = page.context.new_cdp_session(page)
                client.send("Page.setBypassCSP", {"enabled": True})
                page.reload()
            page.evaluate(source)
            result = page.evaluate("axe.run({resultTypes: ['violations']})")
            found = [
                f"{v['id']}: {[node['target'] for node in v['nodes'][:3]]}" for v in result["violations"]
            ]
            assert not found, (address, found)
            wide = page.evaluate(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth"
            )
            assert wide <= 0, (address, wide)


def test_an_unfinished_solve_is_judged_only_when_asked_and_can_be_stopped(
    browser: Browser, program: Program
) -> None:
    with window(browser, program.address) as held:
        page = held.page
        begin(page, program.root)
        page.keyboard.press("ArrowRight")
        page.keyboard.press("2")
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        page.goto(page.url.replace("/stage/", "/review/"))
        expect(page.locator("#judged")).to_contain_text("tells the solution")
        expect(page.locator("#moves")).to_have_count(0)
        page.locator("#judge").click()
        page.locator("#stop").click()
        expect(page.locator("#judge-told")).to_have_text("It was stopped.")
        # The desk answers others meanwhile, and the review can be asked for again.
        page.locator("#judge").click()
        other = page.context.new_page()
        other.goto(program.root)
        expect(other.locator("h1, h2").first).to_be_visible()
        other.close()
        expect(page.locator("#moves")).to_be_visible(timeout=60_000)
        assert held.wrong == []


def test_nothing_on_the_page_of_a_review_scrolls_in_a_box_of_its_own(
    browser: Browser, reviewed: tuple[Program, str]
) -> None:
    program, key = reviewed
    with window(browser, program.address) as held:
        held.page.goto(f"{program.root}/review/{key}")
        expect(held.page.locator("#moves")).to_be_visible()
        boxes = held.page.evaluate(
            """() => [...document.querySelectorAll("main *")].filter((node) =>
              ["auto", "scroll"].includes(getComputedStyle(node).overflowY)
              && node.scrollHeight > node.clientHeight + 1).map((node) => node.className)"""
        )
        assert boxes == []
