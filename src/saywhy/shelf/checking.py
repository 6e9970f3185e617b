"""What the fields of the shelf may hold; what does not fit is told with its field and how to mend it."""

from __future__ import annotations

from datetime import UTC, date, datetime
from urllib.parse import urlsplit

from saywhy.errors import NotAllowedError, Problem
from saywhy.files.limits import LONGEST_TITLE
from saywhy.files.titles import wrong_with
from saywhy.shelf.values import Permission, Said

LONGEST_LINE = LONGEST_TITLE
LONGEST_LINK = 500
LONGEST_TEXT = 8_000
#: How days and times are written.
DAY = "2026-11-25"
TIME = "2026-12-01T18:00+00:00"


def line(text: str, field: str, most: int = LONGEST_LINE) -> str:
    """
    Give a text of one line without spaces around it.

    Raises:
        NotAllowedError: It holds markup or control characters, or is too long.
    """
    bare = text.strip()
    if len(bare) > most:
        raise _wrong(f"the text has {len(bare)} characters", f"Write at most {most}", field)
    if wrong := wrong_with(bare):
        raise _wrong(*wrong, field)
    return bare


def words(text: str, field: str) -> str:
    """Give a text of any number of lines; as ``line`` otherwise."""
    bare = text.replace("\r\n", "\n").replace("\r", "\n").strip()
    if len(bare) > LONGEST_TEXT:
        raise _wrong(f"the text has {len(bare)} characters", f"Write at most {LONGEST_TEXT}", field)
    for part in bare.replace("\t", " ").split("\n"):
        if wrong := wrong_with(part):
            raise _wrong(*wrong, field)
    return bare


def day(text: str, field: str) -> str:
    """
    Give a day as it is kept.

    Raises:
        NotAllowedError: Not a day.
    """
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise _wrong(f"{text.strip()[:40]!r} is not a day", f"Write it as {DAY}", field) from None


def moment(text: str, field: str) -> str:
    """
    Give a time of airing as it is kept: a day, or a time of a day with its offset.

    Raises:
        NotAllowedError: Neither.
    """
    bare = text.strip()
    if len(bare) <= len(DAY):
        return day(bare, field)
    try:
        held = datetime.fromisoformat(bare)
    except ValueError:
        held = None
    if held is None or held.tzinfo is None:
        what = f"{bare[:40]!r} is not a time" if held is None else "the time has no offset from UTC"
        raise _wrong(what, f"Write it as {TIME}, or a day as {DAY}", field)
    return held.isoformat(timespec="minutes")


def link(text: str, field: str) -> str:
    """
    Give the address of a page; empty stays empty.

    Raises:
        NotAllowedError: Not a web address.
    """
    bare = text.strip()
    parts = urlsplit(bare) if bare.isascii() and bare.isprintable() else None
    fits = parts is not None and parts.scheme in ("http", "https") and parts.netloc
    if bare and (not fits or len(bare) > LONGEST_LINK or set(bare) & set(' <>"')):
        raise _wrong("the link is not a web address", "Write it as https://example.org/page", field)
    return bare


def said(held: Said) -> Said:
    """
    Give a word on airing as it is kept.

    Raises:
        NotAllowedError: It is granted without day or words.
    """
    on = None if held.on is None else day(held.on, "on")
    told = words(held.words, "words")
    if held.permission is Permission.GRANTED:
        if on is None:
            raise _wrong("the day on which permission was granted is missing", f"Say when, as {DAY}", "on")
        if not told:
            raise _wrong("permission is granted without words", "Give the setter's own words", "words")
    return Said(permission=held.permission, on=on, words=told)


def now() -> str:
    """Give this moment as the shelf keeps it."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def today() -> str:
    """Give this day, here."""
    return date.today().isoformat()


def _wrong(what: str, mend: str, field: str) -> NotAllowedError:
    return NotAllowedError(Problem(what, mend, field))
