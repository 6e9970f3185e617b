"""
The files that pages load: gathered once at start, each under an address with a fingerprint of them all.

Only what was gathered can be asked for, so no address reaches another file. Modules import one another as
``#app/name.js``, which an import map turns into addresses; the policy names that one block by its hash.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import dataclass
from functools import cached_property
from importlib import resources
from importlib.resources.abc import Traversable

from saywhy import board
from saywhy.drawing.text import FONTS
from saywhy.drawing.theme import theme_css
from saywhy.recording.report import page_file

_KINDS = {
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
}
_IMPORT = re.compile(r'^\s*(?:import|export)\b[^;]*?"#app/([^"]+)"', re.MULTILINE)


@dataclass(frozen=True)
class Asset:
    """One file: its bytes and its media type."""

    data: bytes
    kind: str


class Assets:
    """All files that pages load, by name."""

    def __init__(self) -> None:
        self.files = dict(_gathered(resources.files("saywhy.desk").joinpath("static"), ""))
        for name, data in board.files().items():
            self.files[name] = Asset(data, _KINDS["." + name.rpartition(".")[2]])
        for font in sorted(FONTS.glob("*.woff2")):
            self.files[f"fonts/{font.name}"] = Asset(font.read_bytes(), _KINDS[".woff2"])
        self.files["review.css"] = Asset(page_file("review.css").encode(), _KINDS[".css"])
        self.files["theme.css"] = Asset(theme_css().encode(), _KINDS[".css"])
        digest = hashlib.sha256()
        for name, asset in sorted(self.files.items()):
            digest.update(name.encode() + b"\0" + asset.data + b"\0")
        self.version = digest.hexdigest()[:12]

    def address(self, name: str) -> str:
        """
        Give the address of a file.

        Raises:
            KeyError: There is no such file.
        """
        if name not in self.files:
            raise KeyError(name)
        return f"/static/{self.version}/{name}"

    @cached_property
    def import_map(self) -> str:
        """The import map as pages carry it."""
        return json.dumps({"imports": {"#app/": f"/static/{self.version}/"}}, separators=(",", ":"))

    @property
    def import_map_hash(self) -> str:
        """The import map's hash as the policy writes it."""
        digest = hashlib.sha256(self.import_map.encode()).digest()
        return f"'sha256-{base64.b64encode(digest).decode()}'"

    def modules(self, entry: str) -> list[str]:
        """Give the addresses of a module and of all that it imports, so that a page fetches them at once."""
        found: dict[str, None] = {}
        waiting = [entry]
        while waiting:
            name = waiting.pop(0)
            if name not in found:
                found[name] = None
                waiting += _IMPORT.findall(self.files[name].data.decode())
        return [self.address(name) for name in found]


def _gathered(folder: Traversable, prefix: str) -> list[tuple[str, Asset]]:
    found: list[tuple[str, Asset]] = []
    for entry in sorted(folder.iterdir(), key=lambda held: held.name):
        if entry.is_dir():
            found += _gathered(entry, f"{prefix}{entry.name}/")
            continue
        ending = "." + entry.name.rpartition(".")[2]
        if ending in _KINDS:
            found.append((prefix + entry.name, Asset(entry.read_bytes(), _KINDS[ending])))
    return found
