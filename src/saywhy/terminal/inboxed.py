"""How far the run over an inbox has come, and what the host sees of it: no cell, no digit."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from time import monotonic
from typing import TYPE_CHECKING, Any, Protocol

import click

from saywhy.files.titles import plain
from saywhy.terminal.about import counted

if TYPE_CHECKING:
    from saywhy.inbox import Inbox
    from saywhy.inbox.writing import Written

#: Seconds between lines of progress where nobody is there to see a bar.
EVERY_S = 10.0

TOLD = {
    "unique": "exactly one solution",
    "many": "more than one solution",
    "none": "no solution",
    "undecided": "not decided",
    "unreadable": "to mend",
}


class Tell(Protocol):
    """Told how far a run has come."""

    def __call__(self, inbox: Inbox) -> None:
        """Show it."""


def opening(inbox: Inbox) -> str:
    """Say what a run found when it began."""
    progress = inbox.progress
    parts = [f"{counted(progress.total, 'puzzle')} in {inbox.folder}"]
    if inbox.earlier:
        parts.append(f"{progress.known} judged by an earlier run")
    if inbox.stale:
        parts.append(f"{inbox.stale} judged before and now again, since something has changed")
    if inbox.torn:
        parts.append("a judgement that was cut short is judged again")
    if inbox.spoilt:
        parts.append(f"{counted(inbox.spoilt, 'line')} of the journal did not read")
    return "; ".join(parts)


def standing(inbox: Inbox) -> str:
    """Say how far it has come and when it may be done."""
    progress = inbox.progress
    done = progress.known + progress.judged
    said = f"{done} of {progress.total} judged"
    if progress.left_s is not None:
        said += f", {progress.rate:.1f} a second, about {time_told(progress.left_s)} left"
    return said


def time_told(seconds: float) -> str:
    """Give a length of time as people say it."""
    if seconds < 90:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min" if seconds < 5400 else f"{seconds / 3600:.1f} h"


@contextmanager
def telling() -> Iterator[Tell]:
    """Show progress on the standard error: a bar on a terminal, a line now and then elsewhere."""
    if sys.stderr.isatty():
        with _bar() as bar:
            yield bar
        return
    last = [0.0]

    def tell(inbox: Inbox) -> None:
        if not inbox.progress.judged:
            click.echo(plain(opening(inbox)), err=True)
            last[0] = monotonic()
        elif monotonic() - last[0] >= EVERY_S:
            click.echo(standing(inbox), err=True)
            last[0] = monotonic()

    yield tell


@contextmanager
def _bar() -> Iterator[Tell]:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    console = Console(stderr=True)
    with Progress(
        BarColumn(bar_width=20), TextColumn("{task.description}"), console=console, transient=True
    ) as bar:
        task = bar.add_task("Reading the folder", total=None)

        def tell(inbox: Inbox) -> None:
            progress = inbox.progress
            if not progress.judged:
                console.print(plain(opening(inbox)), highlight=False, markup=False)
            bar.update(
                task,
                total=progress.total,
                completed=progress.known + progress.judged,
                description=standing(inbox),
            )

        yield tell


def table(rows: Sequence[dict[str, Any]], most: int | None) -> list[tuple[str, ...]]:
    """Give the lines that are shown, headings first; ``most`` rows, or all."""
    from saywhy.reasoning.profile import whole_minutes

    shown = rows if most is None else rows[:most]
    lines: list[tuple[str, ...]] = [("file", "setter", "verdict", "effort", "minutes", "rules", "remark")]
    for row in shown:
        minutes = "" if row["minutes"] is None else str(whole_minutes(row["minutes"]))
        name = row["file"] if row["line"] is None else f"{row['file']}:{row['line']}"
        told = (
            name,
            row["setter"],
            TOLD[row["verdict"]],
            row["band"] or "",
            minutes,
            row["rules"],
            remark(row),
        )
        lines.append(tuple(plain(text) for text in told))
    return lines


def remark(row: dict[str, Any]) -> str:
    """Give what stands in the last column: what it is the same as, or else what is the matter."""
    parts = []
    if row["same_as"]:
        parts.append(f"the same puzzle as {row['same_as']}")
    if row["on_shelf"]:
        parts.append(f"on the shelf already: {row['on_shelf'][0]}")
    if not row["letter"]:
        parts.append("settle first whose it is: no letter")
    if row["near_to"]:
        parts.append(f"looks like {row['near_to']}, with other digits or numbers")
    if row["near_on_shelf"]:
        parts.append(f"looks like {row['near_on_shelf'][0]} on the shelf")
    if row["why"]:
        parts.append(row["why"])
    if row["differ"]:
        parts.append(f"two solutions differ in {counted(row['differ'], 'cell')}")
    if row["problems"]:
        first = row["problems"][0]
        more = len(row["problems"]) - 1
        parts.append(first if not more else f"{first} And {more} more.")
    return "; ".join(parts)


def show(rows: Sequence[dict[str, Any]], most: int | None) -> None:
    """Print the table."""
    lines = table(rows, most)
    if not rows:
        return
    if sys.stdout.isatty():
        from rich.console import Console
        from rich.table import Table
        from rich.text import Text

        framed = Table(*lines[0], header_style="bold", pad_edge=False)
        for line in lines[1:]:
            framed.add_row(*map(Text, line))
        Console().print(framed)
    else:
        for line in lines:
            click.echo("\t".join(line))
    if len(lines) - 1 < len(rows):
        click.echo(f"... and {len(rows) - len(lines) + 1} more: --rows shows more of them, table.csv has all")


def summary(inbox: Inbox, written: Written, output: str) -> list[str]:
    """Say what came of it, in a few lines."""
    counts: Counter[str] = Counter(judgement.verdict for judgement in inbox.judgements)
    lines = [", ".join(f"{counts[verdict]} {told}" for verdict, told in TOLD.items() if counts[verdict])]
    again = sum(bool(row["same_as"] or row["on_shelf"]) for row in written.rows)
    near = sum(bool(row["near_to"] or row["near_on_shelf"]) for row in written.rows)
    told = [(again, "the same puzzle again"), (near, "that look like another")]
    if again or near:
        lines.append(", ".join(f"{many} {what}" for many, what in told if many))
    progress = inbox.progress
    if progress.judged:
        took = time_told(progress.seconds)
        lines.append(f"{counted(progress.judged, 'puzzle')} judged in {took}, {progress.rate:.1f} a second")
    safe = written.letters.total() - written.spoilers
    lines.append(f"{output}: table.csv, table.json, {counted(safe, 'letter')} in letters")
    if written.spoilers:
        lines.append(f"{counted(written.spoilers, 'letter')} in spoilers name cells: send them unread")
    if written.held_back:
        lines.append(
            f"{counted(written.held_back, 'letter')} held back: the same puzzle came from somebody else"
        )
    return lines
