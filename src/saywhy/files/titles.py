"""What a title or a setter's name may hold: plain text, since it is shown to people."""

from __future__ import annotations

import re
import unicodedata

#: An opening, closing or special tag, an entity by name or number, or a closing tag in brackets.
_MARKUP = re.compile(r"<[A-Za-z/!?]|&(?:[A-Za-z][A-Za-z0-9]*|#[0-9xX][0-9A-Fa-f]*);|\[/[A-Za-z]*\]")
#: Joiners that some scripts and pictographs are written with.
_JOINERS = {"\u200c", "\u200d"}
#: Control, format (text direction among them), private, surrogate, line and paragraph marks.
_REFUSED = {"Cc", "Cf", "Co", "Cs", "Cn", "Zl", "Zp"}


def wrong_with(text: str) -> tuple[str, str] | None:
    """Give what is wrong with a title and how to mend it; None if nothing."""
    for letter in text:
        if letter not in _JOINERS and unicodedata.category(letter) in _REFUSED:
            name = f"U+{ord(letter):04X}"
            return f"the text holds a control or direction character, {name}", "Write plain text on one line"
    if found := _MARKUP.search(text):
        return f"the text holds markup, {found[0]!r}", "Write plain text without tags"
    return None


def plain(text: str) -> str:
    """Give a text from a stranger as a terminal may show it: what ``wrong_with`` refuses is replaced."""
    return "".join(
        letter
        if letter in _JOINERS or unicodedata.category(letter) not in _REFUSED
        else "\N{REPLACEMENT CHARACTER}"
        for letter in text
    )
