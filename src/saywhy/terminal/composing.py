"""What ``saywhy compose`` shows while it works, and what it keeps."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from saywhy.terminal.about import heading, measures, rule_titles
from saywhy.terminal.card import Card
from saywhy.terminal.codes import Exit
from saywhy.terminal.lines import print_json, rows_json
from saywhy.terminal.verdict import add_effort, grid_lines

if TYPE_CHECKING:
    from rich.status import Status

    from saywhy.setting.compose import Attempt, Progress, Sketch

#: Why attempts came to nothing, in the order in which they get there.
WHY = {
    "no room": "no room for the shapes, or no grid with them",
    "no grid": "no grid was found in time, or its numbers could not be read off",
    "no path": "looks alone did not get to the end",
    "too hard": "harder than wished",
    "too gentle": "gentler than wished",
}


def show(  # noqa: PLR0913 - one argument an option
    sketch: Sketch,
    stem: Path,
    *,
    seed: int,
    count: int,
    seconds: float,
    workers: int,
    as_json: bool,
    reveal: bool,
) -> Exit:
    """
    Compose, keep every find in a file at once, and show each in its turn.

    Args:
        sketch: The sketch.
        stem: Where the files go, all but the number of the attempt and the ending.
        seed: The seed.
        count: How many are wanted.
        seconds: Time allowed.
        workers: Processes.
        as_json: Whether to print JSON.
        reveal: Whether to show solutions.

    Returns:
        The exit code.
    """
    from saywhy.setting.compose import compose

    kept = 0
    work = compose(sketch, seed=seed, count=count, seconds=seconds, workers=workers)
    told: Progress | None = None
    with _life() as status:
        try:
            for told in work:
                if told.fresh is not None and told.fresh.outcome == "found":
                    _keep(stem, told.fresh)
                if told.found is not None:
                    kept += 1
                    _show(stem, told, as_json=as_json, reveal=reveal)
                if status is not None:
                    status.update(f"{told.tried} tried, {kept} found, {told.seconds:.0f} s")
        finally:
            work.close()
    assert told is not None
    if not as_json:
        _show_end(told, kept, count)
    if told.outcomes.get("impossible"):
        return Exit.NOT_VALID
    return Exit.FINE if kept >= count else Exit.UNDECIDED


def _file(stem: Path, attempt: Attempt) -> Path:
    return stem.with_name(f"{stem.name}-{attempt.number}.toml")


def _keep(stem: Path, attempt: Attempt) -> None:
    from saywhy.files import write

    assert attempt.puzzle is not None
    path = _file(stem, attempt)
    partial = path.with_suffix(".part")
    try:
        partial.write_text(write(attempt.puzzle), encoding="utf-8")
        partial.replace(path)
    finally:
        partial.unlink(missing_ok=True)


def _show(stem: Path, told: Progress, *, as_json: bool, reveal: bool) -> None:
    found = told.found
    assert found is not None and found.puzzle is not None and found.effort is not None
    path, grid = _file(stem, found), found.puzzle.grid
    if as_json:
        held: dict[str, Any] = {
            "file": str(path),
            "attempt": found.number,
            "seconds": round(told.seconds, 2),
            "givens": sum(digit > 0 for digit in found.puzzle.givens),
            "effort": found.effort.as_json(),
        }
        if reveal:
            held["solution"] = rows_json(found.solution, grid)
        print_json(held)
        return
    card = Card(heading(found.puzzle, str(path)), good=True)
    card.add("file", str(path))
    card.add("size", measures(found.puzzle))
    if titles := rule_titles(found.puzzle):
        card.add("rules", titles)
    add_effort(card, found.effort)
    card.add("found", f"after {told.seconds:.1f} s, attempt {found.number}")
    if reveal:
        card.add("solution", grid_lines(found.solution, grid))
    card.show()


def _show_end(told: Progress, kept: int, count: int) -> None:
    tried = f"{told.tried} attempt{'' if told.tried == 1 else 's'} in {told.seconds:.0f} s"
    if told.outcomes.get("impossible"):
        click.echo(
            "No grid keeps all that is drawn; that is proved. Change the clues, the givens or the pattern."
        )
    elif kept < count:
        click.echo(f"{kept or 'None'} of {count} found: {tried}.")
        for outcome, why in WHY.items():
            if many := told.outcomes.get(outcome):
                click.echo(f"  {many:>4}  {why}")
        click.echo("More time (--seconds), more givens or shapes, or another band may help.")
    else:
        click.echo(f"{kept} found: {tried}.")


@contextmanager
def _life() -> Iterator[Status | None]:
    """Give a line on the terminal that tells how far the work has come; None where nobody sees it."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console

    with Console(stderr=True).status("Composing") as status:
        yield status
