"""
The language that published texts are in.

The program writes English where it means something: a rule beside its code, a board where it is drawn.
Another language is a table of the same sentences; numbers in a sentence stand as ``{1}`` and ``{2}``,
in their order, so that one line serves for all of them.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from saywhy.errors import NotAllowedError, Problem

_NUMBER = re.compile(r"\d+")


@dataclass(frozen=True)
class Language:
    """
    A language.

    Attributes:
        code: Its tag, such as ``en`` (BCP 47).
        sentences: How it says each English sentence; None for English itself.
    """

    code: str = "en"
    sentences: Mapping[str, str] | None = field(default=None, hash=False)

    def say(self, english: str, **values: object) -> str:
        """
        Say a sentence with its values.

        Args:
            english: The sentence with ``{name}`` where a value stands.
            values: The values.

        Raises:
            NotAllowedError: The language has no such sentence.
        """
        return self._found(english).format(**values)

    def sentence(self, english: str) -> str:
        """
        Say a whole sentence that may hold numbers.

        Raises:
            NotAllowedError: The language has no such sentence.
        """
        if self.sentences is None:
            return english
        numbers = _NUMBER.findall(english)
        told = self._found(pattern(english))
        return re.sub(r"\{(\d+)\}", lambda held: _at(numbers, int(held[1])), told)

    def _found(self, english: str) -> str:
        if self.sentences is None:
            return english
        if english not in self.sentences:
            what = f"the language {self.code!r} has no words for {english!r}"
            raise NotAllowedError(Problem(what, "Add them to its [sentences]"))
        return self.sentences[english]


ENGLISH = Language()


def pattern(english: str) -> str:
    """Give a sentence as tables have it: each number is ``{1}``, ``{2}`` and so on."""
    count = 0

    def numbered(_: re.Match[str]) -> str:
        nonlocal count
        count += 1
        return f"{{{count}}}"

    return _NUMBER.sub(numbered, english)


def _at(numbers: list[str], place: int) -> str:
    return numbers[place - 1] if 0 < place <= len(numbers) else ""
