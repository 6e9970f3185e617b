"""Options that several commands have."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])


def json_option(command: Command) -> Command:
    """Add ``--json``."""
    return click.option("--json", "as_json", is_flag=True, help="Print one JSON object a line.")(command)


def seconds_option(purpose: str, default: float = 60.0) -> Callable[[Command], Command]:
    """Add ``--seconds``; ``purpose`` ends the sentence "Time allowed for"."""
    return click.option(
        "--seconds",
        type=click.FloatRange(min=0, min_open=True),
        default=default,
        show_default=True,
        metavar="N",
        help=f"Time allowed for {purpose}.",
    )
