"""``saywhy check``: is a puzzle fit to air?"""

from __future__ import annotations

import click

from saywhy.files import Entry, entries
from saywhy.terminal.checking import check
from saywhy.terminal.codes import OF_VERDICT, Exit, worse
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.options import json_option, seconds_option


@click.command()
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@json_option
@click.option("--no-effort", is_flag=True, help="Prove only; leave the effort unmeasured.")
@click.option("--reveal", is_flag=True, help="Show solutions, or the clues that clash.")
@seconds_option("the proof of each puzzle")
def command(files: tuple[str, ...], as_json: bool, no_effort: bool, reveal: bool, seconds: float) -> Exit:
    """
    Say whether each puzzle has exactly one solution, and how much effort it takes.

    A FILE is a puzzle file or a file of puzzle lines; FILE:17 is one line of it, - the standard input.
    Without --reveal nothing that is printed spoils the solve.
    """
    code = Exit.FINE
    for path in files:
        for entry in entries(path):
            code = worse(code, _check(entry, as_json, not no_effort, reveal, seconds))
    return code


def _check(entry: Entry, as_json: bool, effort: bool, reveal: bool, seconds: float) -> Exit:
    if entry.puzzle is None:
        return print_error(entry, as_json=as_json)
    one_line = entry.line is not None
    found = check(
        entry.puzzle, entry.source, seconds, effort=effort, clash=reveal or not (as_json or one_line)
    )
    if as_json:
        print_json(found.as_json(effort=effort, reveal=reveal))
    elif one_line and not reveal:
        band = "" if found.effort is None else f", {found.effort.band}"
        click.echo(f"{entry.source}  {found.proof.verdict}{band}")
    else:
        from saywhy.terminal.verdict import verdict_card

        verdict_card(found, reveal=reveal).show()
    return OF_VERDICT[found.proof.verdict]
