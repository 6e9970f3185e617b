"""
What is plainly no puzzle file: told once for the whole file, by what it is.

Source:
    The first bytes of each kind as their specifications give them (PNG, JPEG, GIF, PDF, ZIP, gzip, SQLite).
"""

from __future__ import annotations

from saywhy.errors import Problem

_BINARY = (
    (b"\x89PNG", "a PNG picture"), (b"\xff\xd8\xff", "a JPEG picture"), (b"GIF8", "a GIF picture"),
    (b"%PDF", "a PDF document"), (b"PK\x03\x04", "a ZIP archive or an office document"),
    (b"\x1f\x8b", "a compressed file"), (b"SQLite format 3", "a database"),
)  # fmt: skip
_TEXT = ((b"<", "a web page or an SVG picture"), (b"{", "JSON"))
#: What is read.
READ = "Give a TOML file that begins with format = 1, or plain text with one puzzle a line"


def foreign(head: bytes) -> Problem | None:
    """Say what is wrong with a file that begins like this, where it is plainly something else; else None."""
    bare = head.removeprefix(b"\xef\xbb\xbf").lstrip()
    kind = next((name for magic, name in _BINARY if head.startswith(magic)), None)
    kind = kind or next((name for first, name in _TEXT if bare.startswith(first)), None)
    if kind is not None:
        return Problem(f"this is {kind}, not a puzzle file", READ)
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return Problem("the file is text in UTF-16", "Save it as plain text, UTF-8")
    return Problem("the file is not text", READ) if b"\0" in head else None
