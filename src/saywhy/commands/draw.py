"""``saywhy draw``: the board as a picture."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from saywhy.errors import SaywhyError
from saywhy.terminal.codes import Exit
from saywhy.terminal.lines import print_error
from saywhy.terminal.one import one_puzzle
from saywhy.terminal.options import Whole
from saywhy.terminal.picture import KINDS, write_picture
from saywhy.terminal.waiting import waiting


@click.command()
@click.argument("file", metavar="FILE")
@click.option("-o", "--output", required=True, metavar="OUT", help="Picture to write: OUT.svg or OUT.png.")
@click.option("--dark", is_flag=True, help="Light lines on a dark ground.")
@click.option(
    "--step", type=Whole(min=1), metavar="N", help="Show step N of the path. This spoils the solve."
)
def command(file: str, output: str, dark: bool, step: int | None) -> Exit:
    """Draw the board of a puzzle, with a key that names its lines and marks."""
    out = Path(output)
    if out.suffix.lower() not in KINDS:
        raise click.UsageError(f"{output!r} ends in neither {' nor '.join(KINDS)}")
    entry = one_puzzle(file)
    if entry.puzzle is None:
        return print_error(entry, as_json=False)
    try:
        with waiting("Drawing"):
            write_picture(entry.puzzle, out, dark=dark, step=step)
    except SaywhyError as error:
        return print_error(replace(entry, error=error), as_json=False)
    click.echo(str(out))
    return Exit.FINE
