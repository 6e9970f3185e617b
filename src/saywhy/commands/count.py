"""``saywhy count``: how many solutions?"""

from __future__ import annotations

import click

from saywhy.files import Entry, entries
from saywhy.terminal.codes import Exit, worse
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.options import Whole, json_option, seconds_option
from saywhy.terminal.waiting import waiting


@click.command()
@click.argument("file", metavar="FILE")
@click.option(
    "--limit", type=Whole(min=1, max=2**63), metavar="N", help="Stop at N solutions.  [default: all]"
)
@json_option
@seconds_option("each puzzle")
def command(file: str, limit: int | None, as_json: bool, seconds: float) -> Exit:
    """
    Count the solutions of a puzzle.

    The exit code is 0 for exactly one, 1 for none or many, 3 where neither was found in the time allowed.
    """
    code = Exit.FINE
    for entry in entries(file):
        code = worse(code, _count(entry, limit, as_json, seconds))
    return code


def _count(entry: Entry, limit: int | None, as_json: bool, seconds: float) -> Exit:
    if entry.puzzle is None:
        return print_error(entry, as_json=as_json)
    from saywhy.engine import Budget, count

    puzzle = entry.puzzle
    with waiting("Counting"):
        found = count(puzzle, limit, Budget(seconds=seconds))
    if as_json:
        print_json({"file": entry.source, "solutions": found.solutions, "exact": found.exact})
    else:
        at_least = "" if found.exact else "at least "
        plural = "" if found.solutions == 1 else "s"
        click.echo(f"{entry.source}: {at_least}{found.solutions:,} solution{plural}")
    if found.solutions > 1 or (found.exact and found.solutions == 0):
        return Exit.NOT_VALID
    return Exit.FINE if found.exact else Exit.UNDECIDED
