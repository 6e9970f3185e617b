"""The command line as a function, for every test that uses it as people do."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from saywhy.cli import run


@dataclass(frozen=True)
class Ran:
    """What a command printed and how it ended."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> list[dict[str, Any]]:
        """The objects that it printed, one a line."""
        return [json.loads(line) for line in self.out.splitlines()]


Command = Callable[..., Ran]


def runner(capfd: pytest.CaptureFixture[str], *first: object) -> Command:
    """
    Give the command line: ``runner(capfd)("check", path)``.

    Args:
        capfd: What keeps the output.
        first: Words that come before all others.
    """

    def command(*args: object) -> Ran:
        code = run([str(arg) for arg in (*first, *args)])
        out, err = capfd.readouterr()
        assert "Traceback" not in err
        return Ran(code, out, err)

    return command
