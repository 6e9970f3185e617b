"""Pages of one file that hold the board: code as one script, data, and hashes for a strict policy."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Mapping

from saywhy.board.bundle import bundle


def one_script(board: Mapping[str, bytes], page: Mapping[str, str], entry: str) -> str:
    """
    Give a page's code and the board's as one script, which a policy names by its hash.

    Args:
        board: The board's files by name, such as ``board/api.js``.
        page: The page's own modules by name, such as ``#app/page/app.js``; they stand before the board's.
        entry: The name of the module that the page runs.

    Raises:
        ValueError: A module is missing or of a form that is not known (see ``bundle``).
    """
    modules = {f"#app/{name}": data.decode() for name, data in board.items() if name.endswith(".js")}
    return bundle({**modules, **page}, entry)


def embedded(held: object) -> str:
    """Give a value as JSON that cannot end its script element."""
    text = json.dumps(held, separators=(",", ":"), ensure_ascii=False)
    for letter in "<>&\u2028\u2029":
        text = text.replace(letter, f"\\u{ord(letter):04x}")
    return text


def hashed(text: str) -> str:
    """Give the source of a policy that allows exactly this script or style."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
