"""``saywhy compose``: from a sketch to finished puzzles, or one more like a puzzle that is there."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from saywhy.errors import NotAllowedError, Problem, SaywhyError
from saywhy.files import Entry
from saywhy.terminal.codes import Exit
from saywhy.terminal.lines import print_error
from saywhy.terminal.one import one_puzzle
from saywhy.terminal.options import Whole, json_option, seconds_option

if TYPE_CHECKING:
    from saywhy.setting.compose import Sketch


@click.command()
@click.argument("sketch", required=False, metavar="[SKETCH]")
@click.option("--like", metavar="FILE", help="Make one more like this puzzle: same shapes, new grid.")
@click.option("--gentler", is_flag=True, help="With --like: of the next gentler band of effort.")
@click.option("--harder", is_flag=True, help="With --like: of the next harder band of effort.")
@click.option("--count", type=Whole(1, 1000), default=1, show_default=True, help="Puzzles wanted.")
@seconds_option("the whole work")
@click.option(
    "--seed",
    type=Whole(0, 2**63),
    default=1,
    show_default=True,
    help="The same seed gives the same puzzles in the same order.",
)
@click.option("--workers", type=Whole(1, 64), help="Processes at work.  [default: one a processor]")
@click.option(
    "-o",
    "--output",
    default="composed",
    show_default=True,
    metavar="FOLDER",
    help="Where the puzzles go, each as soon as it is found.",
)
@json_option
@click.option("--reveal", is_flag=True, help="Show the solutions too.")
def command(  # noqa: PLR0913, PLR0917 - one argument an option
    sketch: str | None,
    like: str | None,
    gentler: bool,
    harder: bool,
    count: int,
    seconds: float,
    seed: int,
    workers: int | None,
    output: str,
    as_json: bool,
    reveal: bool,
) -> Exit:
    """
    Make puzzles from a sketch: proved, with a path that needs no what-if, of the effort that is wished.

    A SKETCH is a puzzle file with ? where something is open and a table of wishes. What is printed spoils
    nothing without --reveal; the files hold puzzles, not solutions. The exit code is 1 where it is proved
    that no grid keeps what is drawn, 3 where fewer were found than wanted.
    """
    if (sketch is None) == (like is None):
        raise click.UsageError("Give a SKETCH, or a puzzle with --like FILE.")
    if (gentler or harder) and (like is None or (gentler and harder)):
        raise click.UsageError("--gentler and --harder go with --like, one of them at a time.")
    source = sketch or like or ""
    try:
        drawn = _drawn(sketch, like, harder - gentler)
        folder = _folder(output)
    except SaywhyError as error:
        return print_error(Entry(source, error=error), as_json=as_json)
    from saywhy.terminal.composing import show

    name = f"{Path(source).stem or 'composed'}-{seed}"
    return show(
        drawn,
        folder / name,
        seed=seed,
        count=count,
        seconds=seconds,
        workers=workers or _processors(),
        as_json=as_json,
        reveal=reveal,
    )


def _drawn(sketch: str | None, like: str | None, step: int) -> Sketch:
    from saywhy.setting.compose import moved, read_sketch

    if sketch is not None:
        return read_sketch(sketch)
    entry = one_puzzle(str(like))
    if entry.error is not None:
        raise entry.error
    assert entry.puzzle is not None
    from saywhy.reasoning import explain
    from saywhy.terminal.waiting import waiting

    with waiting("Measuring its effort"):
        effort = explain(entry.puzzle).effort
    if effort is None:
        problem = Problem(
            "it has no solution, several, or no path to the end", "Run saywhy check on it first"
        )
        raise NotAllowedError(problem, entry.source)
    try:
        return moved(entry.puzzle, effort.band, step)
    except NotAllowedError as error:
        raise NotAllowedError(error.problems, entry.source) from None


def _folder(output: str) -> Path:
    folder = Path(output)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        reason = str(getattr(error, "strerror", None) or error).lower()
        problem = Problem(f"the folder cannot be made: {reason}", "Name another folder", "--output")
        raise NotAllowedError(problem, output) from None
    return folder


def _processors() -> int:
    """Give how many processors this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
