"""``saywhy repair``: which fewest changes give a puzzle exactly one solution?"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from saywhy.errors import SaywhyError
from saywhy.terminal.codes import OF_VERDICT, Exit
from saywhy.terminal.lines import print_error, print_json
from saywhy.terminal.one import one_puzzle
from saywhy.terminal.options import Whole, json_option, seconds_option

if TYPE_CHECKING:
    from saywhy.files import Entry
    from saywhy.setting.repair import Repair


@click.command()
@click.argument("file", metavar="FILE")
@click.option("--reveal", is_flag=True, help="Show the changes, with cells and digits.")
@click.option(
    "--solution",
    metavar="SOLUTION",
    help="The solution that the setter had in mind: a file, or its digits row by row.",
)
@click.option(
    "-o", "--output", metavar="OUT", help="Write the mended puzzle to OUT; this shows nothing of it."
)
@click.option("--take", type=Whole(min=1), metavar="N", help="With -o: write proposal N.  [default: 1]")
@click.option(
    "--most", type=Whole(1, 50), default=5, show_default=True, metavar="N", help="Make N proposals."
)
@click.option("--no-effort", is_flag=True, help="Leave the effort of the proposals unmeasured.")
@click.option(
    "--certify", is_flag=True, help="Prove every proposal anew by an independent solver (OR-Tools)."
)
@click.option("--seed", type=Whole(), default=0, show_default=True, metavar="N", help="Try in another order.")
@json_option
@seconds_option("the search, and half as much again for the effort")
def command(  # noqa: PLR0913, PLR0917 - one argument an option
    file: str,
    reveal: bool,
    solution: str | None,
    output: str | None,
    take: int | None,
    most: int,
    no_effort: bool,
    certify: bool,
    seed: int,
    as_json: bool,
    seconds: float,
) -> Exit:
    """
    Find the fewest changes that give a puzzle exactly one solution.

    A puzzle with several solutions needs something added or changed, one with none something altered. Every
    single change is tried, then every two: givens added or changed, numbers of clues changed or exchanged,
    marks of another kind and the like. Without --reveal nothing that is printed spoils the solve. The exit
    code is 0 where there is nothing to mend or a mending was found, 3 where none was in the time allowed.
    """
    if take is not None and output is None:
        raise click.UsageError("--take says which proposal -o writes: give -o OUT as well.")
    entry = one_puzzle(file)
    if entry.puzzle is None:
        return print_error(entry, as_json=as_json)
    from saywhy.terminal.made import check_output, chosen, confirmed, write_puzzle

    try:
        if output is not None:
            check_output(output, file)
        wanted = max(most, take or 1)
        found = _repaired(entry, solution, most=wanted, effort=not no_effort, seconds=seconds, seed=seed)
        certified = None
        if certify and found.proposals:
            certified = confirmed((mending.puzzle for mending in found.proposals), "proposal")
        _show(found, entry.source, as_json=as_json, reveal=reveal, certified=certified)
        if output is not None:
            write_puzzle(chosen(found.proposals, take or 1, "proposal").puzzle, output, file)
            click.echo(f"Written to {output}.", err=True)
    except SaywhyError as error:
        return print_error(replace(entry, error=error), as_json=as_json)
    if found.fine or found.mendings:
        return Exit.FINE if certified is not False else Exit.UNDECIDED
    return OF_VERDICT[found.verdict] if found.hopeless else Exit.UNDECIDED


def _repaired(  # noqa: PLR0913 - the options
    entry: Entry, solution: str | None, *, most: int, effort: bool, seconds: float, seed: int
) -> Repair:
    from saywhy.files.solutions import read_solution
    from saywhy.setting.repair import check_solution, repair
    from saywhy.terminal.progress import progress

    assert entry.puzzle is not None
    claimed = None if solution is None else read_solution(solution, entry.puzzle.grid)
    if claimed is not None:
        check_solution(entry.puzzle, claimed)
    with progress() as tell:
        return repair(
            entry.puzzle,
            claimed=claimed,
            most=most,
            effort=effort,
            seconds=seconds,
            tell=tell,
            seed=seed,
        )


def _show(found: Repair, source: str, *, as_json: bool, reveal: bool, certified: bool | None) -> None:
    from saywhy.terminal.mended import repair_card, repair_json

    if as_json:
        print_json(repair_json(found, source, reveal=reveal, certified=certified))
    else:
        repair_card(found, source, reveal=reveal, certified=certified).show()
