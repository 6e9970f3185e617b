"""Options that several commands have."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import isfinite
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])


class Whole(click.IntRange):
    """A whole number within bounds; what is none is told in words."""

    name = "whole number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Give the number."""
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"{str(value)[:40]!r} is not a whole number{_bounds(self)}", param, ctx)


class Number(click.FloatRange):
    """A number within bounds; what is none is told in words."""

    name = "number"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """Give the number."""
        try:
            held = super().convert(value, param, ctx)
        except click.BadParameter:
            held = float("nan")
        if not isfinite(held):
            self.fail(f"{str(value)[:40]!r} is not a number{_bounds(self)}", param, ctx)
        return held


def _bounds(held: click.IntRange | click.FloatRange) -> str:
    if held.min is not None and held.max is not None:
        return f" from {held.min} to {held.max}"
    if held.min is not None:
        return f" above {held.min}" if held.min_open else f" of {held.min} or more"
    return ""


class Either(click.Option):
    """Two flags that contradict each other; both together are refused, not settled by which comes last."""

    def add_to_parser(self, parser: Any, ctx: click.Context) -> None:  # noqa: ARG002 - the base class's form
        """Have the parser keep every flag that is given."""
        for flags, value in ((self.opts, True), (self.secondary_opts, False)):
            parser.add_option(obj=self, opts=flags, dest=self.name, action="append_const", const=value)

    def consume_value(self, ctx: click.Context, opts: Mapping[str, Any]) -> Any:
        """Give the one value."""
        value, source = super().consume_value(ctx, opts)
        if isinstance(value, list):
            if len(set(value)) > 1:
                both = f"{self.opts[0]} and {self.secondary_opts[0]}"
                raise click.UsageError(f"{both} contradict each other: give one of them.", ctx)
            value = value[0]
        return value, source


def json_option(command: Command) -> Command:
    """Add ``--json``."""
    return click.option("--json", "as_json", is_flag=True, help="Print one JSON object a line.")(command)


def seconds_option(purpose: str, default: float = 60.0) -> Callable[[Command], Command]:
    """Add ``--seconds``; ``purpose`` ends the sentence "Time allowed for"."""
    return click.option(
        "--seconds",
        type=Number(min=0, min_open=True),
        default=default,
        show_default=True,
        metavar="N",
        help=f"Time allowed for {purpose}.",
    )
