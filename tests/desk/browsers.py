"""A real browser for the tests of the desk."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Literal

from playwright.sync_api import Browser, Page, ViewportSize, sync_playwright

Scheme = Literal["light", "dark"]
DESKTOP: ViewportSize = {"width": 1280, "height": 800}
SCREEN: ViewportSize = {"width": 1920, "height": 1080}
PHONE: ViewportSize = {"width": 390, "height": 844}


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start the browser that this machine has."""
    found = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    assert found, "the tests of the desk need a browser: sudo apt-get install chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found)
        yield browser
        browser.close()


@dataclass
class Window:
    """One page and everything that went wrong on it: errors of scripts, breaches of the policy."""

    page: Page
    wrong: list[str] = field(default_factory=list)

    def hear(self, kind: str, text: str) -> None:
        """Take note of an error; a refusal of the desk, which the browser tells too, is none."""
        if kind == "error" and "the server responded with a status of 4" not in text:
            self.wrong.append(text)


@contextmanager
def window(
    browser: Browser,
    address: str,
    size: ViewportSize = DESKTOP,
    scheme: Scheme = "light",
    touch: bool = False,
) -> Iterator[Window]:
    """Open the desk in a browser of its own, by the address with its key."""
    context = browser.new_context(
        viewport=size, color_scheme=scheme, has_touch=touch, reduced_motion="reduce"
    )
    context.set_default_timeout(15_000)
    page = context.new_page()
    held = Window(page)
    page.on("pageerror", lambda error: held.wrong.append(str(error)))
    page.on("console", lambda message: held.hear(message.type, message.text))
    page.goto(address)
    yield held
    context.close()
