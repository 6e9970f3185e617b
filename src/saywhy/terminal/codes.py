"""Exit codes, and which one counts where a command has gone through several puzzles."""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """
    The exit codes of every command.

    Over several puzzles the worst counts: bad input, then a puzzle that is not valid, then one that was
    not decided, then fine.
    """

    FINE = 0
    NOT_VALID = 1  #: no solution, or more than one
    BAD_INPUT = 2
    UNDECIDED = 3  #: not within the budget
    STOPPED = 130  #: by Ctrl-C, as shells count it

    @property
    def badness(self) -> int:
        """How bad it is; more is worse."""
        return (Exit.FINE, Exit.UNDECIDED, Exit.NOT_VALID, Exit.BAD_INPUT, Exit.STOPPED).index(self)


OF_VERDICT = {
    "unique": Exit.FINE,
    "none": Exit.NOT_VALID,
    "many": Exit.NOT_VALID,
    "undecided": Exit.UNDECIDED,
}


def worse(one: Exit, other: Exit) -> Exit:
    """Give the worse of two."""
    return max(one, other, key=lambda code: code.badness)
