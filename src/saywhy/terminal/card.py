"""A card: a title and a few labelled lines, with a frame on a terminal and plain elsewhere."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, field

import click

from saywhy.files.titles import plain


@dataclass
class Card:
    """
    What a command tells about one puzzle.

    Attributes:
        title: The heading.
        good: True, False or None: fine, not fine, not known.
        rows: Label and text of each line.
    """

    title: str
    good: bool | None = None
    rows: list[tuple[str, str]] = field(default_factory=list)

    def add(self, label: str, text: str | Sequence[str]) -> None:
        """Add a line, or one label with several lines."""
        lines = [text] if isinstance(text, str) else list(text)
        self.rows += [(label if place == 0 else "", line) for place, line in enumerate(lines)]

    def show(self) -> None:
        """Print the card; texts from files are cleaned of what could steer a terminal."""
        title, rows = plain(self.title), [(label, plain(text)) for label, text in self.rows]
        if sys.stdout.isatty():
            _framed(title, self.good, rows)
            return
        click.echo(title)
        width = max((len(label) for label, _ in rows), default=0)
        for label, text in rows:
            click.echo(f"  {label.ljust(width)}  {text}".rstrip())


def _framed(title: str, good: bool | None, rows: list[tuple[str, str]]) -> None:
    from rich.console import Console
    from rich.panel import Panel
    from rich.table import Table
    from rich.text import Text

    table = Table.grid(padding=(0, 2))
    table.add_column(style="dim", no_wrap=True)
    table.add_column()
    for label, text in rows:
        table.add_row(Text(label), Text(text))
    colour = {True: "green", False: "red", None: "yellow"}[good]
    Console().print(
        Panel(table, title=Text(title, style="bold"), title_align="left", border_style=colour, expand=False)
    )
