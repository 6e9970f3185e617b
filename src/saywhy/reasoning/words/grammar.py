"""English: numbers, lists, cases, and the checks of a sentence that a machine can make."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from saywhy.thoughts import counted, listed

__all__ = ["a", "count", "digits", "faults", "listed", "opening", "plus", "s", "sentence", "sentences"]

#: At most so many words a sentence, numbers a sentence, and sentences a step (WORDS: "about 25").
WORDS, NUMBERS, SENTENCES = 27, 6, 3

#: What leads on from a step that opened in the same words: to another thought, or to the same one.
LEADS = ("next", "likewise")

#: What no sentence holds: set braces, arrows, ids, comparison signs, and words that judge the listener.
FORBIDDEN = re.compile(
    r"[{}\[\]<>_#|\\→≠≤≥]|\bclue \d"
    r"|\b(?:clearly|obviously|simply|trivially|candidates?|eliminat\w+|cannot be)\b",
    re.IGNORECASE,
)


def count(number: int) -> str:
    """Give a small number as a word: three; above twelve as a numeral."""
    return counted(number)


def plus(numbers: Iterable[int]) -> str:
    """Give ``1 + 2 + 3``."""
    return " + ".join(map(str, numbers))


def digits(numbers: Sequence[int]) -> str:
    """Give digits that something may be: ``2 or 5``."""
    return listed(numbers, "or")


def s(noun: str, number: int) -> str:
    """Give a noun in the number wanted: cell, cells."""
    if number == 1:
        return noun
    if noun.endswith(("x", "s", "ch", "sh")):
        return noun + "es"
    return noun + "s"


def a(phrase: str) -> str:
    """Put the indefinite article before a phrase: an 8, an 11, an 18, a 5."""
    number = re.match(r"\d+", phrase)
    if number:
        vowel = number[0] in ("11", "18") or number[0].startswith("8")
    else:
        vowel = phrase[:1].lower() in "aeiou" or phrase.startswith(("X ", "X"))
    return f"{'an' if vowel else 'a'} {phrase}"


def with_a(digits: Sequence[int]) -> str:
    """List digits, one alone with its article: "an 8", "2 and 4"."""
    return a(str(digits[0])) if len(digits) == 1 else listed(digits)


_STOPS = re.compile(r" ([,.;:?])")
#: A list of cells by their names is read at a glance and counts as one word.
_WORD = re.compile(r"\b[rR]\d+c\d+(?:(?:, | and | to )r\d+c\d+)+|[\w'-]+|[+=]")
#: Places by their numbers, which do not count; then numerals, which do.
_NUMBER = re.compile(
    r"\b[rR]\d+c\d+\b"
    r"|(?i:\b(?:rows?|columns?|boxes|box|regions?|cages?|extra regions?)(?: \d+\b(?:,| and| or)?)+)"
    r"|(\d+)"
)
#: Several things with the verb of one; "neither of these two is" is fine.
_MANY_ONE = re.compile(
    r"(?<!of )\b(?:[Tt]hese|[Tt]hose) (?:two|three|four|five|six|seven|eight|nine|\d+)(?: \w+s)? "
    r"(?:has|is|sees|takes|makes|holds|lacks|does)\b"
)


@lru_cache(maxsize=4096)
def sentence(text: str) -> str:
    """Give a text a capital at the start and a stop at the end."""
    text = _STOPS.sub(r"\1", " ".join(text.split()))
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "?", "!")) else text + "."


def lowered(text: str) -> str:
    """Take the capital off a text."""
    return text[:1].lower() + text[1:]


@lru_cache(maxsize=4096)
def opening(text: str, count: int = 3) -> tuple[str, ...]:
    """Give the first words, lower case."""
    return tuple(re.findall(r"[\w'+-]+", text.lower())[:count])


def sentences(text: str) -> list[str]:
    """Cut a text into its sentences."""
    return [part for part in re.split(r"(?<=[.?!])\s+", text.strip()) if part]


@lru_cache(maxsize=4096)
def word_count(text: str) -> int:
    """Count words as they are spoken; a sign of arithmetic is a word."""
    return len(_WORD.findall(text))


@lru_cache(maxsize=4096)
def number_count(text: str) -> int:
    """Count numerals, those of places (row 3, r1c1) left out."""
    return sum(map(bool, _NUMBER.findall(text)))


#: A word twice, "that that" apart.
_TWICE = re.compile(r"\b([a-z]+) \1\b")
_THAT_THAT = re.compile(r"\bthat that\b")
#: A sentence that concludes twice.
_TWICE_SO = re.compile(r"(?:, so |\bSo )[^.?]*, so ")


def faults(text: str, *, most: int | None = SENTENCES, words: int = WORDS) -> list[str]:
    """
    List what a machine can find wrong with a text.

    Args:
        text: One or more sentences.
        most: Sentences allowed; None for any number (a what-if's story).
        words: Words allowed a sentence.
    """
    found = []
    parts = sentences(text)
    if most is not None and len(parts) > most:
        found.append(f"{len(parts)} sentences")
    for part in parts:
        if word_count(part) > words:
            found.append(f"{word_count(part)} words: {part}")
        if number_count(part) > NUMBERS:
            found.append(f"{number_count(part)} numbers: {part}")
        if not part[:1].isupper() and not part[:1].isdigit():
            found.append(f"no capital: {part}")
        if part[-1] not in ".?!":
            found.append(f"no stop: {part}")
    if unlike := _MANY_ONE.search(text):
        found.append(f"many with the verb of one: {unlike[0]!r}")
    if most is not None and _TWICE_SO.search(text):
        found.append("concludes twice in a sentence")
    bad = FORBIDDEN.search(text)
    if bad:
        found.append(f"forbidden: {bad[0]!r}")
    if _TWICE.search(text) and not _THAT_THAT.search(text):
        found.append("a word twice")
    return found
