"""A solve recorded by keyboard alone, through a killed desk, a reloaded page and a second window."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import ExitStack
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from saywhy.engine import prove
from saywhy.files import puzzle_id
from saywhy.recording import read
from saywhy.recording.acts import AnyAct, Marker, Place
from tests.desk.browsers import window
from tests.desk.desks import Program, harbour, written


@pytest.fixture
def stack() -> Iterator[ExitStack]:
    with ExitStack() as held:
        yield held


def begin(page: Page, root: str) -> str:
    """Begin a blind recording by keyboard, and give its key."""
    key = page.url.rpartition("/")[2]
    page.goto(f"{root}/record/{key}")
    page.locator("#blind").focus()
    page.keyboard.press("Space")
    page.keyboard.press("Enter")
    page.wait_for_url("**/stage/*")
    expect(page.locator("#saved")).to_have_text("Every move is on disk.")
    return page.url.rpartition("/")[2]


def on_disk(program: Program, key: str) -> tuple[AnyAct, ...]:
    return read(program.folder / "recordings" / f"{key}.jsonl").acts


def test_a_solve_by_keyboard_alone_outlives_a_killed_desk(
    browser: Browser, tmp_path: Path, stack: ExitStack
) -> None:
    solution = prove(harbour()).solution
    assert solution is not None
    with (
        Program(tmp_path / "desk", (written(tmp_path, harbour()),)) as program,
        window(browser, program.address) as held,
    ):
        page = held.page
        key = begin(page, program.root)
        keys = page.keyboard
        # Claims of every kind; the board has the keyboard from the start.
        for stroke in (
            "ArrowRight",
            "o",
            "2",
            "4",
            "d",
            "2",
            "Shift+ArrowRight",
            "Shift+ArrowRight",
            "t",
            "3",
            "i",
            "5",
            "m",
        ):
            keys.press(stroke)
        expect(page.locator("#flash")).to_contain_text("Chapter marked")
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        before = len(on_disk(program, key))
        assert before == 6

        program.kill()
        expect(page.locator("#saved")).to_contain_text("does not answer")
        keys.press("d")
        for cell, digit in list(enumerate(solution))[4:8]:
            if not harbour().givens[cell]:
                _go(page, cell)
                keys.press(str(digit))
        waiting = page.locator("#saved").inner_text()
        assert "2 moves are kept here meanwhile" in waiting
        assert len(on_disk(program, key)) == before

        # The host starts the desk again and opens the new address, as on any start.
        again = stack.enter_context(Program(program.folder, port=program.port))
        page.context.new_page().goto(again.address)
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        assert len(on_disk(again, key)) == before + 2

        for cell, digit in enumerate(solution):
            if not harbour().givens[cell]:
                _go(page, cell)
                if _shown(page, cell) != str(digit):
                    keys.press(str(digit))
        keys.press("Control+Enter")
        expect(page.locator("#state")).to_have_text("finished")
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        acts = on_disk(again, key)
        board = list(harbour().givens)
        for act in acts:
            if isinstance(act, Place):
                board[harbour().grid.cell(act.cell)] = act.digit
        assert board == list(solution)
        assert [act.name for act in acts if isinstance(act, Marker)] == ["Chapter"]
        assert all(a.t <= b.t for a, b in pairwise(acts))
        header = json.loads((again.folder / "recordings" / f"{key}.jsonl").read_text().splitlines()[0])
        assert header["blind"] is True and header["puzzle"] == puzzle_id(harbour())
        assert not [wrong for wrong in held.wrong if "WebSocket" not in wrong and "ERR_CONN" not in wrong]


def test_moves_not_yet_on_disk_outlive_a_crash_of_page_and_desk_together(
    browser: Browser, tmp_path: Path, stack: ExitStack
) -> None:
    with (
        Program(tmp_path / "desk", (written(tmp_path, harbour()),)) as program,
        window(browser, program.address) as held,
    ):
        page = held.page
        key = begin(page, program.root)
        page.keyboard.press("ArrowRight")
        page.keyboard.press("2")
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        stage = page.url
        program.kill()
        page.keyboard.press("3")
        page.keyboard.press("o")
        expect(page.locator("#saved")).to_contain_text("1 move is kept here meanwhile")
        page.close()
        again = stack.enter_context(Program(program.folder, port=program.port))
        page = held.page.context.new_page()
        page.goto(again.address)
        page.goto(stage)
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        assert [act.digit for act in on_disk(again, key) if isinstance(act, Place)] == [2, 3]
        assert _shown(page, 1) == "3"


def test_reload_undo_and_a_second_window(browser: Browser, program: Program) -> None:
    with window(browser, program.address) as held:
        page = held.page
        key = begin(page, program.root)
        page.keyboard.press("ArrowRight")
        page.keyboard.press("2")
        page.keyboard.press("4")
        page.reload()
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        assert _shown(page, 1) == "4"
        page.keyboard.press("Control+z")
        assert _shown(page, 1) == "2"
        page.keyboard.press("Control+z")
        page.keyboard.press("Control+y")
        assert _shown(page, 1) == "2"
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        assert [type(act).__name__ for act in on_disk(program, key)] == [
            "Place",
            "Place",
            "Undo",
            "Undo",
            "Redo",
        ]

        other = page.context.new_page()
        other.goto(page.url)
        expect(other.locator("#saved")).to_have_text("Every move is on disk.")
        expect(page.locator("#saved")).to_contain_text("opened in another window")
        page.keyboard.press("ArrowRight")
        page.keyboard.press("3")
        other.keyboard.press("ArrowRight")
        other.keyboard.press("ArrowRight")
        other.keyboard.press("ArrowRight")
        other.keyboard.press("1")
        expect(other.locator("#saved")).to_have_text("Every move is on disk.")
        last = on_disk(program, key)[-1]
        assert isinstance(last, Place) and (last.cell, last.digit) == ("r1c4", 1)
        assert len(on_disk(program, key)) == 6


def test_the_clock_stands_still_in_pauses_and_while_nobody_is_there(
    browser: Browser, program: Program
) -> None:
    with window(browser, program.address) as held:
        page = held.page
        key = begin(page, program.root)
        page.keyboard.press("p")
        expect(page.locator("#state")).to_have_text("paused")
        page.keyboard.press("ArrowRight")
        page.keyboard.press("2")
        page.keyboard.press("p")
        expect(page.locator("#state")).to_have_text("")
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        assert [type(act).__name__ for act in on_disk(program, key)] == ["Pause", "Resume"]
        # As if the stage had been left long ago: the recording began 1000 s before this page came.
        page.add_init_script(
            f"""
            localStorage.setItem('saywhy-seen-{key}', '5');
            new MutationObserver((_, watcher) => {{
              const block = document.getElementById('facts');
              if (!block) return;
              watcher.disconnect();
              const held = JSON.parse(block.textContent);
              held.elapsed = 1000;
              block.textContent = JSON.stringify(held);
            }}).observe(document, {{childList: true, subtree: true}});
            """
        )
        page.reload()
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        expect(page.locator("#clock")).to_have_text("0:05")
        acts = on_disk(program, key)
        assert [type(act).__name__ for act in acts] == ["Pause", "Resume", "Pause", "Resume"]
        assert acts[2].t == 5 and acts[3].t >= 1000


def test_a_recording_is_brought_in_by_hand(browser: Browser, program: Program, tmp_path: Path) -> None:
    with window(browser, program.address) as held:
        page = held.page
        puzzle = page.url.rpartition("/")[2]
        key = begin(page, program.root)
        page.keyboard.press("ArrowRight")
        page.keyboard.press("2")
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        with page.expect_download() as loading:
            page.goto(f"{program.root}/record/{puzzle}")
            page.get_by_role("link", name="Export").first.click()
        loading.value.save_as(tmp_path / "solve.jsonl")
        assert read(tmp_path / "solve.jsonl").acts == on_disk(program, key)
        before = page.locator(".contents li").count()
        page.locator("#file").set_input_files(tmp_path / "solve.jsonl")
        expect(page.locator(".contents li")).to_have_count(before + 1)
        (tmp_path / "solve.jsonl").write_text("hello")
        page.locator("#file").set_input_files(tmp_path / "solve.jsonl")
        expect(page.locator("#told-file")).to_contain_text("Line 1: this is no recording")


def test_nothing_is_marked_as_wrong_unless_asked_for(browser: Browser, program: Program) -> None:
    with window(browser, program.address) as held:
        page = held.page
        begin(page, program.root)
        page.keyboard.press("ArrowRight")
        page.keyboard.press("1")
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        assert page.locator(".break-wave").count() == 0
        page.keyboard.press("b")
        expect(page.locator(".break-wave")).to_have_count(2)
        assert "breaks a rule" in str(_cell(page, 1).get_attribute("aria-label"))
        page.keyboard.press("2")
        expect(page.locator(".break-wave")).to_have_count(0)
        assert held.wrong == []


def test_touch_writes_as_well(browser: Browser, program: Program) -> None:
    with window(browser, program.address, {"width": 390, "height": 844}, touch=True) as held:
        page = held.page
        key = begin(page, program.root)
        _tap(page, 1)
        page.get_by_role("button", name="Options").tap()
        page.locator(".figures-row button").nth(1).tap()
        page.get_by_role("button", name="Add cells").tap()
        _tap(page, 3)
        page.get_by_role("button", name="low", exact=False).first.tap()
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        told = [
            json.loads(line)
            for line in (program.folder / "recordings" / f"{key}.jsonl").read_text().splitlines()
        ]
        assert [{k: v for k, v in act.items() if k != "t"} for act in told[1:]] == [
            {"do": "options", "cell": "r1c2", "digits": [2]},
            {"do": "trait", "cells": ["r1c2", "r1c4"], "trait": "low"},
        ]


def _cell(page: Page, cell: int):  # type: ignore[no-untyped-def]
    return page.locator(f"[data-cell='{cell}']")


def _tap(page: Page, cell: int) -> None:
    box = _cell(page, cell).bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


def _go(page: Page, cell: int) -> None:
    page.keyboard.press("Control+Home")
    for _ in range(cell // 4):
        page.keyboard.press("ArrowDown")
    for _ in range(cell % 4):
        page.keyboard.press("ArrowRight")


def _shown(page: Page, cell: int) -> str:
    """Give the digit that a cell shows, by what a screen reader is told."""
    words = str(_cell(page, cell).get_attribute("aria-label")).split(", ")
    return words[2]


@pytest.mark.parametrize(
    "size", [(1920, 1080), (1440, 900), (1280, 720), (1024, 768), (820, 1180), (390, 844)]
)
def test_nothing_of_the_stage_is_cut_off_at_any_width(
    browser: Browser, program: Program, size: tuple[int, int]
) -> None:
    with window(browser, program.address, {"width": size[0], "height": size[1]}) as held:
        begin(held.page, program.root)
        buttons = held.page.locator("main button:visible")
        assert buttons.count() >= 10
        for button in buttons.all():
            box = button.bounding_box()
            assert box is not None and box["x"] >= 0 and box["x"] + box["width"] <= size[0], button
        assert held.page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_the_halo_of_a_digit_has_the_colour_of_the_ground_that_it_stands_on(
    browser: Browser, tmp_path: Path
) -> None:
    """On the line of a double arrow; off any line a digit has no halo, tinted or not."""
    stroke = "digit => [digit.getAttribute('data-cell'), getComputedStyle(digit).stroke]"
    with (
        Program(tmp_path / "desk", (written(tmp_path, harbour()),)) as program,
        window(browser, program.address) as held,
    ):
        page = held.page
        begin(page, program.root)
        for cell in (6, 5):
            page.locator(f"[data-cell='{cell}']").click()
            page.keyboard.press("1" if cell == 6 else "4")
        paper, none = (
            found[1] for found in page.locator(".claim-digit").evaluate_all(f"all => all.map({stroke})")
        )
        assert none == "none" != paper
        for cell in (6, 5):
            page.locator(f"[data-cell='{cell}']").click()
            page.keyboard.press("i")
            page.keyboard.press("3")
        found = dict(page.locator(".claim-digit").evaluate_all(f"all => all.map({stroke})"))
        tint = page.locator(".tint-ground.tint-3").evaluate("ground => getComputedStyle(ground).fill")
        assert found == {"r2c3": tint, "r2c2": "none"}
        page.locator("[data-cell='6']").click()
        page.keyboard.press("0")
        found = dict(page.locator(".claim-digit").evaluate_all(f"all => all.map({stroke})"))
        assert found["r2c3"] == paper
        assert held.wrong == []


def test_all_rules_are_in_sight_on_the_stage_and_its_buttons_stay(browser: Browser, tmp_path: Path) -> None:
    """Eight rules under a long title: nothing of them scrolls, and no button leaves the window."""
    puzzle = Path(__file__).parents[1] / "publishing" / "puzzles" / "long-mooring-line.toml"
    with Program(tmp_path / "desk", (puzzle,)) as program:
        for width, height in ((1920, 1080), (1440, 900), (1280, 800)):
            with window(browser, program.address, {"width": width, "height": height}) as held:
                begin(held.page, program.root)
                held.page.keyboard.press("r")
                rules = held.page.locator("#rules")
                expect(rules.locator("p")).to_have_count(9)
                assert rules.evaluate("node => node.scrollHeight <= node.clientHeight + 1"), width
                assert held.page.evaluate("document.documentElement.scrollHeight <= innerHeight"), width
                expect(held.page.locator("#finish-button")).to_be_in_viewport(ratio=1)
                assert held.wrong == []


def test_recordings_are_told_apart_by_how_long_they_are_and_whether_they_are_finished(
    browser: Browser, tmp_path: Path
) -> None:
    with (
        Program(tmp_path / "desk", (written(tmp_path, harbour()),)) as program,
        window(browser, program.address) as held,
    ):
        page = held.page
        begin(page, program.root)
        page.keyboard.press("m")
        expect(page.locator("#saved")).to_have_text("Every move is on disk.")
        page.keyboard.press("Control+Enter")
        expect(page.locator("#state")).to_have_text("finished")
        page.goto(program.root)
        expect(page.locator("section", has_text="Recordings").locator("li").first).to_contain_text(
            "long, finished"
        )
        page.locator("a", has_text="Record").first.click()
        expect(page.locator("#earlier-head ~ ol li")).to_contain_text("0:00 long, finished")
