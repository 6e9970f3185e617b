"""
The board that people write on: JavaScript modules and a style sheet, for the desk and for single-file pages.

Modules import one another as ``#app/board/name.js``: the desk says by an import map what that means, and a
page of one file has them joined to one script (``single``).
"""

from __future__ import annotations

from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable


@cache
def files() -> dict[str, bytes]:
    """Give every module and style sheet by its name, such as ``board/api.js``."""
    return dict(sorted(_gathered(resources.files(__name__), "board/")))


def style_sheet() -> str:
    """Give the board's style sheet; its colours are variables of ``saywhy.drawing.theme_css``."""
    return files()["board/board.css"].decode()


def _gathered(folder: Traversable, prefix: str) -> list[tuple[str, bytes]]:
    found: list[tuple[str, bytes]] = []
    for entry in folder.iterdir():
        if entry.is_dir():
            found += _gathered(entry, f"{prefix}{entry.name}/")
        elif entry.name.endswith((".js", ".css")):
            found.append((prefix + entry.name, entry.read_bytes()))
    return found
