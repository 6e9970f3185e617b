"""Where things stand in a TOML text, which its parser does not tell; and texts no parser should see."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from saywhy.errors import Problem, UnreadableError
from saywhy.files import limits

#: Comments and texts; a text that never ends runs to the end of the line or file, so matching is linear.
_QUIET = re.compile(
    r'"""(?:\\.|[^\\])*?(?:"""|\\?\Z)'
    r"|'''.*?(?:'''|\Z)"
    r'|"(?:\\[^\n]|[^"\\\n])*"?'
    r"|'[^'\n]*'?"
    r"|\#[^\n]*",
    re.DOTALL,
)
_CLUE = re.compile(r"\s*\[\[\s*clue\s*\]\]")
_TABLE = re.compile(r"\s*\[")
_KEY = re.compile(r"\s*([A-Za-z0-9_-]+)\s*=")
_BRACKET = re.compile(r"[\[\]{}]")


@dataclass
class Layout:
    """
    Lines of a TOML text, from 1.

    Attributes:
        fields: Line of each field at the top of the file.
        clues: Line of each ``[[clue]]``, in file order.
        clue_fields: For each ``[[clue]]``, the line of each of its fields.
        lines: The text, line by line.
    """

    fields: dict[str, int] = field(default_factory=dict)
    clues: list[int] = field(default_factory=list)
    clue_fields: list[dict[str, int]] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)

    def clue(self, number: int, name: str | None = None) -> int | None:
        """Give the line of a clue (from 0), or of one of its fields where that is known."""
        if number >= len(self.clues):
            return None
        return self.clue_fields[number].get(name or "", self.clues[number])

    def row(self, name: str, value: str, number: int) -> int | None:
        """
        Give the line on which a row of a text with several lines stands.

        Args:
            name: The field, such as ``givens``.
            value: Its value as read.
            number: Line within the value, from 0.
        """
        begins = self.fields.get(name)
        if begins is None:
            return None
        rows = value.split("\n")
        for first in (begins, begins - 1):  # the text begins below its quotes, or right behind them
            held = self.lines[first + number : first + number + 1]
            if number < len(rows) and rows[number].strip() and held and rows[number].strip() in held[0]:
                return first + number + 1
        return begins


def scan(text: str) -> Layout:
    """
    Find the lines of fields and clues.

    Raises:
        UnreadableError: Nesting that no puzzle has and that would wear out the parser.
    """
    layout = Layout(lines=text.split("\n"))
    bare = _QUIET.sub(_quieten, text)
    depth = 0
    here = layout.fields
    for number, line in enumerate(bare.split("\n"), 1):
        if depth == 0:
            if _CLUE.match(line):
                layout.clues.append(number)
                here = {}
                layout.clue_fields.append(here)
            elif _TABLE.match(line):
                here = {}
            elif key := _KEY.match(line):
                here.setdefault(key[1], number)
        if line.count(".") > limits.MOST_DOTS:
            raise _too_deep(number, "dots outside texts")
        for bracket in _BRACKET.findall(line):
            depth += 1 if bracket in "[{" else -1
            if depth > limits.DEEPEST:
                raise _too_deep(number, "brackets within brackets")
        depth = max(depth, 0)
    return layout


def _quieten(found: re.Match[str]) -> str:
    """Give what stands in for a text or comment: nothing but its line ends, within quotes."""
    held = found[0]
    return "" if held.startswith("#") else f'"{chr(10) * held.count(chr(10))}"'


def _too_deep(line: int, what: str) -> UnreadableError:
    return UnreadableError(
        Problem(
            f"there are more {what} than a puzzle file can need",
            "Keep to the fields of format 1, which are texts, numbers and plain lists",
            line=line,
        )
    )
