"""The page of the pack in a real browser: errors by their fields, progress, stop, parts, archive."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ViewportSize, expect

from saywhy import examples
from tests.desk.browsers import DESKTOP, PHONE, Scheme, window
from tests.desk.desks import Program
from tests.desk.test_browser_pages import AXE


@pytest.fixture(scope="module")
def quay(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """A desk with a small example on it."""
    with Program(tmp_path_factory.mktemp("quay") / "kept", (Path(examples.path("dinghy")),)) as running:
        yield running


@pytest.mark.parametrize(("size", "scheme"), [(DESKTOP, "light"), (PHONE, "dark")], ids=["desktop", "phone"])
def test_a_pack_is_asked_for_made_and_looked_at(
    browser: Browser, quay: Program, size: ViewportSize, scheme: Scheme
) -> None:
    with window(browser, quay.address, size, scheme) as held:
        page = held.page
        key = page.url.rpartition("/")[2]
        page.goto(f"{quay.root}/pack/{key}")
        expect(page.locator("#no-pack" if page.locator("#pack").is_hidden() else "#pack")).to_be_visible()
        for name in ("link", "licence", "next"):
            page.locator(f"#{name}").fill("")
        page.locator("#make").click()
        expect(page.locator("#link-wrong")).to_contain_text("is not filled in")
        assert page.locator("#link").get_attribute("aria-invalid") == "true"
        page.evaluate(AXE.read_text(encoding="utf-8"))
        faults = "axe.run().then(r => r.violations.map(v => v.id + ': ' + v.nodes[0].html))"
        assert page.evaluate(faults) == []
        page.locator("input[name=how][value=blind]").check()
        page.locator("#link").fill("https://example.org/dinghy")
        page.locator("#licence").fill("CC BY 4.0")
        page.locator("[data-field=next] [name=without]").check()
        page.locator("#make").click()
        expect(page.locator("#making")).to_be_visible()
        expect(page.locator("#stop")).to_be_visible()
        expect(page.locator("#making")).to_be_hidden(timeout=90_000)
        expect(page.locator("#no-pack")).to_be_hidden()
        expect(page.locator("#said")).to_contain_text("Solved blind")
        expect(page.locator("#said")).to_contain_text("https://example.org/dinghy")
        expect(page.locator("#link-wrong")).to_be_hidden()
        assert page.locator("#thumbnail").evaluate("(picture) => picture.naturalWidth") == 1280
        assert page.locator("#spoilers").is_hidden()
        assert page.evaluate(faults) == []
        assert (
            page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
        )
        with page.expect_download() as loading:
            page.locator("#zip").click()
        with zipfile.ZipFile(loading.value.path()) as archive:
            assert "pack/index.html" in archive.namelist()
        with page.expect_popup() as opening:
            page.locator("#page").click()
        viewers = opening.value
        expect(viewers.locator("#check")).to_be_visible()
        viewers.locator("[data-strength='1']").click()
        expect(viewers.locator("#told")).not_to_have_text("")
        page.locator("#reveal").click()
        expect(page.locator("#spoilers li").first).to_be_visible()
        assert held.wrong == []


def test_the_making_can_be_stopped(browser: Browser, quay: Program) -> None:
    with window(browser, quay.address) as held:
        page = held.page
        key = page.url.rpartition("/")[2]
        page.goto(f"{quay.root}/pack/{key}")
        for box in page.locator("[name=without]").all():
            box.check()
        for film in page.locator("[name=films]").all():
            film.check()
        page.locator("#make").click()
        page.locator("#stop").click()
        expect(page.locator("#told")).to_contain_text("It was stopped")
        expect(page.locator("#make")).to_be_enabled()
        assert held.wrong == []


def test_all_fields_that_are_wrong_say_so_at_once_and_the_first_has_the_keyboard(
    browser: Browser, tmp_path: Path
) -> None:
    with (
        Program(tmp_path / "kept", (Path(examples.path("dinghy")),)) as alone,
        window(browser, alone.address) as held,
    ):
        page = held.page
        page.goto(f"{alone.root}/pack/{page.url.rpartition('/')[2]}")
        page.locator("#airs-time").fill("18:00")
        page.locator("#make").click()
        expect(page.locator("#told")).to_have_text("5 fields are not right yet; beside each stands why.")
        for name in ("link", "licence", "next"):
            expect(page.locator(f"#{name}-wrong")).to_contain_text("is not filled in")
        expect(page.locator("#how-wrong")).to_contain_text("Choose one, or tick")
        expect(page.locator("#airs-wrong")).to_have_text(
            "The time has no day. Choose the day, or take the time away."
        )
        expect(page.locator("input[name=how]").first).to_be_focused()
        # What is mended loses its words at once, and the last one the line below the form too.
        page.locator("#airs").fill("2026-12-01")
        expect(page.locator("#airs-wrong")).to_be_hidden()
        page.locator("input[name=how][value=blind]").check()
        page.locator("#link").fill("https://example.org/dinghy")
        page.locator("#licence").fill("CC BY 4.0")
        expect(page.locator("#told")).not_to_be_empty()
        page.locator("[data-field=next] [name=without]").check()
        expect(page.locator("#told")).to_be_empty()
        with page.expect_request("**/api/packs/*") as sent:
            page.locator("#make").click()
        order = sent.value.post_data_json or {}
        assert re.fullmatch(r"2026-12-01T18:00[+-]\d\d:\d\d", order["airs"])
        assert held.wrong == []
