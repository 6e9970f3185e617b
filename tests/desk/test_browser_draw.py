"""A double-arrow puzzle drawn from nothing, checked, saved and rehearsed, in a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from saywhy.engine import prove
from saywhy.examples import path
from saywhy.files import read, write
from saywhy.puzzle import Clue
from tests.desk.browsers import window
from tests.desk.desks import Program, harbour


@pytest.fixture
def page(browser: Browser, program: Program) -> Iterator[Page]:
    """The drawing page with a new puzzle; anything that goes wrong on it fails the test."""
    with window(browser, program.address) as held:
        held.page.goto(f"{program.root}/draw")
        expect(held.page.locator("#verdict")).to_have_text("More than one solution")
        yield held.page
        assert held.wrong == []


def spot(page: Page, cell: int, across: float = 0.5, down: float = 0.5) -> tuple[float, float]:
    """Give a place in a cell once the desk has answered the last edit, so that nothing moves any more."""
    page.locator("#verdict:not([data-n=''])").wait_for()
    box = page.locator(f"[data-cell='{cell}']").bounding_box()
    assert box is not None
    return box["x"] + across * box["width"], box["y"] + down * box["height"]


def stroke(page: Page, cells: list[int]) -> None:
    """Draw through cells with the pointer."""
    page.mouse.move(*spot(page, cells[0]))
    page.mouse.down()
    for cell in cells[1:]:
        page.mouse.move(*spot(page, cell), steps=4)
    page.mouse.up()


def clues(page: Page) -> list[str]:
    return [" ".join(text.split()) for text in page.locator("#clues li").all_inner_texts()]


def test_a_double_arrow_puzzle_is_drawn_from_nothing_checked_and_rehearsed(
    page: Page, tmp_path: Path
) -> None:
    page.locator("#size").select_option("4")
    expect(page.locator("[role=gridcell]")).to_have_count(16)
    page.locator("#title").fill("Harbour lights")
    page.locator("#setter").fill("gulls")
    # By pointer: the arrow in one stroke.
    page.locator("#tool").select_option("double-arrow")
    stroke(page, [3, 6, 10, 15])
    assert clues(page) == ["Double arrow r1c4 r2c3 r3c3 r4c4 Remove"]
    expect(page.locator("#verdict")).to_have_text("More than one solution")
    page.locator("#where").click()
    expect(page.locator("#where-words li").first).to_contain_text("Two solutions differ in")
    expect(page.locator(".mark-border.result")).to_have_count(1)
    expect(page.locator("#verdict")).to_have_text("More than one solution")
    # By keyboard: the givens.
    page.locator("#tool").select_option("givens")
    page.locator("[data-cell='0']").focus()
    for key in ("1", "ArrowRight", "ArrowRight", "3", "ArrowDown", "ArrowRight", "2", "Home", "3"):
        page.keyboard.press(key)
    expect(page.locator("#verdict")).to_have_text("One solution")
    assert page.locator(".mark-border.result").count() == 0
    page.keyboard.press("Control+s")
    page.locator("#saved a", has_text="Fit to air?").wait_for()
    expect(page.locator("h1")).to_have_text("Harbour lights")
    expect(page.locator(".running .byline")).to_contain_text("set by gulls, 4")
    saved = page.url.rpartition("/")[2]
    root = page.url.partition("/draw")[0]
    with page.expect_download() as loading:
        page.goto(f"{root}/draw/{saved}")
        page.get_by_role("link", name="Export as saved").click()
    loading.value.save_as(tmp_path / "puzzle.toml")
    assert read(tmp_path / "puzzle.toml") == [harbour()]

    _check(page, root, saved)
    _rehearse(page, root, saved)


def _check(page: Page, root: str, saved: str) -> None:
    page.goto(f"{root}/fit/{saved}")
    expect(page.locator("#verdict")).to_have_text("One solution")
    expect(page.locator("#effort dd").first).not_to_have_text("")
    before = page.locator("main").inner_text()
    assert "r1c" not in before
    expect(page.locator("#effort-words")).to_contain_text("A stroll: about 1 minute of talk")
    page.locator("#reveal").click()
    expect(page.locator("#path li").first).to_be_visible()
    expect(page.locator("#path")).to_be_focused()
    expect(page.locator("#reveal")).to_be_hidden()


def _rehearse(page: Page, root: str, saved: str) -> None:
    page.goto(f"{root}/rehearse/{saved}")
    assert page.locator("#talk").is_hidden()
    page.locator("#reveal").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#beat-head")).to_contain_text("Beat 1 of")
    expect(page.locator("[data-now]")).to_have_count(1)
    assert page.locator(".layer-marks *, .layer-washes *").count() > 0
    steps = int(page.locator("#of").inner_text().rpartition(" ")[2])
    for _ in range(steps - 1):
        page.keyboard.press("n")
    solution = prove(harbour()).solution
    assert solution is not None
    labels = [str(cell.get_attribute("aria-label")) for cell in page.locator("[role=gridcell]").all()]
    shown = [int(label.split(", ")[2].removeprefix("given ")) for label in labels]
    assert shown == list(solution)
    page.keyboard.press("Control+Home")
    page.keyboard.press("Enter")
    expect(page.locator("#why")).to_have_text("The 1 is given.")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    expect(page.locator("#why")).to_contain_text("r1c2")
    page.keyboard.press("b")
    expect(page.locator("#of")).to_have_text(f"step {steps - 1} of {steps}")


def test_every_form_of_rule_has_its_own_way_of_drawing(page: Page) -> None:
    def tool(name: str) -> None:
        page.locator("#tool").select_option(name)

    def press(cell: int, across: float = 0.5, down: float = 0.5) -> None:
        page.mouse.click(*spot(page, cell, across, down))

    tool("odd")
    press(0)
    tool("white-dot")
    press(10, 0.95, 0.5)
    tool("quadruple")
    press(30, 0.95, 0.95)
    page.locator("#clues input").last.fill("1 2")
    tool("killer-cage")
    stroke(page, [60, 61, 70])
    page.keyboard.press("Enter")
    # A cage mostly has a total: its field has the keyboard.
    page.keyboard.type("15")
    tool("sandwich")
    page.get_by_role("button", name="Sandwich, row 4 from the left", exact=True).click()
    page.keyboard.type("8")
    tool("little-killer")
    page.get_by_role("button", name="from above at c3, down to the right").click()
    page.keyboard.type("30")
    tool("clone")
    stroke(page, [72, 73])
    page.locator("#add").click()
    stroke(page, [79, 80])
    page.keyboard.press("Enter")
    page.locator("#group").click()
    tool("thermometer")
    page.locator("[data-cell='40']").focus()
    for key in ("ArrowUp", "Shift+ArrowRight", "Shift+ArrowRight", "Enter"):
        page.keyboard.press(key)
    page.get_by_label("Anti-knight").check()
    expect(page.locator("#clues .wrong").filter(has_text="not written")).to_have_count(0)
    expect(page.locator("#verdict")).not_to_contain_text("not")
    assert [text.replace(" Remove", "") for text in clues(page)] == [
        "Odd r1c1",
        "White dot r2c2 r2c3",
        "Quadruple r4c4 r4c5 r5c4 r5c5",
        "Killer cage r7c7 r7c8 r8c8",
        "Sandwich r4c1 … r4c9, 9 cells",
        "Little killer r1c3 … r7c9, 7 cells",
        "Clone 2 groups",
        "Thermometer r4c5 r4c6 r4c7",
    ]
    assert page.locator(".layer-printed [data-clue]").count() > 0
    for _ in range(2):
        page.locator("#undo").click()
    expect(page.locator("#clues li")).to_have_count(7)
    page.locator("#redo").click()
    expect(page.locator("#clues li")).to_have_count(8)


def test_a_stroke_goes_on_while_the_picture_of_the_last_one_comes(page: Page) -> None:
    page.locator("#tool").select_option("renban")
    spots = {cell: spot(page, cell) for cell in (9, 10, 11)}
    stroke(page, [0, 1, 2])
    page.mouse.move(*spots[9])
    page.mouse.down()
    page.mouse.move(*spots[10], steps=4)
    expect(page.locator(".layer-printed [data-clue='0']")).to_have_count(1)
    page.mouse.move(*spots[11], steps=4)
    page.mouse.up()
    assert [text.replace(" Remove", "") for text in clues(page)] == [
        "Renban r1c1 r1c2 r1c3",
        "Renban r2c1 r2c2 r2c3",
    ]


def test_an_unfinished_clue_says_what_it_needs(page: Page) -> None:
    page.locator("#tool").select_option("skyscraper")
    page.get_by_role("button", name="Skyscraper, column 1 from above", exact=True).click()
    expect(page.locator("#verdict")).to_have_text("One clue is not finished")
    expect(page.locator("#clues .wrong")).to_have_text(
        "Value is not written yet: write it in the field above."
    )
    page.keyboard.type("9")
    expect(page.locator("#verdict")).to_have_text("More than one solution")
    expect(page.locator("#clues .wrong")).to_have_text("")


def test_a_file_can_be_pasted_and_a_bad_one_is_told(page: Page) -> None:
    page.locator("#pasted").fill(write(harbour()).replace("r1c4", "r9c9"))
    page.locator("#take").click()
    expect(page.locator("#told")).to_contain_text("off the grid")
    page.locator("#pasted").fill(write(harbour()))
    page.locator("#take").click()
    expect(page.locator("#verdict")).to_have_text("One solution")
    assert page.locator("#title").input_value() == "Harbour lights"
    # Its clues were not drawn here: no field of theirs takes the keyboard.
    page.locator("#pasted").fill(path("cargo-in-the-hold").read_text(encoding="utf-8"))
    page.locator("#take").click()
    expect(page.locator("#clues li")).to_have_count(28)
    expect(page.locator("#take")).to_be_focused()
    assert harbour().clues == (Clue("double-arrow", (3, 6, 10, 15)),)


def test_a_file_can_be_dropped(page: Page) -> None:
    page.evaluate(
        """(text) => {
          const dataTransfer = new DataTransfer();
          dataTransfer.items.add(new File([text], 'harbour.toml', {type: 'text/plain'}));
          dispatchEvent(new DragEvent('drop', {dataTransfer, bubbles: true, cancelable: true}));
        }""",
        write(harbour()),
    )
    expect(page.locator("#verdict")).to_have_text("One solution")
    assert clues(page) == ["Double arrow r1c4 r2c3 r3c3 r4c4 Remove"]


def test_a_drawing_that_was_not_saved_outlives_its_page(page: Page) -> None:
    page.locator("[data-cell='0']").focus()
    page.keyboard.press("7")
    expect(page.locator(".given")).to_have_count(1)
    again = page.context.new_page()
    again.goto(page.url)
    again.get_by_role("button", name="Take it up").click()
    expect(again.locator(".given")).to_have_count(1)


def test_givens_are_written_without_a_keyboard(page: Page) -> None:
    page.locator("#size").select_option("4")
    figures = page.locator("#figures button")
    expect(figures).to_have_text(["1", "2", "3", "4", "Erase"])
    page.mouse.click(*spot(page, 5))
    figures.nth(2).click()
    expect(page.locator(".given")).to_have_text("3")
    figures.last.click()
    expect(page.locator(".given")).to_have_count(0)
    page.locator("#tool").select_option("thermometer")
    expect(page.locator("#figures")).to_be_hidden()


def test_a_desk_that_is_gone_is_told_with_what_to_do(browser: Browser, tmp_path: Path) -> None:
    with Program(tmp_path / "kept") as alone, window(browser, alone.address) as held:
        held.page.goto(f"{alone.root}/draw")
        expect(held.page.locator("#verdict")).to_have_text("More than one solution")
        alone.kill()
        expect(held.page.locator("#verdict")).to_have_text("The desk does not answer")
        expect(held.page.locator("#verdict-words")).to_contain_text("Start it again with saywhy desk")
        expect(held.page.locator("#verdict")).to_have_attribute("data-verdict", "")


def test_the_sheet_of_keys_says_what_they_do_here(page: Page) -> None:
    page.locator("[data-cell='0']").focus()
    page.keyboard.press("?")
    sheet = page.locator("#help-body")
    expect(sheet).to_contain_text("Make the clue of the cells selected")
    expect(sheet).to_contain_text("Ctrl + SSave")
    for word in ("pen", "sum"):
        expect(sheet).not_to_contain_text(word)


def test_regions_are_painted(page: Page) -> None:
    page.locator("#size").select_option("4")
    page.locator("#regions").select_option("own")
    expect(page.locator(".layer-overlay text")).to_have_count(16)
    stroke(page, [1, 1])
    page.keyboard.press("2")
    expect(page.locator("#verdict")).to_have_text("Not a puzzle yet")
    expect(page.locator("#verdict-words")).to_contain_text("cells and needs 4")
    page.mouse.click(*spot(page, 6))
    page.keyboard.press("1")
    expect(page.locator("#verdict")).to_have_text("More than one solution")


def test_a_value_is_one_step_of_undo(page: Page) -> None:
    page.locator("#tool").select_option("killer-cage")
    stroke(page, [60, 61, 70])
    page.keyboard.press("Enter")
    total = page.locator("#clues input")
    page.keyboard.type("15")
    page.keyboard.press("Enter")
    total.fill("16")
    page.locator("#undo").click()
    expect(total).to_have_value("15")
    page.locator("#undo").click()
    expect(total).to_have_value("")
    expect(page.locator("#clues li")).to_have_count(1)
    page.locator("#redo").click()
    expect(total).to_have_value("15")
    page.locator("#title").press_sequentially("Low tide")
    page.locator("#undo").click()
    expect(page.locator("#title")).to_have_value("")
    expect(total).to_have_value("15")


def test_lines_along_diagonals_are_drawn_by_keyboard_alone_as_the_hint_says(page: Page) -> None:
    page.locator("#tool").select_option("double-arrow")
    expect(page.locator("#how")).to_contain_text("Ctrl and the arrows to the next cell, then Space")
    page.locator("[data-cell='0']").focus()
    for key in ("ArrowRight", "ArrowRight", "Shift+ArrowDown"):
        page.keyboard.press(key)
    for key in ("Control+ArrowRight", "Control+ArrowDown", "Space", "Shift+ArrowDown", "Enter"):
        page.keyboard.press(key)
    assert clues(page) == ["Double arrow r1c3 r2c3 r3c4 r4c4 Remove"]
    expect(page.locator(".layer-printed [data-clue='0']").first).to_be_attached()


def test_places_beside_the_grid_are_one_stop_of_the_tab_key_and_go_on_by_arrows(page: Page) -> None:
    page.locator("#tool").select_option("sandwich")
    expect(page.locator("#how")).to_contain_text("Tab from the board")
    page.locator("[data-cell='0']").focus()
    for key in ("Tab", "ArrowUp", "ArrowRight", "ArrowRight"):
        page.keyboard.press(key)
    expect(page.get_by_role("button", name="Sandwich, column 3 from above", exact=True)).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.type("12")
    expect(page.locator("#verdict")).to_have_text("More than one solution")
    # The field gives the keyboard back to the board, and the place is where it was.
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Sandwich, column 3 from above", exact=True)).to_be_focused()
    page.keyboard.press("Tab")
    assert not page.evaluate("document.activeElement.closest('.beside')")
    assert clues(page) == ["Sandwich r1c3 … r9c3, 9 cells Remove"]


def test_what_to_draw_is_chosen_from_the_board_by_keyboard(page: Page) -> None:
    page.locator("[data-cell='0']").focus()
    page.keyboard.press("c")
    expect(page.locator("#tool")).to_be_focused()
    page.keyboard.type("Thermo")
    page.keyboard.press("Escape")
    expect(page.locator("[data-cell='0']")).to_be_focused()
    for key in ("Shift+ArrowRight", "Shift+ArrowRight", "Enter"):
        page.keyboard.press(key)
    assert clues(page) == ["Thermometer r1c1 r1c2 r1c3 Remove"]


def test_a_long_list_of_clues_stands_within_the_page_and_what_is_wrong_in_it_is_seen(page: Page) -> None:
    text = path("cargo-in-the-hold").read_text(encoding="utf-8")
    page.locator("#pasted").fill(text)
    page.locator("#take").click()
    listed = page.locator("#clues li")
    expect(listed).to_have_count(28)
    expect(listed.locator("visible=true")).to_have_count(8)
    assert page.locator("#clues").evaluate("list => list.scrollHeight <= list.clientHeight + 1")
    more = page.get_by_role("button", name="Show all 28")
    more.click()
    expect(listed.locator("visible=true")).to_have_count(28)
    first = listed.first.locator("input")
    first.fill("999")
    expect(listed.first.locator(".wrong")).not_to_have_text("")
    page.get_by_role("button", name="Show the last 8 alone").click()
    expect(listed.locator("visible=true")).to_have_count(9)
    expect(listed.first).to_be_visible()


def test_places_beside_the_grid_leave_printed_clues_in_sight(page: Page) -> None:
    page.locator("#tool").select_option("skyscraper")
    page.get_by_role("button", name="Skyscraper, column 4 from above", exact=True).click()
    page.keyboard.type("3")
    expect(page.locator(".layer-printed .outside-text")).to_have_text("3")
    page.locator("#tool").select_option("little-killer")
    expect(page.locator(".beside button").first).to_be_attached()
    over = page.evaluate(
        """() => {
          const print = document.querySelector(".layer-printed .outside-text").getBoundingClientRect();
          return [...document.querySelectorAll(".beside button")].filter((place) => {
            const box = place.getBoundingClientRect();
            const apart = box.right < print.left || print.right < box.left
              || box.bottom < print.top || print.bottom < box.top;
            return !apart && getComputedStyle(place).borderTopColor !== "rgba(0, 0, 0, 0)";
          }).length;
        }"""
    )
    assert over == 0
    # Such a place is met all the same, and then it is seen.
    page.get_by_role("button", name="from above at c5, down to the right").click()
    page.keyboard.type("20")
    expect(page.locator(".layer-printed .outside-text")).to_have_count(2)


def test_what_another_window_saved_is_not_lost(page: Page) -> None:
    page.locator("#pasted").fill(write(harbour()))
    page.locator("#take").click()
    expect(page.locator("#verdict")).to_have_text("One solution")
    page.locator("#save").click()
    page.locator("#saved a", has_text="Fit to air?").wait_for()
    other = page.context.new_page()
    other.goto(page.url)
    other.locator("#title").fill("From the other window")
    other.locator("#save").click()
    other.locator("#saved a", has_text="Fit to air?").wait_for()
    page.locator("#title").fill("From this window")
    page.locator("#save").click()
    expect(page.locator("#saved")).to_contain_text("was saved from another window meanwhile")
    page.get_by_role("button", name="Save as another puzzle").click()
    page.locator("#saved a", has_text="Fit to air?").wait_for()
    assert page.url != other.url
    other.reload()
    expect(other.locator("#title")).to_have_value("From the other window")
    page.reload()
    expect(page.locator("#title")).to_have_value("From this window")
    # What was taken off the desk meanwhile can be kept too.
    other.request.delete(
        other.url.replace("/draw/", "/api/puzzles/"), headers={"Origin": page.url.partition("/draw")[0]}
    )
    other.locator("#title").fill("Once more")
    other.locator("#save").click()
    other.get_by_role("button", name="Save as another puzzle").click()
    other.locator("#saved a", has_text="Fit to air?").wait_for()


def test_totals_in_cages_are_legible_on_a_small_screen(page: Page) -> None:
    page.set_viewport_size({"width": 1024, "height": 768})
    puzzle = Path(__file__).parents[1] / "publishing" / "puzzles" / "long-mooring-line.toml"
    page.locator("#pasted").fill(puzzle.read_text(encoding="utf-8"))
    page.locator("#take").click()
    expect(page.locator("#verdict")).to_have_text("One solution")
    sizes = page.evaluate(
        """() => [...document.querySelectorAll(".layer-printed text")].map((text) => {
          const { a, b } = text.getScreenCTM();
          return parseFloat(getComputedStyle(text).fontSize) * Math.hypot(a, b);
        })"""
    )
    assert len(sizes) > 10
    assert min(sizes) > 9.5
