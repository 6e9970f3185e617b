"""The board in a page that is one file, opened from disk without a server or a network."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

from playwright.sync_api import Browser, expect

from saywhy import board
from saywhy.board.single import hashed, one_script
from saywhy.desk.picture import picture
from saywhy.drawing.theme import theme_css
from tests.desk.desks import harbour

ENTRY = """
import { createBoard } from "#app/board/api.js";
import { penTray } from "#app/board/tray.js";
const facts = JSON.parse(document.getElementById("facts").textContent);
const host = document.getElementById("board");
const held = createBoard(host, { ...facts, picture: host.querySelector("svg") }, {
  label: "The puzzle",
  wrote: (acts) => document.getElementById("acts").append(...acts.map((act) => JSON.stringify(act) + "\\n")),
  changed: (state) => tray(state),
});
const tray = penTray(document.getElementById("tray"), held);
tray(held.state);
held.focus();
"""


SCRIPT = one_script(board.files(), {"#app/entry.js": ENTRY}, "#app/entry.js")


def page_of_one_file() -> str:
    """Build such a page by hand, as a publisher would."""
    made = picture(harbour())
    facts = {"size": 4, "box": [2, 2], "givens": made.givens, "halos": made.halos, "unit": made.unit}
    facts |= {"margins": dict.fromkeys(("above", "right", "below", "left"), 0)}
    style = theme_css() + board.style_sheet()
    policy = f"default-src 'none'; script-src {hashed(SCRIPT)}; style-src {hashed(style)}; base-uri 'none'"
    return f"""<!doctype html><html lang="en"><head><meta charset="utf-8"><title>One file</title>
<meta http-equiv="Content-Security-Policy" content="{policy}"><style>{style}</style></head>
<body><div id="board" class="board saywhy-board">{made.svg}</div><div id="tray"></div><pre id="acts"></pre>
<script type="application/json" id="facts">{json.dumps(facts)}</script>
<script type="module">{SCRIPT}</script></body></html>"""


def test_the_board_works_in_one_file_from_disk_without_network(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "puzzle.html"
    file.write_text(page_of_one_file(), encoding="utf-8")
    context = browser.new_context(offline=True)
    page = context.new_page()
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.goto(file.as_uri())
    expect(page.locator("[role=gridcell]")).to_have_count(16)
    for key in ("ArrowRight", "2", "ArrowDown", "o", "1", "4", "Control+z"):
        page.keyboard.press(key)
    page.get_by_role("button", name="Tie").click()
    acts = [json.loads(line) for line in page.locator("#acts").inner_text().splitlines()]
    assert [act["do"] for act in acts] == ["place", "options", "options", "undo"]
    assert all(a["t"] < b["t"] for a, b in pairwise(acts))
    assert page.locator("[data-cell='1']").get_attribute("aria-label") == "row 1, column 2, 2"
    assert page.locator("[data-cell='5']").get_attribute("aria-label") == "row 2, column 2, empty, options 1"
    assert wrong == []
    context.close()


def test_the_board_is_small_enough_for_such_a_page() -> None:
    """A viewers' page may have 400 KB in all; the board takes a small part of that."""
    assert len(SCRIPT) + len(board.style_sheet()) < 100_000
