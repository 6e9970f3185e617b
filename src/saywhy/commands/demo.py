"""``saywhy demo``: a shipped puzzle, from the check to the picture."""

from __future__ import annotations

from pathlib import Path

import click

from saywhy import examples
from saywhy.errors import SaywhyError
from saywhy.files import Entry, read
from saywhy.terminal.checking import check
from saywhy.terminal.codes import OF_VERDICT, Exit
from saywhy.terminal.lines import print_error
from saywhy.terminal.verdict import verdict_card


@click.command()
@click.argument("name", required=False, metavar="[NAME]")
@click.option("--reveal", is_flag=True, help="Print the talk track too.")
@click.option("--list", "as_list", is_flag=True, help="Name the shipped puzzles.")
@click.option(
    "-o",
    "--output",
    default="demo-output",
    show_default=True,
    metavar="FOLDER",
    help="Where the picture goes.",
)
def command(name: str | None, reveal: bool, as_list: bool, output: str) -> Exit:
    """
    Check a shipped puzzle, spoil nothing, and draw its board.

    With --reveal the talk track follows: why each digit is forced, beat by beat.
    """
    if as_list:
        for held in examples.names():
            click.echo(f"{held}  {read(examples.path(held))[0].title}")
        return Exit.FINE
    chosen = examples.FIRST if name is None else name
    if chosen not in examples.names():
        raise click.UsageError(f"there is no example {chosen[:40]!r}; saywhy demo --list names them")
    return _demo(examples.path(chosen), Path(output), reveal)


def _demo(path: Path, folder: Path, reveal: bool) -> Exit:
    from saywhy.terminal.picture import KINDS, write_picture

    puzzle = read(path)[0]
    checked = check(puzzle, path.name, 60.0, effort=True, clash=False)
    verdict_card(checked, reveal=False).show()
    if reveal:
        from saywhy.reasoning import explain
        from saywhy.terminal import talk

        talk.show(explain(puzzle), brief=False)
        click.echo()
    try:
        for kind in KINDS:
            out = folder / f"{path.stem}{kind}"
            write_picture(puzzle, out)
            click.echo(f"picture: {out}")
    except SaywhyError as error:
        return print_error(Entry(path.name, error=error), as_json=False)
    return OF_VERDICT[checked.proof.verdict]
