"""A viewers' page in a browser."""

from __future__ import annotations

import re

from playwright.sync_api import Browser, Page, ViewportSize, expect

from tests.desk.browsers import Scheme


class Sight:
    """A page from disk, whatever went wrong on it, and what it asked for."""

    def __init__(
        self, browser: Browser, address: str, size: ViewportSize, scheme: Scheme, scripts: bool = True
    ) -> None:
        self.context = browser.new_context(
            viewport=size,
            color_scheme=scheme,
            java_script_enabled=scripts,
            reduced_motion="reduce",
            offline=True,
        )
        self.page: Page = self.context.new_page()
        self.wrong: list[str] = []
        self.asked: list[str] = []
        self.page.on("pageerror", lambda error: self.wrong.append(str(error)))
        self.page.on("console", lambda said: self.wrong.append(said.text) if said.type == "error" else None)
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(address)

    def solve_by_hints(self, size: int, most: int) -> None:
        """Write every digit that the hints tell, by keyboard alone, asking for at most so many hints."""
        told = self.page.locator("#told")
        self.page.locator("[data-cell='0']").focus()
        at = 0
        for _ in range(most):
            for key in ("n", "m", "m"):
                self.page.keyboard.press(key)
            expect(told).not_to_be_empty()  # the path is opened when it is first asked for
            if not self.page.locator(".so").count():
                break
            said = self.page.locator(".so").inner_text()
            for row, column, digit in re.findall(r"r(\d+)c(\d+) is (\d+)", said):
                goal = (int(row) - 1) * size + int(column) - 1
                down, right = goal // size - at // size, goal % size - at % size
                for key in ["ArrowDown" if down > 0 else "ArrowUp"] * abs(down):
                    self.page.keyboard.press(key)
                for key in ["ArrowRight" if right > 0 else "ArrowLeft"] * abs(right):
                    self.page.keyboard.press(key)
                for key in f"0{int(digit) - 10}" if int(digit) > 9 else digit:
                    self.page.keyboard.press(key)
                at = goal
