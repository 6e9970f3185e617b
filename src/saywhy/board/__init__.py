"""
The board that people write on: JavaScript modules and a style sheet, for the desk and for single-file pages.

Modules import one another as ``#app/board/name.js``; a page says by an import map what that means.
"""

from __future__ import annotations

import base64
import json
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable

#: Types alone, which no browser asks for.
TYPES = "board/types.js"


@cache
def files() -> dict[str, bytes]:
    """Give every module and style sheet by its name, such as ``board/api.js``."""
    return dict(sorted(_gathered(resources.files(__name__), "board/")))


def data_import_map() -> str:
    """
    Give an import map under which a page needs no other file: every module is a ``data:`` address.

    Returns:
        JSON, for a ``<script type="importmap">``; it holds nothing that ends a script element.
    """
    addresses = {
        f"#app/{name}": "data:text/javascript;base64," + base64.b64encode(data).decode()
        for name, data in files().items()
        if name.endswith(".js") and name != TYPES
    }
    return json.dumps({"imports": addresses}, separators=(",", ":"))


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
