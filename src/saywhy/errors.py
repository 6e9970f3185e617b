"""The errors that Saywhy raises on purpose: one base class, three kinds told apart."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Problem:
    """
    One thing wrong with an input, said so that its author can mend it.

    Attributes:
        what: What is wrong, one sentence without a full stop.
        mend: How to mend it, one sentence without a full stop.
        field: The field, such as ``clue 3, value``; None where no field is to blame.
        line: Line in the file, from 1; None where it is not known.
        column: Column in that line, from 1; None where it is not known.
    """

    what: str
    mend: str
    field: str | None = None
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        place = [] if self.line is None else [f"line {self.line}"]
        if self.line is not None and self.column is not None:
            place[0] += f", column {self.column}"
        if self.field is not None:
            place.append(self.field)
        return f"{'; '.join(place)}{': ' if place else ''}{self.what}. {self.mend}."


class SaywhyError(Exception):
    """
    Base of every error that input can cause.

    Attributes:
        problems: Everything found wrong, in the order of the input; at least one.
        source: File name or other origin; None where there is none.
    """

    def __init__(self, problems: Problem | list[Problem], source: str | None = None) -> None:
        self.problems = [problems] if isinstance(problems, Problem) else list(problems)
        self.source = source
        head = f"{source}: " if source else ""
        super().__init__("\n".join(head + str(problem) for problem in self.problems))


class UnreadableError(SaywhyError):
    """The input cannot be read at all: not TOML, not text, too long."""


class NotAllowedError(SaywhyError):
    """The input reads, but says something that is not allowed."""


class AmbiguousError(SaywhyError):
    """The input could mean two things, and we do not guess."""
